"""Every line of every option in one table, from the rows of the customer's sheet, so that paper and page agree."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from quotekit.documents.customer_amounts import charge_rows, labour_rows, total_rows
from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_options import option_number, part_rows
from quotekit.documents.money_text import money_text, number_text
from quotekit.documents.page_markup import NOTHING, Html, tag
from quotekit.documents.page_words import section
from quotekit.documents.sheet import Cell, Row
from quotekit.documents.wording import DECLINE
from quotekit.model.quote import Quote

_LONG = 10
_STRONG = {"section": "part", "subtotal label": "subtotal", "total label": "total"}


def line_part(quote: Quote) -> Html:
    """The table under its heading, with a body for each part of the money."""
    grid = Grid(options=len(quote.offered))
    columns = [*(option_number(quote, tier) for tier in quote.offered), DECLINE]
    bodies = [_body(rows(quote, grid), columns, quote) for rows in (part_rows, labour_rows, charge_rows, total_rows)]
    names = [tag("th", column, scope="col", role="columnheader") for column in columns]
    head = tag("tr", tag("th", "Line", scope="col", role="columnheader"), *names, role="row")
    caption = tag("caption", "Without what you may add")
    thead = tag("thead", head, role="rowgroup")
    table = tag("table", caption, thead, *bodies, role="table", class_=f"lines {stacked(quote)}")
    return section("lines", "Line by line", table)


def stacked(quote: Quote) -> str:
    """How wide the cells of a table are where its rows stack: as its longest amount needs."""
    amounts = [tier.total for tier in quote.offered]
    longest = max(len(money_text(amount, quote.currency, quote.book.settings.language)) for amount in amounts)
    return "stack long" if longest > _LONG else "stack"


def _body(rows: Iterable[Row], columns: list[str], quote: Quote) -> Html:
    lines = [line for row in rows for line in _line(row, columns, quote)]
    return tag("tbody", *lines, role="rowgroup") if lines else NOTHING


def _line(row: Row, columns: list[str], quote: Quote) -> Iterator[Html]:
    """A row with a cell for each column; air between rows is the style's."""
    if len(row.cells) <= len(columns):
        return
    label, *cells = row.cells
    head = tag("th", str(label.content or ""), scope="row", role="rowheader", dir="auto")
    answers = [
        tag("td", shown_cell(cell, quote), role="cell", data_column=column)
        for cell, column in zip(cells, columns, strict=False)
    ]
    yield tag("tr", head, *answers, role="row", class_=_STRONG.get(label.style, False))


def shown_cell(cell: Cell, quote: Quote) -> str:
    """What a cell of the sheet shows."""
    language = quote.book.settings.language
    if isinstance(cell.content, Decimal):
        if cell.kind == "money":
            return money_text(cell.content, quote.currency, language)
        return number_text(cell.content, language)
    return str(cell.content or "")
