"""SELLING_PRICE: the docstring's example, edges of bands, and every argument that has no price."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.functions.asked import Given, Reason
from quotekit.pricing.part_price import unit_price
from tests import build
from tests.pricing.functions.ask import ask, figure

BOOK = build.a_book(markup=[build.a_band(0, 10, "0.8"), build.a_band(10, 100, "0.5")])
OPEN = build.a_book(markup=[build.a_band(0, 10, "0.8"), build.a_band(10, None, "0.5")])


@pytest.mark.parametrize(
    ("cost", "list_price", "expected"),
    [
        ("6.25", None, "11.25"),
        ("10", None, "18.00"),
        ("10.40", None, "18.00"),
        ("12.01", None, "18.02"),
        ("10.40", "17.50", "17.50"),
        ("10.40", "9.00", "10.40"),
        ("0.001", None, "0.00"),
        ("100", None, "150.00"),
    ],
)
def test_price_by_bands(cost: str, list_price: str | None, expected: str) -> None:
    """The top of a band belongs to it; just over it no price falls; a list price below cost charges cost."""
    assert figure(BOOK, "SELLING_PRICE", Decimal(cost), None if list_price is None else Decimal(list_price)) == expected


@pytest.mark.parametrize(
    ("cost", "expected"),
    [
        (None, "The cost is blank. A blank is not zero: fill it in."),
        ("  ", "The cost is blank. A blank is not zero: fill it in."),
        (((None,),), "The cost is blank. A blank is not zero: fill it in."),
        (Decimal(0), "The cost is 0, or its cell is blank. It must be above 0."),
        (Decimal("-4"), "The cost is negative. Check the number."),
        ("12.50", "The cost is text that looks like a number: 12.50. Format the cell as a number and type it again."),
        ("$1,200.50", "The cost is text that looks like a number: $1,200.50. "
         "Format the cell as a number and type it again."),
        ("SEAL", "The cost is text: SEAL. Type a plain number."),
        (True, "The cost is yes or no. A number is wanted here."),
        (build.QUOTE_DATE, "The cost is a date. A number is wanted here."),
        (Decimal("100.01"), "No band of the Markup sheet holds a cost of 100.01. Add a band to Markup."),
        (Decimal("1E+15"), "The cost has more than 15 digits. Check the number."),
        (((Decimal(1), Decimal(2)),), "The cost is a range of 2 cells. Give one cell."),
    ],
)  # fmt: skip
def test_no_price(cost: Given, expected: str) -> None:
    """A blank is not zero, and nothing is guessed about money."""
    assert figure(BOOK, "SELLING_PRICE", cost) == expected


def test_a_list_price_of_zero_is_no_list_price() -> None:
    """A formula that found nothing gives 0: the part would be sold at cost."""
    assert figure(BOOK, "SELLING_PRICE", Decimal(5), Decimal(0)).startswith("The list price is 0,")


def test_a_book_without_bands() -> None:
    assert figure(build.a_book(markup=[]), "SELLING_PRICE", Decimal(5)).startswith("No band of the Markup sheet holds")


def test_minor_unit_of_the_currency() -> None:
    """Yen have no cents, dinars three decimals."""
    for currency, expected in (("JPY", "10"), ("KWD", "10.001")):
        book = build.a_book(settings=build.settings(currency=currency), markup=[build.a_band(markup="0.5")])
        assert figure(book, "SELLING_PRICE", Decimal("6.6674")) == expected


@given(
    cost=st.decimals("0.0001", "999999", places=4),
    list_price=st.none() | st.decimals("0.0001", "999999", places=4),
)
def test_as_the_part_itself(cost: Decimal, list_price: Decimal | None) -> None:
    """A part of the book with that cost and list price has the same price."""
    part = build.a_part("P", cost, list_price_each=list_price)
    assert ask(OPEN, "SELLING_PRICE", cost, list_price) == unit_price(part, OPEN.markup, 2).price


@given(value=st.none() | st.booleans() | st.dates() | st.text() | st.decimals(allow_nan=False, allow_infinity=False))
def test_never_raises(value: Given) -> None:
    """Whatever a cell holds there is a figure or a reason of two sentences."""
    answer = ask(OPEN, "SELLING_PRICE", value)
    if isinstance(answer, Reason):
        assert answer.why.endswith(".") and answer.advice.endswith((".", "?"))
    else:
        assert answer >= 0
