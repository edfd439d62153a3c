"""Rows of a Rate builder for tests, and whole shop books that hold them; the sheet of a shop in TRADE.md section 5.

Percentages are written `15%`; a number is a number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import xlsxwriter

from quotekit.model.rate import RATE_KINDS, Amount, RateBuild, RateKind, RateLine
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing.rates.build import read_build
from quotekit.problems import Place, Problem
from tests import build
from tests.cli.small_shop import shop_book

Typed = tuple[str, str | int | float, str]

COSTS: tuple[Typed, ...] = (
    ("Owner", 62000, "pay"),
    ("Owner", "15%", "burden"),
    ("Employee", 19000, "pay"),
    ("Employee", "18%", "burden"),
    ("Rent", 14400, "overhead"),
    ("Power", 4800, "overhead"),
    ("Insurance", 5200, "overhead"),
    ("Tools", 4000, "overhead"),
    ("Vehicle", 3600, "overhead"),
    ("Phone, accounts, cards", 5500, "overhead"),
    ("Waste", 1200, "overhead"),
    ("Training", 900, "overhead"),
    ("Unpaid", 1000, "overhead"),
    ("Comebacks", 1700, "overhead"),
)
HOURS: tuple[Typed, ...] = (
    ("Owner", 2016, "clock hours"),
    ("Owner", "60%", "share at the bench"),
    ("Owner", "95%", "efficiency"),
    ("Employee", 1000, "clock hours"),
    ("Employee", "70%", "share at the bench"),
    ("Employee", "80%", "efficiency"),
)
PARTS: tuple[Typed, ...] = (("Parts", 95000, "parts contribution"), ("Parts", "40%", "parts contribution"))
PROFIT: tuple[Typed, ...] = (("Profit", "10%", "profit share"),)
TRADE = (*COSTS, *HOURS, *PARTS, *PROFIT)
"""The example of TRADE.md section 5."""

SHEET = Place("book.xlsx", "Rate builder")
_COLUMNS = {"Line": "A", "Amount": "B", "Kind": "C"}


def lines(*rows: Typed) -> tuple[RateLine, ...]:
    """Rows as they are read, from row 2 on."""
    return tuple(_line(row, number) for number, row in enumerate(rows, start=2))


def _line(row: Typed, number: int) -> RateLine:
    name, typed, kind = row
    text = str(typed)
    percent = text.endswith("%")
    value = Decimal(text.rstrip("%")) / (100 if percent else 1)
    kinds: dict[str, RateKind] = {one: one for one in RATE_KINDS}
    source = Source(file=SHEET.file, sheet=SHEET.sheet, row=number, columns=_COLUMNS)
    return RateLine(line=name, amount=Amount(value=value, percent=percent), kind=kinds[kind], source=source)


def understood(*rows: Typed) -> RateBuild:
    """What rows mean that must raise no problem."""
    made, problems = read_build(lines(*rows), SHEET)
    assert made is not None and problems == [], problems
    return made


def asked(*rows: Typed) -> list[tuple[str, str]]:
    """Code and cell of each problem of rows."""
    return where(read_build(lines(*rows), SHEET)[1])


def where(problems: Iterable[Problem]) -> list[tuple[str, str]]:
    """Code and cell of each problem."""
    return [(problem.code, problem.place.cell) for problem in problems]


def without(rows: Sequence[Typed], *kinds: str) -> tuple[Typed, ...]:
    """Rows of other kinds."""
    return tuple(row for row in rows if row[2] not in kinds)


def book_with(*rows: Typed, **values: Any) -> ShopBook:
    """A shop book of one rate MAIN at 100 an hour, with these rows."""
    return build.a_book(rate_builder=lines(*rows), file=SHEET.file, **values)


def write_book(path: Path, rows: Sequence[Typed], rate: object = 90, **sheets: Any) -> Path:
    """A real workbook: the small shop and these rows; `15%` is a number formatted as percent, `'15%` a text."""
    book = xlsxwriter.Workbook(str(path))
    percent, plain = book.add_format({"num_format": "0.0%"}), book.add_format()
    base = shop_book() | {"Labour rates": [["Code", "Rate per hour"], ["MAIN", rate]]}
    builder = [["Line", "Amount", "Kind"], *([*row] for row in rows)]
    for name, table in (base | {"Rate builder": builder} | sheets).items():
        page = book.add_worksheet(name)
        for at, cells in enumerate(table):
            for column, value in enumerate(cells):
                shares = name in ("Markup", "Taxes") and isinstance(value, float)
                if isinstance(value, str) and name == "Rate builder" and value.endswith("%") and column == 1:
                    if value.startswith("'"):
                        page.write_string(at, column, value[1:])
                    else:
                        page.write_number(at, column, float(Decimal(value[:-1]) / 100), percent)
                elif isinstance(value, str):
                    page.write_string(at, column, value)
                elif value is not None:
                    page.write_number(at, column, value, percent if shares else plain)
    book.close()
    return path
