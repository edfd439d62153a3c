"""Who sells a part: the book's row and offers, a job's own row, a one-off line, the shelf."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quotekit.model.landed import PackOffer
from quotekit.model.shop_book import Supplier
from quotekit.model.source import Source
from quotekit.pricing.landed.offers import is_shelf, part_key, sold, terms_by_supplier
from tests.build import a_book, a_job, a_one_off, a_part
from tests.pricing.landed.jobs import shop

BOOK = shop()
JOB = a_job(job_number="117")


def briefly(offers: tuple[PackOffer, ...]) -> list[tuple[object, ...]]:
    return [
        (one.supplier, f"{one.pack_quantity}", f"{one.pack_cost}", one.lead_days, one.usual, f"{one.extra_freight}")
        for one in offers
    ]


def test_the_row_and_its_offers() -> None:
    """Extra freight is the part's, whoever sends it; its own lead, else its supplier's; the shelf offers none."""
    found = sold("SEAL", JOB, BOOK, BOOK)
    assert briefly(found.offers) == [
        ("NORTH", "2", "6.40", 2, True, "0.50"),
        ("AXLE", "5", "14.50", 3, False, "0.50"),
    ]
    assert [one.lead_days for one in sold("BELT", JOB, BOOK, BOOK).offers] == [5]
    assert (found.facts.part, found.facts.unit, found.facts.returnable) == ("SEAL", "each", True)
    assert sold("BELT", JOB, BOOK, BOOK).facts.returnable is False


def test_the_shelf_sells_nothing() -> None:
    found = sold("COTTER", JOB, BOOK, BOOK)
    assert (found.facts.shelf, found.offers) == (True, ())
    assert [is_shelf(name, BOOK) for name in ("SHELF", "", None, "NORTH", "free text")] == [
        True,
        True,
        True,
        False,
        False,
    ]


def test_prices_are_those_of_today() -> None:
    """The quote was frozen with the old price; what is bought costs what it costs today."""
    dearer = replace(BOOK, parts={**BOOK.parts, "SEAL": replace(BOOK.parts["SEAL"], pack_cost=Decimal("7.00"))})
    assert sold("SEAL", JOB, BOOK, dearer).offers[0].pack_cost == Decimal("7.00")


def test_a_part_that_left_the_book_is_bought_as_it_was_quoted() -> None:
    gone = replace(BOOK, parts={"BELT": BOOK.parts["BELT"]})
    assert [one.supplier for one in sold("SEAL", JOB, BOOK, gone).offers] == ["NORTH"]


def test_a_job_with_its_own_row_buys_a_part_of_its_own() -> None:
    """Another number under the same code: neither the book's offers nor another job's packs stand in for it."""
    own = a_part("SEAL", "9.00", 1, supplier="AXLE", suppliers_number="A-9", part="Seal, older")
    job = a_job(job_number="117", parts=[own])
    assert part_key("SEAL", job, BOOK) == "SEAL of 117"
    found = sold("SEAL", job, BOOK, BOOK)
    assert briefly(found.offers) == [("AXLE", "1", "9.00", 3, True, "0")]
    assert (found.facts.code, found.facts.name) == ("SEAL", "Seal, older")


def test_an_own_row_that_says_the_same_is_the_books_part() -> None:
    same = replace(BOOK.parts["SEAL"], source=Source(file="job.xlsx", sheet="Parts", row=9))
    assert part_key("SEAL", a_job(parts=[same]), BOOK) == "SEAL"


def test_one_off_parts_belong_to_their_job() -> None:
    """A pack of one at its cost; without a supplier it is on the shelf; without a cost that is said."""
    lines = [
        a_one_off(1, "part", 2, unit_cost=17, supplier="NORTH", lead_days=9),
        a_one_off(2, "part", 1, unit_cost=3),
        a_one_off(3, "part", 1, unit_price=20, supplier="AXLE"),
    ]
    job = a_job(job_number="117", one_off=tuple(lines))
    first, second, third = (sold(line.code, job, BOOK, BOOK) for line in lines)
    assert (first.facts.part, first.facts.code) == ("Line 1 of 117", "ONEOFF-1")
    assert briefly(first.offers) == [("NORTH", "1", "17", 9, True, "0")]
    assert (second.facts.shelf, second.offers) == (True, ())
    assert [(one.cost_known, one.pack_cost, one.lead_days) for one in third.offers] == [(False, 0, 3)]


def test_a_one_off_line_goes_by_its_text() -> None:
    """A line put before it in a revision moves its code, and it must not be ordered again, nor another in its place."""
    plate, clip = (a_one_off(place, "part", line=text) for place, text in ((1, "Plate"), (2, "Clip")))
    before = a_job(job_number="117", one_off=(plate, clip))
    moved = (a_one_off(1, "part", line="Clip"), a_one_off(2, "labour"), a_one_off(3, "part", line=" Plate"))
    after = a_job(job_number="117", one_off=moved)
    keys = [part_key(code, job, BOOK) for job, code in ((before, "ONEOFF-1"), (after, "ONEOFF-3"), (after, "ONEOFF-1"))]
    assert keys == ["Plate of 117", "Plate of 117", "Clip of 117"]


def test_two_one_off_lines_of_one_text_are_two_parts() -> None:
    both = tuple(a_one_off(place, "part", line="Plate") for place in (1, 2))
    job = a_job(job_number="117", one_off=both)
    assert [part_key(line.code, job, BOOK) for line in both] == ["Plate of 117", "Plate (2) of 117"]


def test_suppliers_as_free_text_have_no_terms() -> None:
    """Without the sheet Suppliers nothing is known of a supplier but its name."""
    bare = a_book(parts=[a_part("SEAL", supplier="Corner shop")], suppliers=None)
    (offer,) = sold("SEAL", JOB, bare, bare).offers
    assert (offer.supplier, offer.lead_days, terms_by_supplier([bare])) == ("Corner shop", None, {})


def test_the_later_book_knows_the_terms_better() -> None:
    new = replace(BOOK, suppliers={"NORTH": Supplier(code="NORTH", supplier="North", freight=Decimal(20))})
    found = terms_by_supplier([BOOK, new])
    assert (found["NORTH"].freight, found["AXLE"].supplier) == (Decimal(20), "Axle")
