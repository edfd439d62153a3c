"""The sheet about the workbook: what it was made from, what became of every row of each list, and what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.documents.costing_style import UPRIGHT_WIDEST, note, section
from quotekit.documents.money_text import number_text
from quotekit.documents.price_proposals_style import page_of, tall
from quotekit.documents.price_proposals_words import in_percent
from quotekit.documents.sheet import Cell, NamedRange, Row, Sheet, number, row, text
from quotekit.model.price_list import FATES, Remark
from quotekit.model.proposed_prices import ListUsed, ProposedPrices

NAME = "About"
FACTS = "proposals_facts"
"""Two columns: what is read back of the book, the day and the money."""
SOURCES = "proposals_sources"
"""Three columns: supplier, file and SHA-256 of each list."""
KIND = "quotekit price proposals 1"

_WIDTHS = (24.0, 24.0, 43.0)
_COLUMNS = len(_WIDTHS)
assert sum(_WIDTHS) <= UPRIGHT_WIDEST


def lay_out_about(found: ProposedPrices) -> tuple[Sheet, tuple[NamedRange, ...]]:
    """The sheet, and the names of what is read back."""
    rows = [row(text("About these proposals", "title", _COLUMNS)), *_next(found)]
    rows += section("Made from", _COLUMNS)
    facts = len(rows)
    rows += _facts(found)
    rows += section("Lists: supplier, file, SHA-256 of the file", _COLUMNS)
    sources = len(rows)
    rows += [row(text(one.supplier), text(one.report.file), text(one.report.sha256, "cell")) for one in found.lists]
    last = len(rows) - 1
    for one in found.lists:
        rows += _list(one, found)
    page = replace(page_of(found, NAME), landscape=False)
    sheet = Sheet(name=NAME, rows=tuple(tall(rows, _WIDTHS)), widths=_WIDTHS, page=page, protected=True)
    return sheet, (_area(FACTS, facts, sources - 3, 1), _area(SOURCES, sources, last, 2))


def _area(name: str, first: int, last: int, columns: int) -> NamedRange:
    return NamedRange(name=name, sheet=NAME, first_row=first, first_column=0, last_row=last, last_column=columns)


def _next(found: ProposedPrices) -> Iterator[Row]:
    yield from section("What to do next", _COLUMNS)
    steps = [
        "1. On the sheet Proposals type Yes under Take beside each row that you want in the shop book. A row that has "
        "a second box changes a lot, or looks like a slip: it also needs Yes under Take anyway.",
        "2. Save this workbook and close it.",
        f'3. Run: quotekit prices apply "{found.book_file}" and the name of this file. It changes only the ticked '
        "cells of your own workbook, keeps a dated copy of the old one, and can be undone.",
        "Before you tick, look at the sheet Open quotes: a quote that you hold keeps its price while its parts cost "
        "more. The sheet Not proposed has the numbers that the list does not have, or has twice.",
    ]
    for words in steps:
        yield row(text(words, "step", _COLUMNS))


def _facts(found: ProposedPrices) -> Iterator[Row]:
    yield _fact("Kind of workbook", text(KIND, across=2))
    yield _fact("Shop book", text(found.book_file, across=2))
    yield _fact("SHA-256 of the shop book", text(found.book_sha256, "cell", 2))
    yield _fact("Prices of", text(found.day.isoformat(), across=2))
    yield _fact("Currency", text(found.currency, across=2))
    yield _fact("Second tick above", text(in_percent(Fraction(found.limit), found), across=2))
    used = "not known, no ledger" if found.used_from is None else f"from {found.used_from} to {found.day}"
    yield _fact("Units used counted", text(used, across=2))


def _fact(words: str, said: Cell) -> Row:
    return row(text(words), said)


def _list(one: ListUsed, found: ProposedPrices) -> Iterator[Row]:
    report = one.report
    yield from section(f"What became of the rows of {report.file}", _COLUMNS)
    for fate, words in FATES.items():
        if report.fates.get(fate):
            yield row(text(words, across=2), number(report.fates[fate], "left"))
    yield row(text("in all", "sum", 2), number(report.rows, "sum left"))
    asked = f"{_count(one.asked, found)} rows of the shop book name {one.supplier}."
    yield note(
        f"{asked} {_count(one.not_in_book, found)} numbers in force are in none of them; none is added.", _COLUMNS
    )
    for words in (f"Read as: {', '.join(report.read_as)}.", *map(_remark, report.remarks)):
        yield note(f"{words[:1].upper()}{words[1:]}", _COLUMNS)


def _remark(remark: Remark) -> str:
    return f"rows that {remark.says}: {remark.rows:,}"


def _count(count: int, found: ProposedPrices) -> str:
    """A count as the shop writes it."""
    return number_text(Decimal(count), found.language)
