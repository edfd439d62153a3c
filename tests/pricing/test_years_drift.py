"""Where the order of drifting costs may change: by hand, and against looking everywhere."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.years_drift import SCAN, Cost, Drift, Worths, ordered

YEARS = [Decimal(year) for year in range(1, 8)]


def worths(interest: Decimal) -> Worths:
    """Of the years 1 to 7."""
    return {year: SCAN.power(1 + interest, -year) for year in YEARS}


def a_cost(code: str, work: int | str, **later: int) -> Cost:
    """Amounts by year, as `y3=100`."""
    return Cost(
        code=code,
        work=Decimal(work),
        later={Decimal(name[1:]): Decimal(amount) for name, amount in later.items()},
    )


def a_drift(*costs: Cost) -> Drift:
    return Drift(costs, worths, 2)


def test_ties_go_to_less_work_and_then_as_they_stand() -> None:
    two, one = Decimal(2), Decimal(1)
    assert ordered(["a", "b", "c"], [two, two, two], [two, one, one]) == ("b", "c", "a")
    assert ordered(["a", "b"], [two, one], [one, two]) == ("b", "a")


def test_one_crossing_is_found() -> None:
    """100 + 110 in a year against 200: level where 110 / (1 + i) = 100, at 10 %."""
    drift = a_drift(a_cost("now", 100, y1=110), a_cost("once", 200))
    (change,) = drift.changes(Decimal(0), Decimal("0.2"), Decimal("0.0001"))
    assert change[0] < Decimal("0.1") <= change[1] and change[1] - change[0] <= Decimal("0.0001")
    assert (drift.order(change[0]), drift.order(change[1])) == (("once", "now"), ("now", "once"))


def test_two_crossings_of_the_same_pair_are_found() -> None:
    """-1000 + 2200 w - 1209 w2, w = 1 / (1 + i), is level where w is 0.936 and 0.884: near 6.84 % and 13.15 %.

    The ends alone look alike: a search that compared only them would miss both.
    """
    drift = a_drift(a_cost("a", 1000, y1=2200), a_cost("b", 2000, y2=1209))
    assert drift.order(Decimal(0)) == drift.order(Decimal("0.3"))
    found = drift.changes(Decimal(0), Decimal("0.3"), Decimal("0.0001"))
    assert [round(below, 3) for below, _ in found] == [Decimal("0.068"), Decimal("0.131")]


@pytest.mark.parametrize(
    ("costs", "why"),
    [
        ((a_cost("a", 100, y3=50), a_cost("b", 100, y3=50)), "equal costs stay equal"),
        ((a_cost("a", 100, y3=50), a_cost("b", "100.01", y3=50)), "a cent apart at any interest"),
        ((a_cost("a", 100), a_cost("b", 300, y5=40)), "dearer today and later"),
    ],
)
def test_nothing_changes(costs: tuple[Cost, ...], why: str) -> None:
    assert a_drift(*costs).changes(Decimal(0), Decimal("0.2"), Decimal("0.0001")) == [], why


def test_a_crossing_within_a_cent_over_a_long_stretch_is_narrowed_too() -> None:
    """0.02 in a year against 0.02 less half a cent: the costs part by a cent only as rounded."""
    drift = a_drift(a_cost("a", 100, y1=1), a_cost("b", "100.95"))
    found = drift.changes(Decimal(0), Decimal("0.2"), Decimal("0.0001"))
    assert [above - below <= Decimal("0.0001") for below, above in found] == [True]
    below, above = found[0]
    assert below < Decimal("0.0579") and above > Decimal("0.0465")


def test_a_stretch_of_no_length() -> None:
    assert a_drift(a_cost("a", 1, y1=5), a_cost("b", 2)).changes(Decimal(2), Decimal(2), Decimal("0.1")) == []


amounts = st.integers(0, 60_000).map(lambda cents: Decimal(cents).scaleb(-2))
costs = st.builds(
    lambda work, later: (work, later),
    st.integers(5_000, 90_000).map(lambda cents: Decimal(cents).scaleb(-2)),
    st.dictionaries(st.sampled_from(YEARS), amounts, max_size=5),
)


@given(st.lists(costs, min_size=2, max_size=4))
def test_the_order_is_the_one_its_changes_say(drawn: list[tuple[Decimal, dict[Decimal, Decimal]]]) -> None:
    """Looked at every half percent: the order between two changes is one and the same, but for what is level.

    Two tiers may swap unseen only where they cost the same to a cent.
    """
    listed = [Cost(code=str(place), work=work, later=later) for place, (work, later) in enumerate(drawn)]
    drift = Drift(listed, worths, 2)
    found = drift.changes(Decimal(0), Decimal("0.2"), Decimal("0.0001"))
    stretches = pairwise([Decimal(0), *(value for change in found for value in change), Decimal("0.2")])
    for low, high in list(stretches)[::2]:
        expected = drift.order(low)
        assert drift.order(high) == expected
        for step in range(1, 40):
            value = Decimal(step) / 200
            if low < value < high and drift.order(value) != expected:
                assert level(listed, value, expected, drift.order(value))


def level(listed: list[Cost], value: Decimal, one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Whatever stands in another place costs within two cents of what stands there instead."""
    paid = {
        cost.code: cost.work + sum(amount * worths(value)[year] for year, amount in cost.later.items())
        for cost in listed
    }
    return all(abs(paid[a] - paid[b]) <= Decimal("0.02") for a, b in zip(one, other, strict=True))
