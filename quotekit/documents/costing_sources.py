"""Finds the row an input came from, for the costing: records only, nothing is worked out again."""

from __future__ import annotations

from quotekit.model.quote import PartLine, Quote
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import LabourRate, Part, Supplier
from quotekit.model.source import Source
from quotekit.problems import Place


def where(source: Source, column: str, quote: Quote) -> str:
    """The cell of a column, short: the sheet and cell, with `job ` before those of the job workbook."""
    return short_place(source.place(column), quote)


def short_place(place: Place, quote: Quote) -> str:
    """`Parts!D14`, or `job Parts!D14` where it is in the job workbook; empty where there is no cell."""
    if not place.sheet:
        return ""
    spot = f"{place.sheet}!{place.cell}" if place.cell else place.sheet
    is_job = bool(place.file) and place.file == quote.job.file and place.file != quote.book.file
    return f"job {spot}" if is_job else spot


def part_of(quote: Quote, code: str) -> Part | None:
    """The part's row: the job's own row stands for the book's."""
    return quote.job.parts.get(code) or quote.book.parts.get(code)


def rate_of(quote: Quote, code: str) -> LabourRate | None:
    """The row of a labour rate in force on the quote date: the latest not after it."""
    return rates_on(quote.book.labour_rates, quote.job.quote_date).get(code)


def supplier_of(quote: Quote, line: PartLine) -> Supplier | None:
    """The terms of whoever a part is bought from; None where the book has none."""
    own = next((one.supplier for one in quote.job.one_off if one.code == line.part), None)
    part = part_of(quote, line.part)
    return (quote.book.suppliers or {}).get(part.supplier if part else own or "")


def supplier_name(quote: Quote, code: str) -> str:
    """The supplier's name, else the words of the part's row."""
    suppliers = quote.book.suppliers or {}
    return suppliers[code].supplier if code in suppliers else code
