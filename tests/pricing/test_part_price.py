"""The selling price of one part (DESIGN.md 5.4), by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.shop_book import MarkupBand
from quotekit.pricing.part_price import band_of, marked_up, unit_cost, unit_price
from tests import build

ONE = (build.a_band(markup="0.5"),)
BANDS = (build.a_band(0, 5, 1), build.a_band(5, 20, "0.8"), build.a_band(20, None, "0.4"))
"""Up to 5: 100 %; up to 20: 80 %; above: 40 %. Prices at the tops: 10 and 36."""


def test_unit_cost_is_exact() -> None:
    """A pack of 3 at 10 costs ten thirds each: nothing is rounded yet."""
    assert unit_cost(build.a_part("P", 10, 3)) == Fraction(10, 3)


@pytest.mark.parametrize(("cost", "band"), [("0.01", 0), ("5", 0), ("5.01", 1), ("20", 1), ("20.0001", 2), ("9999", 2)])
def test_cost_over_excludes_and_cost_up_to_includes(cost: str, band: int) -> None:
    assert band_of(Fraction(cost), BANDS) is BANDS[band]


def test_a_cost_of_zero_is_in_no_band() -> None:
    """Cost over 0 excludes it: a part that costs nothing needs a fixed price."""
    assert band_of(Fraction(0), BANDS) is None


@pytest.mark.parametrize(
    ("cost", "price", "why"),
    [
        ("4", "8.00", "markup 100 %"),
        ("5", "10.00", "markup 100 %"),
        ("5.01", "10.00", "top of the markup band below"),
        ("5.55", "10.00", "top of the markup band below"),
        ("5.56", "10.01", "markup 80 %"),
        ("20", "36.00", "markup 80 %"),
        ("20.01", "36.00", "top of the markup band below"),
        ("25.71", "36.00", "top of the markup band below"),
        ("25.72", "36.01", "markup 40 %"),
        ("100", "140.00", "markup 40 %"),
    ],
)
def test_a_dearer_part_is_never_cheaper_at_the_edge_of_a_band(cost: str, price: str, why: str) -> None:
    """5.01 x 1.8 = 9.018, below the 10 of a part at 5; 25.71 x 1.4 = 35.994, below 36."""
    priced = unit_price(build.a_part("P", cost), BANDS, 2)
    assert (str(priced.price), priced.why) == (price, why)


def test_the_top_of_every_lower_band_counts_not_only_the_next() -> None:
    """100 % to 10, then 0 % to 12, then 50 %: a part at 13 costs 19.50, still below the 20 of the first band."""
    bands = (build.a_band(0, 10, 1), build.a_band(10, 12, 0), build.a_band(12, None, "0.5"))
    assert marked_up(Fraction(13), bands) == 20
    assert marked_up(Fraction(14), bands) == 21


@pytest.mark.parametrize(
    ("part", "price", "why"),
    [
        ({"pack_cost": 10}, "15.00", "markup 50 %"),
        ({"pack_cost": 10, "list_price_each": "14"}, "14.00", "list price"),
        ({"pack_cost": 10, "list_price_each": "15"}, "15.00", "markup 50 %"),
        ({"pack_cost": 10, "list_price_each": "99"}, "15.00", "markup 50 %"),
        ({"pack_cost": 10, "list_price_each": "9"}, "10.00", "unit cost, as the list price is below it"),
        ({"pack_cost": 10, "list_price_each": "10"}, "10.00", "list price"),
        ({"pack_cost": 10, "fixed_price_each": "7.50"}, "7.50", "fixed price"),
        ({"pack_cost": 10, "fixed_price_each": "30", "list_price_each": "20"}, "30.00", "fixed price"),
        ({"pack_cost": 0, "fixed_price_each": "2"}, "2.00", "fixed price"),
    ],
)
def test_what_decides_the_price(part: dict[str, Any], price: str, why: str) -> None:
    """Markup, not above list, never below cost; a fixed price replaces all that."""
    priced = unit_price(build.a_part("P", **part), ONE, 2)
    assert (str(priced.price), priced.why) == (price, why)


@pytest.mark.parametrize(
    ("pack_cost", "pack", "digits", "price"),
    [("10", 3, 2, "5.00"), ("1", 3, 2, "0.50"), ("0.01", 1, 2, "0.02"), ("100", 7, 2, "21.43"), ("333", 7, 0, "71")],
)
def test_the_price_is_rounded_once(pack_cost: str, pack: int, digits: int, price: str) -> None:
    """0.01 x 1.5 = 0.015 goes up; 333/7 x 1.5 = 71.357... is 71 yen."""
    assert str(unit_price(build.a_part("P", pack_cost, pack), ONE, digits).price) == price


@pytest.mark.parametrize("bands", [(), (build.a_band(0, 5, 1),), (build.a_band(20, None, 1),)])
def test_a_cost_in_no_band_is_refused(bands: tuple[MarkupBand, ...]) -> None:
    with pytest.raises(ValueError, match="no markup band holds"):
        marked_up(Fraction(Decimal("7")), bands)
