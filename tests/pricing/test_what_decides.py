"""Which missing value decides: by hand, and against trying every value."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
    WouldDecide,
)
from quotekit.pricing.what_decides import what_decides, with_value
from quotekit.pricing.worth import Worth, sums_of
from tests.pricing.test_worth import a_worth, losing, money, parts, worths

FIELDS = {
    NEW_PRICE: "new_price",
    USED_WORKING: "used_working",
    AS_IT_STANDS: "as_it_stands",
    UPKEEP_KEPT: "upkeep_kept",
    UPKEEP_NEW: "upkeep_new",
    COULD_LAST: "could_last",
}
RANK = {"replace": 0, "close call": 1, "repair": 2}


def said(decides: WouldDecide | None) -> list[str]:
    """`word from to` of each stretch, then where both cost the same."""
    assert decides is not None
    return [*(f"{part.word} {part.from_} {part.to}" for part in decides.words), f"even {decides.even}"]


@pytest.mark.parametrize(
    ("missing", "repair", "worth", "expected"),
    [
        # (new + 500) / 2 - 100 - 450 is nothing at 600, a tenth of the price at 750 and, below, at 500: the least.
        # At 750.01 the new one is worth half a cent more then, which is rounded up.
        (
            "new_price",
            450,
            a_worth(None, 500, 100, 0, 0, 10, 5),
            ["close call 500.00 750.01", "repair 750.02 None", "even 600.00"],
        ),
        # (1000 + used) / 2 - 100 - 600 is nothing at 400; 100 either way is 200 of the used value.
        (
            "used_working",
            600,
            a_worth(1000, None, 100, 0, 0, 10, 5),
            ["replace 100.00 199.99", "close call 200.00 600.01", "repair 600.02 1000.00", "even 400.00"],
        ),
        # 1400 / 2 - worth - 500 is nothing at 200: worth more as it stands, it is rather traded in.
        (
            "as_it_stands",
            500,
            a_worth(1000, 400, None, 0, 0, 10, 5),
            ["repair 0.00 99.99", "close call 100.00 300.00", "replace 300.01 400.00", "even 200.00"],
        ),
        # 700 - 100 - 5 x upkeep - 350 is nothing at 50 a year; 100 either way is 20 a year.
        (
            "upkeep_kept",
            350,
            a_worth(1000, 400, 100, None, 0, 10, 5),
            ["repair 0.00 29.99", "close call 30.00 70.00", "replace 70.01 None", "even 50.00"],
        ),
        # The same with a new one's upkeep on the other side of it.
        (
            "upkeep_new",
            350,
            a_worth(1000, 400, 100, 100, None, 10, 5),
            ["replace 0.00 29.99", "close call 30.00 70.00", "repair 70.01 None", "even 50.00"],
        ),
        # 700 - 100 - 60 x years - 400 is nothing at 3.33 years, 100 at 1.67 and -100 at 5: more years change nothing.
        (
            "could_last",
            400,
            a_worth(1000, 400, 100, 60, 0, None, 5),
            ["repair 0.1 1.6", "close call 1.7 None", "even 3.33"],
        ),
    ],
)  # fmt: skip
def test_one_missing_value_by_hand(missing: str, repair: int, worth: Worth, expected: list[str]) -> None:
    word, decides = what_decides(D(repair), worth)
    assert word is None
    assert said(decides) == expected
    assert decides is not None and [FIELDS[name] for name in decides.names] == [missing]


@pytest.mark.parametrize(
    ("missing", "repair", "worth", "expected"),
    [
        # 0.6 x new + 250 - 100 - 450 is nothing at 500, the least it can cost, and a tenth of the price at 600.
        (
            "new_price",
            450,
            losing("0.6", None, 500, 100, 0, 0, 10, 5),
            ["close call 500.00 600.00", "repair 600.01 None", "even 500.00"],
        ),
        # 600 - 100 - 600 + half of used is nothing at 200 and 100 at 400; a cent's half is lost: 400.01.
        (
            "used_working",
            600,
            losing("0.6", 1000, None, 100, 0, 0, 10, 5),
            ["close call 100.00 400.01", "repair 400.02 1000.00", "even 200.00"],
        ),
        # 600 - worth - 500 + 200 is nothing at 300, 100 either way.
        (
            "as_it_stands",
            500,
            losing("0.6", 1000, 400, None, 0, 0, 10, 5),
            ["repair 0.00 199.99", "close call 200.00 400.00", "even 300.00"],
        ),
        # 600 - 100 - 5 x upkeep - 350 + 200 is nothing at 70 a year; 100 either way is 20 a year.
        (
            "upkeep_kept",
            350,
            losing("0.6", 1000, 400, 100, None, 0, 10, 5),
            ["repair 0.00 49.99", "close call 50.00 90.00", "replace 90.01 None", "even 70.00"],
        ),
        # Up to 5 years nothing is left of yours: -200. At 10 years half of 400 is, at 20 three quarters: 100.
        (
            "could_last",
            500,
            losing("0.6", 1000, 400, 300, 0, 0, None, 5),
            ["replace 0.1 6.6", "close call 6.7 20.0", "repair 20.1 None", "even 10.00"],
        ),
        # 200 - 60 x years up to 5, down to -100; from there on what is left of 800 turns it back.
        (
            "could_last",
            300,
            losing("0.6", 1000, 800, 100, 60, 0, None, 5),
            ["repair 0.1 1.6", "close call 1.7 6.6", "repair 6.7 None", "even 3.33"],
        ),
    ],
)  # fmt: skip
def test_one_missing_value_where_the_loss_of_a_new_one_is_given(
    missing: str, repair: int, worth: Worth, expected: list[str]
) -> None:
    """Then a used one's own loss no longer cancels out: its value counts by what is left of it, and so do its years."""
    test_one_missing_value_by_hand(missing, repair, worth, expected)


