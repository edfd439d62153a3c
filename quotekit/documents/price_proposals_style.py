"""How the workbook of price proposals looks: styles, number formats, page, and cells that all its sheets make alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.documents.costing_style import LOOKS as COSTING_LOOKS
from quotekit.documents.money_text import money_format
from quotekit.documents.price_proposals_words import figure, in_money, in_percent
from quotekit.documents.sheet import Cell, Kind, Look, Page, Row, Sheet, blank, money, number, placed, text
from quotekit.documents.shop_page import shop_page
from quotekit.documents.text_fit import characters_for, fitted
from quotekit.model.proposed_prices import ProposedPrices
from quotekit.money import minor_digits, round_to

LOOKS = {
    **COSTING_LOOKS,
    "tick": Look(size=9, align="center", box=True, unlocked=True),
    "not needed": Look(size=9, align="center", colour="#909090"),
    "told": Look(size=8, colour="#303030", indent=1, align="left"),
    "small": Look(size=8, colour="#505050"),
    "row": Look(size=8, colour="#505050", indent=1, align="left"),
    "sum left": Look(size=9, bold=True, above="thin", align="left"),
    "why": Look(size=8, bold=True),
    "step": Look(size=10),
}
NOT_KNOWN = "-"
TALLEST = 400.0
"""Points of a row; a spreadsheet allows 409."""


def formats(found: ProposedPrices) -> dict[Kind, str]:
    """Number formats by kind."""
    return {
        "money": money_format(found.currency, found.language),
        "number": "General",
        "percent": "0.0%",
        "date": "yyyy-mm-dd",
    }


def page_of(found: ProposedPrices, name: str) -> Page:
    """On its side, one page wide, for the shop only."""
    what = f"price proposals {found.day.isoformat()}"
    return shop_page(name, what, shop_name=found.shop_name, language=found.language)


def table_sheet(found: ProposedPrices, name: str, rows: Sequence[Row], widths: Sequence[float], head: int) -> Sheet:
    """A protected sheet whose titles, the row at `head`, stay in sight and are repeated on every page.

    Its columns are as wide as given, and wider where a figure needs it: one that has no room shows as `###`.
    """
    setup = replace(page_of(found, name), repeat_rows=1, repeat_from=head)
    wide = tuple(map(max, widths, _needed(found, rows, len(widths))))
    return Sheet(name=name, rows=tuple(rows), widths=wide, page=setup, frozen_rows=head + 1, protected=True)


def _needed(found: ProposedPrices, rows: Iterable[Row], columns: int) -> list[float]:
    """Characters that the longest figure of each column needs."""
    longest: dict[tuple[int, str], str] = {}
    for line in rows:
        for column, cell in placed(line):
            if isinstance(cell.content, Decimal | int) and cell.across == 1:
                longest[column, cell.style] = max(longest.get((column, cell.style), ""), _shown(cell, found), key=len)
    needed = [0.0] * columns
    for (column, style), words in longest.items():
        needed[column] = max(needed[column], characters_for(words, LOOKS[style]) + 0.5)
    return needed


def _shown(cell: Cell, found: ProposedPrices) -> str:
    """A figure about as a spreadsheet shows it."""
    value = Decimal(str(cell.content))
    if cell.kind == "money":
        return in_money(value, found)
    if cell.kind == "percent":
        return in_percent(Fraction(value), found)
    if not cell.format:
        return f"{value:f}"
    at_least = round_to(value, minor_digits(found.currency))
    return f"{at_least if at_least == value else value:,f}"


def tall(rows: Iterable[Row], widths: Sequence[float]) -> list[Row]:
    """Rows as tall as their texts, and no taller than a row can be."""
    return [line if line.height is not None else _tall(line, widths) for line in rows]


def _tall(line: Row, widths: Sequence[float]) -> Row:
    found = fitted(line.cells, widths, LOOKS, keep=line.keep_with_next)
    return found if found.height is None or found.height <= TALLEST else replace(found, height=TALLEST)


def one(value: Fraction | Decimal | None, found: ProposedPrices) -> Cell:
    """The amount of one: at least the currency's digits, exact to six decimals."""
    if value is None:
        return text(NOT_KNOWN, "right")
    return Cell(
        content=figure(Fraction(value)), kind="number", style="number", format=each_format(minor_digits(found.currency))
    )


def each_format(digits: int) -> str:
    """Number format of an amount of one.

    >>> each_format(2), each_format(0)
    ('#,##0.00####', '#,##0.######')
    """
    return f"#,##0.{'0' * digits}{'#' * (6 - digits)}"


def amount(value: Fraction | Decimal | None, found: ProposedPrices, style: str = "money") -> Cell:
    """Money, rounded once, or a dash."""
    if value is None:
        return text(NOT_KNOWN, "right")
    return money(round_to(value, minor_digits(found.currency)), style)


def share(value: Fraction | None) -> Cell:
    """A share as percent, or a dash."""
    return text(NOT_KNOWN, "right") if value is None else number(round_to(value, 4), kind="percent")


def units(value: Fraction | Decimal | int | None) -> Cell:
    """A quantity, or a dash."""
    return text(NOT_KNOWN, "right") if value is None else number(figure(Fraction(value)))


def gap(columns: int) -> Row:
    """A low blank row."""
    return Row(cells=(blank(across=columns),), height=8)
