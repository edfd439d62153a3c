"""Outside checks 7.01 to 7.07: an amount split over lines by largest remainder.

Source: OpenStax, Contemporary Mathematics, sections 11.4 and 11.5 (numbers used, text not copied).
Giving ties to the earlier line is a choice of this program (DESIGN.md 5.6).

7.01 asks for at least one unit for each line, which the engine has no rule for: a charge of zero stays zero.
Its quotas are checked, and its last seat is given by the engine's own split of the remainders.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.money import allocate, round_to
from tests.outside_checks.small_shop import shared_access

SCHOOLS = [46310, 224230, 20, 16560, 38450]


def test_7_01_quotas_and_a_minimum_of_one_each() -> None:
    """7.01 (section 11.4): quotas, lower quotas with a minimum of one, and the last seat to the largest remainder."""
    quotas = [Fraction(weight * 616, sum(SCHOOLS)) for weight in SCHOOLS]
    assert [str(round_to(quota, 2)) for quota in quotas] == ["87.62", "424.26", "0.04", "31.33", "72.75"]
    lower = [max(1, quota.__floor__()) for quota in quotas]
    assert lower == [87, 424, 1, 31, 72]
    remainders = [max(quota - low, Fraction(0)) for quota, low in zip(quotas, lower, strict=True)]
    last = allocate(Decimal(616 - sum(lower)), remainders, 0)
    assert [low + more for low, more in zip(lower, last, strict=True)] == [87, 424, 1, 31, 73]


def test_7_02_plain_largest_remainder() -> None:
    """7.02 (section 11.4, inputs read, worked out)."""
    assert allocate(Decimal(616), SCHOOLS, 0) == [88, 424, 0, 31, 73]


@pytest.mark.parametrize(("seats", "result"), [(10, [4, 4, 2]), (11, [5, 5, 1])])
def test_7_03_one_more_cent_can_take_a_cent_away(seats: int, result: list[int]) -> None:
    """7.03 (section 11.5), the Alabama paradox: a known property of the method, not a fault."""
    assert allocate(Decimal(seats), [6, 6, 2], 0) == result


def test_7_07_one_dollar_in_three() -> None:
    """7.07 (section 11.4): 34, 33 and 33 cents, in money and through a tier with three equal users of one step."""
    assert allocate(Decimal("1.00"), [1, 1, 1], 2) == [Decimal("0.34"), Decimal("0.33"), Decimal("0.33")]
    tier = shared_access({"COVER": "0.01"}, {"A": ["COVER"], "B": ["COVER"], "C": ["COVER"]})
    assert tier.amounts.labour == Decimal("1.00")
    assert [share.labour for share in tier.shares] == [Decimal("0.34"), Decimal("0.33"), Decimal("0.33")]


@given(
    st.integers(-100_000, 100_000),
    st.lists(st.integers(0, 10_000), min_size=1, max_size=12),
    st.sampled_from([0, 2, 3]),
)
def test_7_07_parts_add_up_and_keep_to_the_quota(units: int, weights: list[int], digits: int) -> None:
    """7.07 (section 11.4, the quota rule): parts sum to the total, each within one minor unit of its exact share."""
    total = Decimal(units).scaleb(-digits)
    shares = allocate(total, weights, digits)
    assert sum(shares) == total
    whole = sum(weights) or len(weights)
    for share, weight in zip(shares, weights if sum(weights) else [1] * len(weights), strict=True):
        assert abs(Fraction(share) - Fraction(total) * weight / whole) < Fraction(1, 10**digits)