@pytest.mark.parametrize(
    ("repair", "worth", "word"),
    [
        # Scrapped for nothing or sold for all of 60, a mower's repair at 149.67 costs more than it is worth.
        ("149.67", a_worth(329, 60, None, 55, 20, 3, 5), "replace"),
        # Upkeep is the same, so the years it could last count for nothing.
        ("450", a_worth(1000, 500, 100, 40, 40, None, 5), "repair"),
        # So much more upkeep for a new one that its price does not matter: 500 - 100 + 5 x 900 less 450.
        ("450", a_worth(None, 500, 100, 0, 900, 10, 5), "repair"),
        # Two missing, and every corner of what they can be says the same: 1150 for a machine that costs 1000 new.
        ("1150", a_worth(1000, None, None, 0, 0, 10, 5), "replace"),
        # Nothing is left of a used one after its 4 years, so what it is worth does not matter: 600 - 100 - 300.
        ("300", losing("0.6", 1000, None, 100, 0, 0, 4, 5), "repair"),
        # A new one loses all of 1000: 50 of work on what brings nothing is cheaper, however long yours lasts.
        ("50", losing("1", 1000, 500, 0, 40, 40, None, 5), "repair"),
        # Used and years missing: 600 - 50 - 900 is -350 with nothing left, and 1000 left for good makes it 650.
        ("1700", losing("0.6", 1000, None, 50, 0, 0, None, 5), "replace"),
    ],
)  # fmt: skip
def test_a_word_that_no_value_can_change_stands(repair: str, worth: Worth, word: str) -> None:
    assert what_decides(D(repair), worth) == (word, None)


@pytest.mark.parametrize(
    ("worth", "names"),
    [
        # Nothing bounds a price or an upkeep: they come first, in the order of the sheet.
        (a_worth(None, 800, 300, None, None, 10, 5), [NEW_PRICE, UPKEEP_KEPT, UPKEEP_NEW]),
        # The value as it stands may lie anywhere up to 2000 and counts whole; the used one counts half.
        (a_worth(2000, None, None, 60, 40, 10, 5), [AS_IT_STANDS, USED_WORKING]),
        # Up to 800 as it stands; 20 a year for at most 5 years.
        (a_worth(2000, 800, None, 60, 40, None, 5), [AS_IT_STANDS, COULD_LAST]),
        # The years last where the upkeep they multiply is missing too.
        (a_worth(2000, 800, None, None, 40, None, 5), [UPKEEP_KEPT, AS_IT_STANDS, COULD_LAST]),
        # The same upkeep for both: the years are not among what is needed.
        (a_worth(None, None, 300, 40, 40, None, 5), [NEW_PRICE, USED_WORKING]),
        # Where a new one's loss is given, nothing is left of a used one after 4 years: it moves nothing.
        (losing("0.6", 2000, None, None, 60, 40, 4, 5), [AS_IT_STANDS]),
        # After 20 years three quarters are left of up to 2000; as it stands it counts whole.
        (losing("0.6", 2000, None, None, 60, 40, 20, 5), [AS_IT_STANDS, USED_WORKING]),
        # The years count by what is left of 800, and by 5 x 20 of upkeep: more than the value as it stands can.
        (losing("0.6", 2000, 800, None, 60, 40, None, 5), [COULD_LAST, AS_IT_STANDS]),
    ],
)  # fmt: skip
def test_several_missing_are_named_by_effect(worth: Worth, names: list[str]) -> None:
    word, decides = what_decides(D(700), worth)
    assert word is None
    assert decides == WouldDecide(names=tuple(names))


