"""What needs a second tick: large changes either way, and what is more often a slip than a price."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.pricing.proposals.rows import DAY, book_of, exact, part, proposal, reasons, unpriced


def why(
    cost: str, book_cost: str = "10.00", *, limit: str = "0.2", says: dict[str, Any] | None = None, **own: Any
) -> list[str]:
    """Reasons for one part whose list says a cost."""
    one = proposal(book_of(part("SEAL", book_cost, **own)), exact("N-SEAL", cost, **(says or {})), limit=limit)
    return reasons(one)


@pytest.mark.parametrize(
    ("cost", "expected"),
    [
        ("12.00", []),
        ("12.01", ["cost change", "price change"]),
        ("8.00", []),
        ("7.99", ["cost change", "price change"]),
        ("1000", ["cost change", "price change"]),
    ],
)
def test_the_limit_is_one_way_and_the_other(cost: str, expected: list[str]) -> None:
    """20 % of 10.00, ends included."""
    assert why(cost) == expected


def test_another_limit() -> None:
    assert why("10.51", limit="0.05") == ["cost change", "price change"]
    assert why("20.00", limit="1") == []


def test_the_price_alone_may_change_by_more() -> None:
    """The old list price held the selling price down; the new one lets it go: 10.50 to 15.30."""
    found = why("10.20", says={"list_price": "12.60"}, list_price_each="10.50")
    assert found == []
    assert why("10.20", says={"list_price": "30"}, list_price_each="10.50") == ["price change", "list change"]


def test_the_list_price_alone_may_change_by_more() -> None:
    assert why("10.00", says={"list_price": "200"}, list_price_each="20.00") == ["list change"]


def test_a_cost_of_zero_before() -> None:
    """Of a part with a fixed price; how much more it costs can't be told as a share."""
    assert why("3.00", "0", fixed_price_each="5.00") == ["zero cost"]


def test_below_cost_and_the_sign_of_what_it_leaves() -> None:
    assert why("11.00", fixed_price_each="10.50") == ["below cost", "margin turns"]
    assert why("12.00", fixed_price_each="9.00") == ["below cost"]
    assert why("10.50", fixed_price_each="10.00") == ["below cost", "margin turns"], "from nothing left to a loss"
    assert why("9.00", fixed_price_each="9.00") == ["margin turns"], "from a loss to nothing left"
    assert why("8.50", fixed_price_each="9.00") == ["margin turns"]


def test_half_a_cent_of_rounding_is_no_loss() -> None:
    """A list price of 0.33 for what costs 0.3333 each: the cost is charged, rounded to 0.33."""
    own = {"pack": "3", "list_price_each": "0.33"}
    one = proposal(
        book_of(part("SEAL", "0.96", **own)), exact("N-SEAL", "1.00", cost_for="3", pack="3", list_price="0.33")
    )
    assert one.new.price == Decimal("0.33")
    assert reasons(one) == ["above list"]


def test_a_cost_above_the_list_price() -> None:
    assert why("11.00", says={"list_price": "10.90"}, list_price_each="12.00") == ["above list"]
    assert why("11.00", says={"list_price": "11.00"}, list_price_each="12.00") == [], "at it is not above it"


def test_a_list_price_from_before_counts_where_the_list_has_none() -> None:
    assert why("11.00", list_price_each="10.90") == ["above list"]


def test_an_older_list() -> None:
    """The owner typed a newer price by hand: the list would take it back."""
    old = {"dated": date(2026, 9, 30)}
    assert why("11.00", says=old, cost_date=date(2026, 10, 1)) == ["older"]
    assert why("11.00", says={"dated": date(2026, 10, 1)}, cost_date=date(2026, 10, 1)) == []
    assert why("11.00", says=old) == []


def test_other_terms_from_an_older_list_need_none() -> None:
    one = proposal(
        book_of(part("SEAL", "10.00", cost_date=DAY)), exact("N-SEAL", "10.00", lead_days=4, dated=date(2026, 1, 1))
    )
    assert reasons(one) == []


def test_another_number_and_another_part() -> None:
    book = book_of(part("SEAL", "10.00"), part("SEAL-B", "11.00"))
    other = proposal(book, exact("N-SEAL", "10.00", superseded_by="N-9"), exact("N-9", "10.50"))
    assert [(said.what, said.about) for said in other.over] == [("other number", "N-9")]
    of_book = proposal(book, exact("N-SEAL", "10.00", superseded_by="N-SEAL-B"), unpriced("N-SEAL-B", "not found"))
    assert [(said.what, said.about) for said in of_book.over] == [("replaced", "SEAL-B")]


def test_every_cell_of_the_row_says_so() -> None:
    one = proposal(book_of(part("SEAL", "10.00")), exact("N-SEAL", "20.00", lead_days=9))
    assert {change.field for change in one.changes} == {"pack cost", "lead days"}
    assert all(change.over_limit for change in one.changes)
