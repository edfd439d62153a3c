"""Hours of a whole job split by standard share: exact, by person, to nothing that was measured or not done."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.agreed import Agreed, AgreedLabour, AgreedWork
from quotekit.model.entries import ActualHours
from quotekit.pricing.actual.split import split_whole_job, standard_shares

ZERO = Decimal(0)


def a_work(key: str, hours: str, *users: str, rust: bool = False, labour: str = "MAIN") -> AgreedWork:
    return AgreedWork(
        key=key, code=key, side=None, kind="operation", name=key, hours=Decimal(hours), labour=labour,
        slowed_by_rust=rust, users=users,
    )  # fmt: skip


def an_agreed(*work: AgreedWork, allowance: dict[str, str] | None = None) -> Agreed:
    """An agreement of which the split reads only work and labour."""
    labour = tuple(
        AgreedLabour(
            rate=rate, rate_per_hour=ZERO, cost_per_hour=None, access=ZERO, net=ZERO, allowance=Decimal(hours),
            off=ZERO, billed=ZERO, amount=ZERO,
        )
        for rate, hours in (allowance or {}).items()
    )  # fmt: skip
    empty: dict[str, Any] = dict.fromkeys("items parts sublet savings fees freight taxes".split(), ())
    nothing: dict[str, Any] = dict.fromkeys(
        "cost_labour cost_parts cost_sublet cost_total margin ready_days".split(), None
    )
    zero: dict[str, Any] = dict.fromkeys(
        "minimum_amount minimum_hours subtotal tax total deposit cost_freight".split(), ZERO
    )
    return Agreed(tier="good", option="Put right", work=work, labour=labour, amounts={}, **empty, **nothing, **zero)


def hours(text: str) -> list[ActualHours]:
    """`BELT Ann 0.5; - Bo 1`, a dash for the whole job."""
    found = []
    for line in filter(None, text.split("; ")):
        work, person, many = line.split()
        found.append(ActualHours(work="" if work == "-" else work, person=person, hours=Decimal(many)))
    return found


def told(found: tuple[ActualHours, ...]) -> str:
    """The same, a star where it was not measured."""
    return "; ".join(
        f"{one.work or '-'} {one.person} {one.hours:f}{'' if one.measured else '*'}" for one in found
    )  # fmt: skip


THREE = (a_work("COVER", "0.2", "A", "B"), a_work("BELT", "0.3", "A"), a_work("TEST", "0.1"))


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("", ""),
        ("BELT Ann 0.5", "BELT Ann 0.5"),
        ("- Ann 1.00", "COVER Ann 0.33*; BELT Ann 0.50*; TEST Ann 0.17*"),
        ("- Ann 0.6", "COVER Ann 0.20*; BELT Ann 0.30*; TEST Ann 0.10*"),
        ("BELT Ann 0.5; - Bo 0.3", "BELT Ann 0.5; COVER Bo 0.20*; TEST Bo 0.10*"),
        ("- A 0.6; - B 0.06", "COVER A 0.20*; BELT A 0.30*; TEST A 0.10*; COVER B 0.02*; BELT B 0.03*; TEST B 0.01*"),
        ("COVER A 1; BELT A 1; TEST A 1; - B 0.02", "COVER A 1; BELT A 1; TEST A 1; COVER B 0.01*; BELT B 0.01*"),
        ("- Ann 0.01", "BELT Ann 0.01*"),
        ("- Ann 0.005", "COVER Ann 0.002*; BELT Ann 0.002*; TEST Ann 0.001*"),
    ],
)  # fmt: skip
def test_by_hand(typed: str, expected: str) -> None:
    """0.6 h standard: a hundredth too small for all goes to the largest remainder, ties to the earlier line."""
    assert told(split_whole_job(an_agreed(*THREE), hours(typed))) == expected


@pytest.mark.parametrize(
    ("not_done", "expected"),
    [
        (["A"], "COVER Ann 0.40*; TEST Ann 0.20*"),
        (["A", "B"], "TEST Ann 0.60*"),
        (["C"], "COVER Ann 0.20*; BELT Ann 0.30*; TEST Ann 0.10*"),
    ],
)
def test_no_hours_for_what_was_not_done(not_done: list[str], expected: str) -> None:
    """A cover that something else needs was opened all the same; what is always done has no item."""
    assert told(split_whole_job(an_agreed(*THREE), hours("- Ann 0.6"), not_done)) == expected


def test_the_allowance_goes_to_what_rust_slows() -> None:
    """0.4 h of allowance at MAIN over 0.6 and 0.2 h: 0.3 and 0.1; that of another rate stays with it."""
    works = (
        a_work("FREE", "1.0"),
        a_work("RUSTED", "0.6", rust=True),
        a_work("ALSO", "0.2", rust=True),
        a_work("HYD", "0.5", rust=True, labour="HYD"),
    )
    agreed = an_agreed(*works, allowance={"MAIN": "0.4", "HYD": "0.1"})
    assert standard_shares(agreed, works) == [1, Fraction(9, 10), Fraction(3, 10), Fraction(6, 10)]
    assert told(split_whole_job(agreed, hours("- Ann 2.8"))) == (
        "FREE Ann 1.00*; RUSTED Ann 0.90*; ALSO Ann 0.30*; HYD Ann 0.60*"
    )


def test_a_job_without_standard_hours_keeps_them_whole() -> None:
    """Parts alone: nothing to split over, and still not measured on any work."""
    assert told(split_whole_job(an_agreed(), hours("- Ann 0.5"))) == "- Ann 0.5*"
    assert told(split_whole_job(an_agreed(a_work("ZERO", "0")), hours("- Ann 0.5"))) == "- Ann 0.5*"


WORKS = st.lists(st.tuples(st.integers(0, 300), st.booleans()), max_size=8)
TYPED = st.lists(st.tuples(st.integers(-1, 7), st.sampled_from("ABC"), st.integers(1, 10_000)), max_size=8)


@given(WORKS, st.integers(0, 200), TYPED)
def test_every_hour_of_everybody_is_somewhere(
    works: list[tuple[int, bool]], allowance: int, typed: list[tuple[int, str, int]]
) -> None:
    """The hours of each person add up exactly, measured ones stay where they were, and shares follow the standard."""
    listed = [a_work(f"W{n}", str(Decimal(h).scaleb(-2)), rust=rust) for n, (h, rust) in enumerate(works)]
    agreed = an_agreed(*listed, allowance={"MAIN": str(Decimal(allowance).scaleb(-2))})
    given_hours = [
        ActualHours(work=f"W{n}" if 0 <= n < len(works) else "", person=person, hours=Decimal(many).scaleb(-3))
        for n, person, many in typed
    ]
    found = split_whole_job(agreed, given_hours)
    for person in "ABC":
        assert sum(one.hours for one in found if one.person == person) == sum(
            one.hours for one in given_hours if one.person == person
        )
    assert [one for one in found if one.measured] == [one for one in given_hours if one.work]
    assert all(one.hours > 0 for one in found)
    assert {one.work for one in found if not one.measured} <= {"", *(work.key for work in listed if work.hours)}
