"""The value of a missing input at which keeping and replacing cost the same: by hand, and put back into the sums."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
)
from quotekit.pricing.what_decides import with_value
from quotekit.pricing.worth import Worth, sums_of
from quotekit.pricing.worth_even import digits_of, even_value, kept_share
from tests.pricing.test_worth import a_worth, losing, money, parts, worths

ANY = (0, None)
NAMES = {
    NEW_PRICE: "new_price",
    USED_WORKING: "used_working",
    AS_IT_STANDS: "as_it_stands",
    UPKEEP_KEPT: "upkeep_kept",
    UPKEEP_NEW: "upkeep_new",
    COULD_LAST: "could_last",
}


@pytest.mark.parametrize(
    ("name", "worth", "bounds", "even"),
    [
        (NEW_PRICE, a_worth(None, 500, 100, 0, 0, 10, 5), ANY, "700.00"),  # (700 + 500) / 2 - 100 - 500
        (NEW_PRICE, losing("0.5", None, 500, 100, 0, 0, 10, 5), ANY, "700.00"),  # 350 + 250 - 100 - 500
        (NEW_PRICE, losing("0", None, 500, 100, 0, 0, 10, 5), ANY, None),  # it costs nothing, whatever it costs
        (NEW_PRICE, a_worth(None, 500, 100, 0, 0, 10, 5), (70_001, None), None),  # below the least it can be
        (AS_IT_STANDS, losing("0.6", 1000, 400, None, 0, 0, 10, 5), (0, 40_000), "300.00"),  # 600 + 200 - 300 - 500
        (USED_WORKING, losing("0.6", 1000, None, 100, 0, 0, 4, 5), ANY, None),  # nothing is left of it
        (UPKEEP_NEW, losing("0.6", 1000, 400, 100, 60, None, 10, 5), ANY, "20.00"),  # 600 + 200 - 100 - 500 - 5 x 40
        (COULD_LAST, a_worth(1000, 400, 100, 60, 0, None, 5), (1, 50), "1.67"),  # 100 = 60 x years
        (COULD_LAST, losing("0.6", 1000, 400, 300, 0, 0, None, 5), (1, 50), "10.00"),  # the example of the docstring
        (COULD_LAST, losing("0.6", 1000, 100, 300, 0, 0, None, 5), (1, 50), None),  # 100 can't make up for 200
        (COULD_LAST, losing("0.8", 1000, 400, 300, 60, 0, None, 5), (1, 50), "20.00"),  # 0 at once, -300 at 5, 3/4 left
    ],
)
def test_by_hand(name: str, worth: Worth, bounds: tuple[int, int | None], even: str | None) -> None:
    """A repair of 500."""
    found = even_value(D(500), worth, name, bounds)
    assert (None if found is None else str(found)) == even


@pytest.mark.parametrize(
    ("could_last", "compared", "share"), [(10, 5, "1/2"), (20, 5, "3/4"), (4, 5, "0"), (None, 5, "0"), (0, 5, "1")]
)
def test_the_part_of_its_value_that_a_used_one_keeps(could_last: int | None, compared: int, share: str) -> None:
    assert kept_share(a_worth(could_last=could_last, compared=compared)) == Fraction(share)


def test_years_are_tried_in_tenths_and_money_in_its_coin() -> None:
    assert [digits_of(name, a_worth(digits=0)) for name in (COULD_LAST, NEW_PRICE)] == [1, 0]


@given(worths(), money(), st.sampled_from(sorted(set(NAMES) - {COULD_LAST})), st.none() | parts())
def test_there_both_cost_the_same(worth: Worth, repair: D, name: str, loses: D | None) -> None:
    """To the cent of each rounded line, and half a cent of an upkeep for each year."""
    unknown: dict[str, Any] = {NAMES[name]: None}
    blank = replace(worth, new_loses=loses, **unknown)
    even = even_value(repair, blank, name, ANY)
    assume(even is not None)
    assert even is not None and worth.horizon is not None
    sums = sums_of(repair, with_value(blank, name, even))
    assert sums is not None
    assert abs(sums.difference) <= D("0.03") + D("0.005") * worth.horizon
