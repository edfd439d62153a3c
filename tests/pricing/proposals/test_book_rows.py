"""The rows that a list speaks of, their prices, and the book as if proposals were taken."""

from __future__ import annotations

from decimal import Decimal

from quotekit.pricing import build_quote
from quotekit.pricing.proposals.book_rows import book_with, numbers_of, rows_of
from tests.build import a_finding, a_finding_on, a_job, a_remedy, an_operation
from tests.pricing.proposals.rows import book_of, exact, offer, part, proposal


def test_a_list_speaks_of_its_suppliers_rows_alone() -> None:
    book = book_of(
        part("SEAL", "10.00"), part("BELT", "9.00", supplier="LAKE"), part("PIN", "1.00"),
        offers=(offer("SEAL", "9.50"),),
    )  # fmt: skip
    assert [(row.sheet, row.code) for row in rows_of(book, "NORTH")] == [("Parts", "SEAL"), ("Parts", "PIN")]
    assert [(row.sheet, row.code) for row in rows_of(book, "LAKE")] == [("Parts", "BELT"), ("Offers", "SEAL")]
    assert rows_of(book, "SHELF") == ()


def test_prices_are_those_of_a_quote() -> None:
    """The same figure by `build_quote`, for a part in each band, with list and with fixed price."""
    parts = (
        part("A", "4.00"), part("B", "5.20"), part("C", "20.00"), part("D", "20.00", list_price_each="25.00"),
        part("E", "20.00", list_price_each="15.00"), part("F", "20.00", fixed_price_each="22.50"),
    )  # fmt: skip
    uses = "; ".join(one.code for one in parts)
    book = book_of(
        *parts,
        findings=[a_finding("WORN")],
        operations=[an_operation("FIT", parts=uses)],
        remedies=[a_remedy("REPAIR", ["WORN"], ["FIT"])],
    )
    lines = build_quote(book, a_job(a_finding_on("WORN"))).tiers[0].part_lines
    asked = {line.part: line.unit_price for line in lines}
    assert {row.code: row.terms.price for row in rows_of(book, "NORTH")} == asked
    assert list(asked.values()) == [Decimal(text) for text in ("8.00", "10.00", "30.00", "25.00", "20.00", "22.50")]


def test_a_row_without_a_number_is_asked_for_by_its_code() -> None:
    book = book_of(part("SEAL", "10.00"), part("PIN", "1.00", suppliers_number=" "), part("CAP", "1.00"))
    assert numbers_of(rows_of(book, "NORTH")) == ["N-SEAL", "PIN", "N-CAP"]


def test_the_book_with_proposals_taken() -> None:
    book = book_of(
        part("SEAL", "10.00", "2", taxed_as="oil"), part("PIN", "1.00"),
        offers=(offer("SEAL", "9.50"), offer("PIN", "0.9", row=4)),
    )  # fmt: skip
    own = proposal(book, exact("N-SEAL", "6.00", list_price="12", lead_days=4))
    other = proposal(book, exact("L-PIN", "0.80"), code="PIN", supplier="LAKE")
    new = book_with(book, (own, other))
    seal, first, second = new.parts["SEAL"], *new.offers
    assert (seal.pack_cost, seal.pack_quantity, seal.list_price_each, seal.lead_days) == (12, 2, 12, 4)
    assert seal.taxed_as == "oil" and new.parts["PIN"] == book.parts["PIN"]
    assert first == book.offers[0] and second.pack_cost == Decimal("0.8")
    assert book.parts["SEAL"].pack_cost == 10, "the book itself is as it was"
