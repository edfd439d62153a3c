"""A list's row brought to the pack that the shop book buys: cost and pack belong together, nothing is lost unseen."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.proposed_prices import Terms
from quotekit.pricing.proposals.new_terms import MOST_DIGITS, TooExact, dated, finite, stated
from tests.pricing.proposals.rows import DAY, listed

AMOUNTS = st.decimals("0.000001", "99999", places=6)
QUANTITIES = st.decimals("0.001", "1000", places=3)


def terms(pack_cost: str = "12.00", pack: str = "12", **values: object) -> Terms:
    return Terms(pack_quantity=Decimal(pack), pack_cost=Decimal(pack_cost), **values)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("says", "pack", "cost", "why"),
    [
        ({"cost": "1.10"}, "12", "13.2", "one costs 1.10, the book buys twelve"),
        ({"cost": "14.50", "cost_for": "100"}, "12", "1.74", "a price for a hundred"),
        ({"cost": "1.10", "pack": "12"}, "12", "13.2", "the list's pack is the book's"),
        ({"cost": "1.10", "pack": "10"}, "10", "11", "another pack: both are new"),
        ({"cost": "1.00", "pack": "10"}, "10", "10", "the cost of one is the same, the pack is not"),
        ({"cost": "110", "cost_for": "100", "pack": "50"}, "50", "55", "for a hundred, in packs of fifty"),
        ({"cost": "0.012345"}, "12", "0.14814", "six decimals stay"),
        ({"cost": "1.00"}, "12", "12.00", "nothing differs"),
    ],
)
def test_pack_and_cost(says: dict[str, str], pack: str, cost: str, why: str) -> None:
    found = stated(terms(), listed("7", **says), None)
    assert (found.terms.pack_quantity, found.terms.pack_cost) == (Decimal(pack), Decimal(cost)), why
    assert found.notes == ()


def test_a_cost_without_end_is_rounded_and_told() -> None:
    """10.00 for three, bought one by one: 3.333333 in the cell, and the owner is told."""
    found = stated(terms("3.00", "1"), listed("7", "10", cost_for="3"), None)
    assert found.terms.pack_cost == Decimal("3.333333")
    assert [(said.what, said.about) for said in found.notes] == [("rounded", "pack cost")]


def test_what_was_rounded_before_does_not_differ_again() -> None:
    """Else the same proposal would come back every month."""
    found = stated(terms("3.333333", "1"), listed("7", "10", cost_for="3"), None)
    assert found.terms == terms("3.333333", "1")
    assert found.notes == ()


def test_more_digits_than_a_cell_holds() -> None:
    with pytest.raises(TooExact):
        stated(terms("3.00", "1"), listed("7", "123456789012.123456"), None)


@given(cost=AMOUNTS, cost_for=st.sampled_from(["1", "10", "100", "1000"]), pack=QUANTITIES)
def test_the_cost_of_one_is_kept_exactly(cost: Decimal, cost_for: str, pack: Decimal) -> None:
    """Whatever the pack: its cost by its quantity is the list's cost of one, unless that was told."""
    row = listed("7", str(cost), cost_for=cost_for, pack=str(pack))
    try:
        found = stated(terms(), row, None)
    except TooExact:
        return
    each = Fraction(found.terms.pack_cost) / Fraction(found.terms.pack_quantity)
    if found.notes:
        assert abs(each - Fraction(cost) / int(cost_for)) * Fraction(pack) <= Fraction(1, 2_000_000)
    else:
        assert each == Fraction(cost) / int(cost_for)
    assert len(found.terms.pack_cost.normalize().as_tuple().digits) <= MOST_DIGITS


@given(st.fractions())
def test_finite_is_exact_or_nothing(value: Fraction) -> None:
    ended = finite(value)
    rest = value.denominator
    for factor in (2, 5):
        while rest % factor == 0:
            rest //= factor
    assert (ended is not None) == (rest == 1)
    assert ended is None or Fraction(ended) == value


@pytest.mark.parametrize(
    ("says", "expected", "why"),
    [
        ({"list_price": "20.00"}, "20", "new"),
        ({"list_price": "2000.00", "list_for": "100"}, "20", "for a hundred"),
        ({"list_price": "0"}, "18.00", "zero is no list price"),
        ({}, "18.00", "blank changes nothing"),
    ],
)
def test_list_price(says: dict[str, str], expected: str, why: str) -> None:
    found = stated(terms(list_each=Decimal("18.00")), listed("7", "1.00", **says), None)
    assert found.terms.list_each == Decimal(expected), why


@pytest.mark.parametrize(
    ("own", "supplier", "says", "expected", "why"),
    [
        (None, None, 3, 3, "nobody knew"),
        (None, 3, 3, None, "the supplier's own says so already"),
        (None, 2, 3, 3, "the supplier's own says something else"),
        (5, 3, 3, 3, "the part's own comes first"),
        (5, 3, None, 5, "blank changes nothing"),
        (5, None, 0, 0, "at once is a lead time"),
    ],
)
def test_lead_days(own: int | None, supplier: int | None, says: int | None, expected: int | None, why: str) -> None:
    found = stated(terms(lead_days=own), listed("7", "1.00", lead_days=says), supplier)
    assert found.terms.lead_days == expected, why


def test_a_list_without_costs_is_told() -> None:
    found = stated(terms(), listed("7", None, list_price="20"), None)
    assert found.terms.pack_cost == Decimal("12.00")
    assert [said.what for said in found.notes] == ["list without cost"]


@pytest.mark.parametrize(
    ("cost_date", "new_cost", "expected", "why"),
    [
        (DAY - timedelta(days=10), "13.00", DAY, "a new price is of the day"),
        (DAY - timedelta(days=10), "12.00", DAY - timedelta(days=10), "the same price, young enough"),
        (DAY - timedelta(days=90), "12.00", DAY - timedelta(days=90), "as old as quotes take"),
        (DAY - timedelta(days=91), "12.00", DAY, "the same price, confirmed before quotes warn of it"),
        (DAY + timedelta(days=1), "13.00", DAY + timedelta(days=1), "never an earlier day"),
        (None, "13.00", None, "a blank cell may not be formatted as a date"),
    ],
)
def test_cost_date(cost_date: date | None, new_cost: str, expected: date | None, why: str) -> None:
    now = terms(cost_date=cost_date)
    new = terms(new_cost, cost_date=cost_date)
    assert dated(now, new, DAY, 90).cost_date == expected, why