def test_years_compared_below_a_tenth_still_have_a_word() -> None:
    word, decides = what_decides(D(100), a_worth(1000, 500, 100, 60, 0, None, "0.05"))
    assert (word, decides) == ("repair", None)


@given(worths(), money(), st.sampled_from(sorted(FIELDS)), st.none() | parts())
def test_each_end_of_a_stretch_brings_its_word(worth: Worth, repair: D, name: str, loses: D | None) -> None:
    """What the quote says of a value is so when that value is put in."""
    worth = replace(worth, new_loses=loses)
    blank = replace(worth, **blank_of(name))
    word, decides = what_decides(repair, blank)
    if decides is None:
        value = with_value(blank, name, getattr(worth, FIELDS[name]))
        sums = sums_of(repair, value)
        assert sums is not None
        assert sums.word == word
        return
    turns_twice = name == COULD_LAST and loses is not None
    assert len(decides.words) in ((2, 3, 4, 5) if turns_twice else (2, 3))
    for part in decides.words:
        for end in (part.from_, part.to):
            sums = None if end is None else sums_of(repair, with_value(blank, name, end))
            assert sums is None or sums.word == part.word
    ranks = [RANK[part.word] for part in decides.words]
    assert turns_twice or ranks in (sorted(ranks), sorted(ranks, reverse=True))
    assert all(one != other for one, other in pairwise(ranks))


@st.composite
def small(draw: st.DrawFn) -> Worth:
    """Values of a few dozen whole units, so that every one can be tried."""
    now, used, new = sorted(draw(st.tuples(*[st.integers(0, 60)] * 3)))
    few, years = st.integers(0, 20), st.integers(1, 60)
    tenths = [D(draw(years)).scaleb(-1) for _ in range(2)]
    return a_worth(new, used, now, draw(few), draw(few), str(tenths[0]), str(tenths[1]), digits=0)


@given(small(), st.integers(0, 120), st.sampled_from(sorted(FIELDS)), st.none() | parts())
def test_trying_every_value_gives_the_same(worth: Worth, repair: int, name: str, loses: D | None) -> None:
    """But for the few units about a turn where rounding brings a word back."""
    worth = replace(worth, new_loses=loses)
    blank = replace(worth, **blank_of(name))
    word, decides = what_decides(D(repair), blank)
    tried = {value: word_with(blank, name, value, repair) for value in every_value(blank, name)}
    if decides is None:
        assert set(tried.values()) == {word}
        return
    for value, found in tried.items():
        inside = [part for part in decides.words if within(value, part.from_, part.to)]
        assert len(inside) <= 1
        assert not inside or inside[0].word == found
    if decides.even is not None:
        at_even = sums_of(D(repair), with_value(blank, name, decides.even))
        assert at_even is not None
        assert abs(at_even.difference) <= about(blank, name)


def about(blank: Worth, name: str) -> D:
    """How far rounding may move a difference: a unit and a half, and half a unit of an upkeep for each year."""
    if name == COULD_LAST and blank.new_loses is not None:
        assert blank.used_working is not None
        return D("1.5") + D("0.006") * blank.used_working / blank.compared  # years to a hundredth
    years = blank.horizon if name in (UPKEEP_KEPT, UPKEEP_NEW) else D(0)
    assert years is not None
    return D("1.5") + years / 2


def blank_of(name: str) -> dict[str, Any]:
    return {FIELDS[name]: None}


def within(value: D, low: D | None, high: D | None) -> bool:
    return (low is None or low <= value) and (high is None or value <= high)


def word_with(blank: Worth, name: str, value: D, repair: int) -> str:
    sums = sums_of(D(repair), with_value(blank, name, value))
    assert sums is not None
    return sums.word


def every_value(blank: Worth, name: str) -> list[D]:
    """Every value the missing one can have, as far as a few hundred."""
    if name == COULD_LAST:
        return [D(tenths).scaleb(-1) for tenths in range(1, 100 if blank.new_loses is None else 900)]
    low, high = {
        NEW_PRICE: (blank.used_working, None),
        USED_WORKING: (blank.as_it_stands, blank.new_price),
        AS_IT_STANDS: (D(0), blank.used_working),
    }.get(name, (D(0), None))
    return [D(units) for units in range(int(low or 0), 400 if high is None else int(high) + 1)]
