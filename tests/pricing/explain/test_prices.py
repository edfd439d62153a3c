"""The selling price of one unit as a tree (rules 5.4): band, tops of lower bands, list price, fixed price."""

from __future__ import annotations

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_band, a_one_off, a_part
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of

PRICE = "parts.SEAL.unit_price"


def priced_at(**values: str) -> ShopBook:
    """A seal that costs 10 and sells for half as much again."""
    return a_shop(parts=[a_part("SEAL", 10, **values)])


def banded(cost: str) -> ShopBook:
    """Up to 10 the price is twice the cost, above one and a half times."""
    return a_shop(markup=[a_band(0, 10, "1"), a_band(10, None, "0.5")], parts=[a_part("SEAL", cost)])


@pytest.mark.parametrize(
    ("given", "expected", "rule"),
    [
        pytest.param(
            {},
            {PRICE: "15.00 = same(SEAL with markup 15.00), half up to cents"},
            "Unit cost with the markup of its band",
            id="cost and markup",
        ),
        pytest.param(
            {"list_price_each": "13"},
            {
                PRICE: "13.00 = same(SEAL at most at list price 13.00), half up to cents",
                "SEAL at most at list price": "13.00 = least(SEAL with markup 15.00, List price each 13)",
            },
            "not above the list price",
            id="list price below",
        ),
        pytest.param(
            {"list_price_each": "20"},
            {PRICE: "15.00 = same(SEAL at most at list price 15.00), half up to cents"},
            "not above the list price",
            id="list price above",
        ),
        pytest.param(
            {"list_price_each": "10"},
            {PRICE: "10.00 = same(SEAL at most at list price 10.00), half up to cents"},
            "not above the list price",
            id="list price at cost",
        ),
        pytest.param(
            {"list_price_each": "8"},
            {
                PRICE: "10.00 = same(SEAL at least at cost 10.00), half up to cents",
                "SEAL at least at cost": "10.00 = most(SEAL at most at list price 8.00, unit cost of SEAL 10.00)",
            },
            "Never below unit cost",
            id="list price below cost",
        ),
        pytest.param(
            {"fixed_price_each": "9.999", "list_price_each": "8"},
            {PRICE: "10.00 = same(Fixed price each 9.999), half up to cents"},
            "The fixed price replaces cost and markup",
            id="fixed price",
        ),
    ],
)
def test_what_makes_the_price(given: dict[str, str], expected: dict[str, str], rule: str) -> None:
    assert_said(expected, priced_at(**given))
    assert_rules({PRICE: rule}, priced_at(**given))


def test_a_price_names_the_cells_that_could_replace_it() -> None:
    """A blank list or fixed price decides too: typing one would change the price."""
    assert_reads({PRICE: "SEAL: Fixed price each; SEAL: List price each"}, priced_at())
    assert_reads({"List price each": "SEAL: List price each"}, priced_at(list_price_each="13"))
    assert_reads({"Fixed price each": "SEAL: Fixed price each"}, priced_at(fixed_price_each="13"))


def test_a_dearer_part_is_never_sold_below_the_top_of_a_lower_band() -> None:
    """11 x 1.5 is 16.50, though a part of 10 is sold for 20: so 20."""
    assert_said(
        {
            PRICE: "20.00 = same(SEAL by cost and markup 20.00), half up to cents",
            "SEAL by cost and markup": "20.00 = most(SEAL with markup 16.50, top of the band over 0 up to 10 20.00)",
            "SEAL with markup": "16.50 = product(unit cost of SEAL 11.00, 1 + markup 1.5)",
            "top of the band over 0 up to 10": "20.00 = product(Cost up to 10, 1 + markup 2)",
            "1 + markup": "1.5 = one plus(Markup, band over 10 up 0.5)",
        },
        banded("11"),
    )
    assert_reads(
        {
            "Cost up to": "0: Cost up to",
            "Markup, band over 10 up": "10: Markup",
            "Markup, band over 0 up to 10": "0: Markup",
            "1 + markup": "10: Cost over; 10: Cost up to",
        },
        banded("11"),
    )


def test_a_cost_at_the_top_of_a_band_belongs_to_it() -> None:
    """Exactly 10: twice the cost, and no lower band to look at."""
    assert_said(
        {
            PRICE: "20.00 = same(SEAL with markup 20.00), half up to cents",
            "SEAL with markup": "20.00 = product(unit cost of SEAL 10.00, 1 + markup 2)",
        },
        banded("10"),
    )
    assert_rules({"SEAL with markup": "the band over 0 up to 10"}, banded("10"))


def test_the_price_given_on_the_job_stands_else_cost_and_markup() -> None:
    book, name = a_shop(), "parts.ONEOFF-1.unit_price"
    typed = job_of(book, one_off=[a_one_off(1, "part", 2, unit_price="7.005", unit_cost="4")])
    assert_said({name: "7.01 = same(Unit price 7.005), half up to cents"}, book, typed)
    assert_reads({"Unit price": "ONEOFF-1: Unit price"}, book, typed)
    by_cost = job_of(book, one_off=[a_one_off(1, "part", 2, unit_cost="4")])
    assert_said(
        {
            name: "6.00 = same(ONEOFF-1 with markup 6.00), half up to cents",
            "ONEOFF-1 with markup": "6.00 = product(Unit cost 4, 1 + markup 1.5)",
        },
        book,
        by_cost,
    )
    assert_reads({name: "ONEOFF-1: Unit price", "Unit cost": "ONEOFF-1: Unit cost"}, book, by_cost)
