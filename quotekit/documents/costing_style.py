"""How the shop's costing looks: styles, number formats, column grid, headings, and rows tall enough for their text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.money_text import paper_of
from quotekit.documents.sheet import Cell, Kind, Look, Page, Row, Sheet, blank, placed, row, text
from quotekit.documents.sheet import money as money_cell
from quotekit.documents.sheet import number as number_cell
from quotekit.documents.text_fit import fitted, in_pieces, width_of
from quotekit.model.quote import Quote
from quotekit.money import minor_digits

LOOKS: Mapping[str, Look] = {
    "body": Look(size=9),
    "title": Look(size=15, bold=True, wrap=False),
    "section": Look(size=11, bold=True, wrap=False, below="medium"),
    "head": Look(size=9, bold=True, below="thin", upright="bottom"),
    "head right": Look(size=9, bold=True, below="thin", upright="bottom", align="right"),
    "strong": Look(size=9, bold=True),
    "note": Look(size=8.5, italic=True, colour="#505050"),
    "cell": Look(size=8, colour="#505050"),
    "money": Look(size=9, align="right", wrap=False),
    "number": Look(size=9, align="right", wrap=False),
    "left": Look(size=9, align="left"),
    "right": Look(size=9, align="right"),
    "sum": Look(size=9, bold=True, above="thin"),
    "sum money": Look(size=9, bold=True, above="thin", align="right", wrap=False),
    "thin": Look(size=9, below="thin"),
    "grand": Look(size=10, bold=True, above="medium"),
    "grand money": Look(size=10, bold=True, above="medium", align="right", wrap=False),
}


def formats(quote: Quote) -> Mapping[Kind, str]:
    """Number formats by kind: money with the currency's digits, hours with at least two decimals."""
    digits = minor_digits(quote.currency)
    whole = "#,##0"
    amount = f"{whole}.{'0' * digits}" if digits else whole
    return {
        "money": f"{amount};-{amount}",
        "number": "General",
        "hours": "0.00##",
        "percent": "0.0#%",
        "date": "yyyy-mm-dd",
    }


def page(quote: Quote, name: str, repeat_from: int = 0, repeat_rows: int = 0) -> Page:
    """Landscape, one page wide, the job in the footer."""
    job = f"{quote.job.job_number}-{quote.job.version}".replace("&", "&&")
    footer = f"&L&8Costing {job}, for the shop only&C&8{name.replace('&', '&&')}&R&8&P of &N"
    return Page(
        landscape=True,
        paper=paper_of(quote.book.settings.language),
        footer=footer,
        left=0.45,
        right=0.45,
        top=0.5,
        bottom=0.6,
        repeat_from=repeat_from,
        repeat_rows=repeat_rows,
    )


def sheet(quote: Quote, name: str, rows: Iterable[Row], widths: Sequence[float], frozen_rows: int = 0) -> Sheet:
    """A sheet whose rows are tall enough for what they hold."""
    fit_rows = tuple(piece for line in rows for piece in fit(line, widths))
    return Sheet(name=name, rows=fit_rows, widths=tuple(widths), page=page(quote, name), frozen_rows=frozen_rows)


def fit(line: Row, widths: Sequence[float]) -> Iterator[Row]:
    """The same row with the height its texts need; a text too long for one row goes on in the next."""
    if line.height is not None:
        yield line
        return
    pieces = [list(_pieces(cell, column, widths)) for column, cell in placed(line)]
    for turn in range(max(map(len, pieces), default=0)):
        cells = [
            texts[turn] if turn < len(texts) else blank(cell.style, cell.across)
            for texts, cell in zip(pieces, line.cells, strict=True)
        ]
        yield fitted(cells, widths, LOOKS, keep=line.keep_with_next)


def _pieces(cell: Cell, column: int, widths: Sequence[float]) -> Iterator[Cell]:
    if not isinstance(cell.content, str):
        yield cell
        return
    room = width_of(sum(widths[column : column + cell.across]), cell.across)
    for words in in_pieces(cell.content, room, LOOKS[cell.style]):
        yield replace(cell, content=words or None, kind="text" if words else "blank")


def section(title: str, columns: int) -> list[Row]:
    """A blank line and a heading over the whole width."""
    return [row(blank(across=columns), height=8), row(text(title, "section", columns), keep=True)]


def head(*titles: str | tuple[str, int], right_from: int = 99, right_to: int = 99) -> Row:
    """A row of column titles; a pair gives the columns it fills; those in right_from..right_to stand right."""
    cells: list[Cell] = []
    for place, title in enumerate(titles):
        words, across = title if isinstance(title, tuple) else (title, 1)
        cells.append(text(words, "head right" if right_from <= place <= right_to else "head", across))
    return row(*cells, keep=True)


def amount(value: Decimal | None, style: str = "money") -> Cell:
    """Money, or a dash where it is unknown."""
    return text("not known", style) if value is None else money_cell(value, style)


def hours(value: Decimal, style: str = "number") -> Cell:
    """Hours."""
    return number_cell(value, style, kind="hours")


def quantity(value: Decimal | int, style: str = "number") -> Cell:
    """A plain number."""
    return number_cell(value, style)


def note(words: str, columns: int) -> Row:
    """A sentence over the whole width."""
    return row(text(words, "note", columns))
