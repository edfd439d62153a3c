"""The figures a customer sees in a quote workbook: each option's amounts, findings and lines, by the words beside them.

Amounts go by the names of the JSON where the quote prints one of those; every other line goes by its own words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.compare_figures import number_of
from quotekit.model.comparison import Figure, FigureName, Figures
from quotekit.workbook.addresses import Position
from quotekit.workbook.returned_cells import RawCell
from quotekit.workbook.returned_facts import ReturnedQuote

_OPTION = re.compile(r"Option ([1-9])")
_DECLINED = "If you decline"
_PART = re.compile(r"[0-9.,]+ .*\(([^(),]+)(?:, [^()]*)?\)(?:, [^()]* (?:each|per .*))?")
_TAX = re.compile(r"(.*), charged on .*")
_BESIDE_A_NAME = re.compile(
    r"^[0-9]+\. "
    r"| \((?:needed|advised|watch|safety)\).*"
    r"| \((?:while open|found; .*|on the job.*)\)$"
    r"|(?<=^Your limit) of .*",
    re.DOTALL,
)
"""What stands beside the name of a finding, an extra or a limit and may change while it is the same line."""
_NAMES = {
    "total to pay": "total",
    "total to pay, tax included": "total",
    "subtotal before tax": "subtotal",
    "labor": "amounts.labour",
    "labour": "amounts.labour",
    "parts": "amounts.parts",
    "shop supplies": "amounts.supplies",
    "freight for parts": "amounts.freight",
    "inspection": "amounts.inspection",
    "inspection credited": "amounts.inspection_credit",
    "deposit before parts are ordered": "deposit",
    "ready, in working days from your yes": "ready_days",
}
_NOTHING = "–"
_LIFE = ": life "


def quote_figures_of(quote: ReturnedQuote) -> Figures:
    """Every figure and answer of the visible sheet, by option; options are those the quote names, in their order."""
    found: dict[FigureName, Figure] = {}
    for tier, label, cell, _ in _answers(quote):
        name = FigureName(quote.number, tier, _name(label, declined=tier is None))
        figure = _figure(label, cell)
        if figure is not None:
            found.setdefault(name, figure)
    if quote.valid_until is not None:
        found[FigureName(quote.number, None, "valid_until")] = Figure(text=quote.valid_until.isoformat())
    for option in quote.options:
        found[FigureName(quote.number, option.code, "offered")] = Figure(text="yes")
    return found


def quote_figure_at(quote: ReturnedQuote, sheet: str, at: Position) -> tuple[FigureName, str] | None:
    """The figure in a cell under an option, and the words at the start of its row; None for any other cell."""
    if sheet != quote.choice_sheet:
        return None
    for tier, label, _, position in _answers(quote):
        if position == at:
            return FigureName(quote.number, tier, _name(label, declined=tier is None)), label
    return None


def _answers(quote: ReturnedQuote) -> Iterator[tuple[str | None, str, RawCell, Position]]:
    """Each cell under an option and where it is, with the words at the start of its row; None for what a no costs."""
    sheet = quote.raw.sheets.get(quote.choice_sheet, {})
    rows: dict[int, dict[int, RawCell]] = {}
    for (row, column), cell in sorted(sheet.items()):
        rows.setdefault(row, {})[column] = cell
    columns: dict[int, str | None] = {}
    for row, cells in rows.items():
        heads = dict(_heads(quote, cells))
        label = _text(cells.get(1))
        if heads:
            columns = heads
        elif not label or cells[1].formula is not None:
            columns = {}
        yield from (
            (columns[column], label, cell, (row, column)) for column, cell in cells.items() if column in columns
        )


def _heads(quote: ReturnedQuote, cells: dict[int, RawCell]) -> Iterator[tuple[int, str | None]]:
    """The columns of a row of headings, with the code of each option."""
    for column, cell in cells.items():
        match = _OPTION.fullmatch(_text(cell).split("\n")[0])
        if match and column > 1 and int(match[1]) <= len(quote.options):
            yield column, quote.options[int(match[1]) - 1].code
        elif _text(cell) == _DECLINED and column > 1:
            yield column, None


def _name(label: str, *, declined: bool) -> str:
    part, tax = _PART.fullmatch(label), _TAX.fullmatch(label)
    if part is not None and not declined:
        return f"parts.{part[1]}.amount"
    if tax is not None and not declined:
        return f"taxes.{tax[1]}.amount"
    words = " ".join(_BESIDE_A_NAME.sub("", label.partition(_LIFE)[0]).split())
    known = _NAMES.get(words.casefold())
    if declined:
        return "declined.total" if known == "total" else f"declined: {words}"
    return known or words


def _figure(label: str, cell: RawCell) -> Figure | None:
    """What a cell says, with the life that stands beside the work; None for a heading, and for the dash of nothing."""
    text = _text(cell)
    if not text or text in (_NOTHING, _DECLINED) or _OPTION.match(text):
        return None
    days = re.fullmatch(r"([0-9]+) days?", text)
    text = days[1] if days else text
    number = number_of(text)
    life = label.partition(_LIFE)[2]
    return Figure(text=f"{text}, life {life}" if life and number is None else text, number=number)


def _text(cell: RawCell | None) -> str:
    value = None if cell is None or cell.formula is not None else cell.value
    return f"{value:f}" if isinstance(value, Decimal) else value if isinstance(value, str) else ""
