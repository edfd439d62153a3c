"""Break-even: units that cover a fixed cost, a profit on top, a mix as one unit, and how far profit swings."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.break_even import Product, composite, leverage, profit_of, units_to_sell

MONEY = st.decimals(min_value=0, max_value=100_000, places=2)


@pytest.mark.parametrize(
    ("price", "variable", "fixed", "profit", "units"),
    [
        (100, 20, 18000, 0, Fraction(225)),
        (100, 20, 18000, 6000, Fraction(300)),
        (90, 0, 100, 0, Fraction(10, 9)),
        (10, 10, 0, 0, Fraction(0)),
        (10, 4, -60, 0, Fraction(0)),
    ],
    ids=["no profit", "with a profit", "a part of a unit", "nothing to cover", "covered already"],
)
def test_units_to_sell(price: int, variable: int, fixed: int, profit: int, units: Fraction) -> None:
    assert units_to_sell(Product(price=price, variable=variable), fixed, profit) == units


@pytest.mark.parametrize("variable", [50, 60])
def test_a_unit_that_leaves_nothing_never_breaks_even(variable: int) -> None:
    """No number of them is enough: an answer below zero would read like one."""
    assert units_to_sell(Product(price=50, variable=variable), 1) is None


@given(price=MONEY, variable=MONEY, fixed=MONEY, wanted=MONEY)
def test_the_units_leave_exactly_the_profit(price: object, variable: object, fixed: object, wanted: object) -> None:
    product = Product(price=Fraction(str(price)), variable=Fraction(str(variable)))
    units = units_to_sell(product, Fraction(str(fixed)), Fraction(str(wanted)))
    if units is None:
        assert product.contribution <= 0
    else:
        assert profit_of(product, units, Fraction(str(fixed))) == Fraction(str(wanted))


@given(mix=st.lists(st.tuples(st.integers(1, 9), MONEY, MONEY), min_size=1, max_size=4), units=st.integers(0, 500))
def test_a_mix_leaves_what_its_products_leave(mix: list[tuple[int, object, object]], units: int) -> None:
    products = [(many, Product(price=Fraction(str(p)), variable=Fraction(str(v)))) for many, p, v in mix]
    together = sum((profit_of(product, many * units, 0) for many, product in products), Fraction(0))
    assert profit_of(composite(products), units, 0) == together


def test_no_product_is_worth_nothing() -> None:
    assert composite([]).contribution == 0


@pytest.mark.parametrize(("contribution", "profit", "times"), [(200, 50, Fraction(4)), (200, 0, None), (200, -5, None)])
def test_leverage(contribution: int, profit: int, times: Fraction | None) -> None:
    """Without a profit a percentage of it says nothing."""
    assert leverage(contribution, profit) == times
