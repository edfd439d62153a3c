"""Where an input came from, in short, and the row that stands for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from quotekit.documents.costing_sources import (
    part_of,
    rate_of,
    short_place,
    supplier_name,
    supplier_of,
    where,
)
from quotekit.model.quote import Quote
from quotekit.model.source import NOWHERE, Source
from quotekit.pricing import build_quote
from quotekit.problems import Place
from tests import build
from tests.pricing.explain.small import a_shop, job_of


def a_quote(book_file: str = "book.xlsx", job_file: str = "job.xlsx", **job: object) -> Quote:
    """A seal at 10 from the book, and the files it was read from."""
    rates = [build.a_rate(), build.a_rate("MAIN", 120, in_force_from=date(2026, 2, 1)), build.a_rate("FINE", 90)]
    book = replace(a_shop(labour_rates=rates), file=book_file)
    return build_quote(book, replace(job_of(book, **job), file=job_file))


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place("book.xlsx", "Parts", "D14"), "Parts!D14"),
        (Place("job.xlsx", "Parts", "D14"), "job Parts!D14"),
        (Place("job.xlsx", "Parts"), "job Parts"),
        (Place("", "Parts", "D14"), "Parts!D14"),
        (Place("other.xlsx", "Parts", "D14"), "Parts!D14"),
        (Place("job.xlsx"), ""),
        (Place(""), ""),
    ],
)
def test_a_cell_in_short(place: Place, words: str) -> None:
    """`job` stands before cells of the job workbook, so that two sheets of one name are told apart."""
    assert short_place(place, a_quote()) == words


def test_two_files_of_one_name_are_not_told_apart() -> None:
    """Neither is called the job's: it would be wrong for the other."""
    assert short_place(Place("x.xlsx", "Parts", "D3"), a_quote("x.xlsx", "x.xlsx")) == "Parts!D3"


def test_the_cell_of_a_column() -> None:
    source = Source(file="job.xlsx", sheet="Findings", row=5, columns={"Measured": "C"})
    assert where(source, "Measured", a_quote()) == "job Findings!C5"
    assert where(NOWHERE, "Measured", a_quote()) == ""


def test_a_part_of_the_job_stands_for_the_books() -> None:
    quote = a_quote(parts=[build.a_part("SEAL", 8), build.a_part("OWN", 3)])
    costs = {code: part.pack_cost for code in ("SEAL", "OWN") if (part := part_of(quote, code))}
    assert costs == {"SEAL": 8, "OWN": 3}
    book_part = part_of(a_quote(), "SEAL")
    assert book_part is not None and book_part.pack_cost == 10
    assert part_of(quote, "NONE") is None


def test_a_rate_is_the_row_in_force_on_the_date() -> None:
    main, fine = rate_of(a_quote(), "MAIN"), rate_of(a_quote(), "FINE")
    assert main is not None and fine is not None
    assert (main.rate_per_hour, fine.rate_per_hour) == (120, 90)
    early = rate_of(a_quote(quote_date=date(2026, 1, 31)), "MAIN")
    assert early is not None and early.rate_per_hour == 100, "the day before it is in force"
    assert rate_of(a_quote(), "NONE") is None


def test_whom_a_part_is_bought_from() -> None:
    """By the part's row; a line of the job names its own; an unknown one has no terms."""
    lines = [
        build.a_one_off(1, "part", 1, unit_price=8, supplier="SHELF"),
        build.a_one_off(2, "part", 1, unit_price=8),
        build.a_one_off(3, "part", 1, unit_price=8, supplier="a yard sale"),
    ]
    quote = a_quote(one_off=lines)
    found = {line.part: supplier_of(quote, line) for line in quote.tiers[0].part_lines}
    codes = {part: supplier.code if supplier else None for part, supplier in found.items()}
    assert codes == {"SEAL": "NORTH", "ONEOFF-1": "SHELF", "ONEOFF-2": None, "ONEOFF-3": None}


def test_a_book_without_suppliers_has_no_terms_and_their_words_are_their_names() -> None:
    quote = a_quote()
    assert (supplier_name(quote, "NORTH"), supplier_name(quote, "a yard sale")) == ("North", "a yard sale")
    bare = replace(quote, book=replace(quote.book, suppliers=None))
    assert supplier_of(bare, bare.tiers[0].part_lines[0]) is None
    assert supplier_name(bare, "NORTH") == "NORTH"
