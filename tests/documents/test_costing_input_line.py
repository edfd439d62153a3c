"""A value of an input for people, and where it is from: what the owner reads beside the cell."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest

from quotekit.documents.costing_input_line import DEFAULT, lines_of_row, value_words
from quotekit.documents.costing_sources import part_of, rate_of, short_place, supplier_name, where
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from quotekit.problems import Place
from tests.build import (
    a_book,
    a_finding,
    a_job,
    a_part,
    a_rate,
    a_remedy,
    a_supplier,
    a_tier,
    an_operation,
    found,
    quantities,
)


@pytest.mark.parametrize(
    ("value", "percent", "words"),
    [
        (D("2.50"), False, "2.5"),
        (D("100"), False, "100"),
        (D("0"), False, "0"),
        (D("0.150"), True, "15 %"),
        (D("0.0725"), True, "7.25 %"),
        (D("1"), True, "100 %"),
        (True, False, "Yes"),
        (False, False, "No"),
        (7, False, "7"),
        (0, False, "0"),
        (date(2026, 3, 9), False, "2026-03-09"),
        (("A", "B"), False, "A; B"),
        ((), False, ""),
        (frozenset({"B", "A"}), False, "A; B"),
        (["left"], False, "left"),
        (quantities("SEAL x 2; CLIP"), False, "SEAL x 2; CLIP x 1"),
        (None, False, ""),
        ("", False, ""),
        ("0.5", True, "0.5"),
    ],
)
def test_a_value_in_words(value: object, percent: bool, words: str) -> None:
    """A yes is no 1, a set is in one order always, and zero is not blank."""
    assert value_words(value, percent=percent) == words


def a_quote(**values: object) -> Quote:
    """A quote of one worn seal, of the book prices.xlsx and the job job.xlsx."""
    book = a_book(
        file="prices.xlsx",
        findings=[a_finding("WORN")],
        operations=[an_operation("FIT", parts="SEAL")],
        parts=[a_part("SEAL", 10)],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"])],
        tiers=[a_tier("good")],
        **values,
    )
    return build_quote(book, a_job(found(book, "WORN"), file="job.xlsx"))


@pytest.mark.parametrize(
    ("place", "short"),
    [
        (Place("prices.xlsx", "Parts", "D14"), "Parts!D14"),
        (Place("job.xlsx", "Parts", "D14"), "job Parts!D14"),
        (Place("prices.xlsx", "Parts"), "Parts"),
        (Place("job.xlsx", "Job"), "job Job"),
        (Place("prices.xlsx"), ""),
        (Place("", "Parts", "D14"), "Parts!D14"),
    ],
)
def test_a_place_in_short_says_which_workbook(place: Place, short: str) -> None:
    """The job may hold rows of parts at the same address as the book."""
    assert short_place(place, a_quote()) == short


def test_a_row_gives_a_line_for_each_cell_that_holds_something() -> None:
    """A blank cell is no input; one without a column in the sheet is a default."""
    source = Source(file="prices.xlsx", sheet="Parts", row=14, columns={"Pack cost": "D", "Returnable": "F"})
    cells = [("Pack cost", D(10)), ("Returnable", None), ("Markup", D("0.5")), ("Unit", "")]
    lines = list(lines_of_row(a_quote(), "Seal (SEAL)", source, cells, percents=["Markup"]))
    assert [line[:4] for line in lines] == [
        ("Seal (SEAL)", "Pack cost", "10", "Parts!D14"),
        ("Seal (SEAL)", "Markup", "50 %", where(source, "Markup", a_quote()) or DEFAULT),
    ]
    assert lines[0].place == Place("prices.xlsx", "Parts", "D14")


def rates(*days: int) -> ShopBook:
    return a_book(labour_rates=[a_rate("MAIN", 80 + day, in_force_from=date(2026, 1, day)) for day in days])


@pytest.mark.parametrize(("day", "rate"), [(1, 81), (9, 81), (10, 90), (31, 90)])
def test_the_rate_is_the_latest_that_has_begun(day: int, rate: int) -> None:
    """A price quoted before a rise is quoted at the rate of its day."""
    quote = build_quote(rates(1, 10), a_job(quote_date=date(2026, 1, day)))
    row = rate_of(quote, "MAIN")
    assert row is not None and row.rate_per_hour == rate
    assert rate_of(quote, "NONE") is None


def test_the_jobs_own_row_of_a_part_stands_for_the_books() -> None:
    book = a_book(parts=[a_part("SEAL", 10), a_part("BELT", 20)])
    quote = build_quote(book, a_job(parts={"SEAL": a_part("SEAL", 7)}))
    costs = [part.pack_cost for code in ("SEAL", "BELT") if (part := part_of(quote, code))]
    assert costs == [7, 20]
    assert part_of(quote, "NONE") is None


def test_a_supplier_without_a_row_is_called_as_the_part_calls_it() -> None:
    quote = a_quote(suppliers=[a_supplier("NORTH", supplier="Northside")])
    assert [supplier_name(quote, code) for code in ("NORTH", "Corner shop")] == ["Northside", "Corner shop"]
