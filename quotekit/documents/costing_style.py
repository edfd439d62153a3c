"""How the shop's costing looks: styles, number formats, column grid, headings, and rows tall enough for their text."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.costing_pages import in_pages, standing_head
from quotekit.documents.footer_text import footer_text
from quotekit.documents.money_text import paper_of
from quotekit.documents.quote_json import money as money_words
from quotekit.documents.sheet import Cell, Kind, Look, Page, Row, Sheet, blank, placed, row, text
from quotekit.documents.sheet import money as money_cell
from quotekit.documents.sheet import number as number_cell
from quotekit.documents.text_fit import fitted, in_pieces, width_of
from quotekit.model.quote import Quote
from quotekit.money import minor_digits

PAGE_POINTS = 510.0
"""Height of A4 on its side between the margins, a little less: it is the lower of the two papers."""

WIDEST = 122.0
"""Characters of all columns together that fit Letter on its side, the narrower of the two papers, also where a program
draws them a sixteenth wider."""

UPRIGHT_POINTS = 705.0
"""Height of Letter upright between the margins, a little less: it is the lower of the two papers."""

UPRIGHT_WIDEST = 91.0
"""Characters of all columns together that fit A4 upright, the narrower of the two papers, also where a program draws
them a sixteenth wider."""

MOST_UPRIGHT = 4
"""Columns, that of the labels among them, that an upright page has room for."""

FITS_ONE_ROW = 150
"""Letters that fit one row even in the narrowest column."""

LOOKS: Mapping[str, Look] = {
    "body": Look(size=9),
    "title": Look(size=15, bold=True, wrap=False),
    "section": Look(size=11, bold=True, wrap=False, below="medium"),
    "head": Look(size=9, bold=True, below="thin", upright="bottom"),
    "head beside": Look(size=9, bold=True, below="thin", upright="bottom", indent=1, align="left"),
    "head right": Look(size=9, bold=True, below="thin", upright="bottom", align="right"),
    "strong": Look(size=9, bold=True),
    "note": Look(size=8.5, italic=True, colour="#505050"),
    "cell": Look(size=8, colour="#505050", indent=1, align="left"),
    "link": Look(size=8, colour="#1F3F7F", underline=True, indent=1, align="left"),
    "beside": Look(size=9, indent=1, align="left"),
    "aside": Look(size=8.5, italic=True, colour="#505050", indent=1, align="left"),
    "money": Look(size=9, align="right", wrap=False),
    "strong money": Look(size=9, bold=True, align="right", wrap=False),
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


def page(quote: Quote, name: str, *, upright: bool = False) -> Page:
    """Landscape or upright, not scaled (the columns fit), the job in the footer."""
    job = footer_text(f"{quote.job.job_number}-{quote.job.version}")
    footer = f"&L&8Costing {job}, for the shop only&C&8 {footer_text(name)}&R&8&P of &N"
    return Page(
        landscape=not upright,
        paper=paper_of(quote.book.settings.language),
        fit_wide=0,
        footer=footer,
        left=0.45,
        right=0.45,
        top=0.5,
        bottom=0.6,
    )


def sheet(
    quote: Quote,
    name: str,
    rows: Iterable[Row],
    widths: Sequence[float],
    *,
    upright: bool = False,
    one_head: bool = False,
) -> Sheet:
    """A sheet whose rows are tall enough for what they hold, and whose pages begin with the titles of their columns.

    With `one_head` the first head holds for all rows: it stays in sight and is repeated by the program that prints.
    """
    fit_rows = [piece for line in rows for piece in fit(line, widths)]
    points = UPRIGHT_POINTS if upright else PAGE_POINTS
    setup = page(quote, name, upright=upright)
    if not one_head:
        return Sheet(name=name, rows=in_pages(fit_rows, points), widths=tuple(widths), page=setup)
    above = standing_head(fit_rows)
    return Sheet(
        name=name,
        rows=in_pages(fit_rows, points, above),
        widths=tuple(widths),
        page=replace(setup, repeat_rows=1, repeat_from=above),
        frozen_rows=above + 1,
    )


def label_and_equal(label: float, columns: int) -> tuple[tuple[float, ...], bool]:
    """Widths of a column of labels and equal ones beside it, and whether they stand upright: as a rule they do.

    >>> label_and_equal(34.0, 4), label_and_equal(34.0, 6)[1]
    (((34.0, 19.0, 19.0, 19.0), True), False)
    """
    upright = columns <= MOST_UPRIGHT
    room = (UPRIGHT_WIDEST if upright else WIDEST) - label
    return (label, *(room / (columns - 1),) * (columns - 1)), upright


def fit(line: Row, widths: Sequence[float]) -> Iterator[Row]:
    """The same row with the height its texts need; a text too long for one row goes on in the next."""
    if line.height is not None:
        yield line
        return
    if not any(_is_long(cell.content) for cell in line.cells):
        yield fitted(line.cells, widths, LOOKS, keep=line.keep_with_next)
        return
    pieces = [list(_pieces(cell, column, widths)) for column, cell in placed(line)]
    for turn in range(max(map(len, pieces), default=0)):
        cells = [
            texts[turn] if turn < len(texts) else blank(cell.style, cell.across)
            for texts, cell in zip(pieces, line.cells, strict=True)
        ]
        yield fitted(cells, widths, LOOKS, keep=line.keep_with_next)


def _is_long(content: object) -> bool:
    return isinstance(content, str) and (len(content) > FITS_ONE_ROW or "\n" in content)


def _pieces(cell: Cell, column: int, widths: Sequence[float]) -> Iterator[Cell]:
    if not isinstance(cell.content, str):
        yield cell
        return
    room = width_of(sum(widths[column : column + cell.across]), cell.across)
    for words in in_pieces(cell.content, room, LOOKS[cell.style]):
        yield replace(cell, content=words or None, kind="text" if words else "blank")


def section(title: str, columns: int) -> list[Row]:
    """A blank line and a heading over the whole width."""
    return [row(blank(across=columns), height=8, keep=True), row(text(title, "section", columns), keep=True)]


def head(*titles: str | tuple[str, int], right: Collection[int] = ()) -> Row:
    """A row of column titles; a pair gives the columns it fills; those at the places in `right` stand right."""
    cells: list[Cell] = []
    for place, title in enumerate(titles):
        words, across = title if isinstance(title, tuple) else (title, 1)
        style = "head right" if place in right else "head beside" if place - 1 in right else "head"
        cells.append(text(words, style, across))
    return row(*cells, keep=True)


def amount(value: Decimal | None, style: str = "money") -> Cell:
    """Money, or a dash where it is unknown."""
    return text("not known", style) if value is None else money_cell(value, style)


def each(value: Decimal, quote: Quote) -> Cell:
    """The exact amount of one: at least the currency's digits, so that the points stand under each other."""
    digits = minor_digits(quote.currency)
    return replace(number_cell(value, "number"), format=f"0.{'0' * digits}####" if digits else "")


def hours(value: Decimal, style: str = "number") -> Cell:
    """Hours."""
    return number_cell(value, style, kind="hours")


def quantity(value: Decimal | int, style: str = "number") -> Cell:
    """A plain number."""
    return number_cell(value, style)


def note(words: str, columns: int) -> Row:
    """A sentence over the whole width."""
    return row(text(words, "note", columns))


def in_words(value: Decimal, quote: Quote) -> str:
    """An amount inside a sentence, with the currency's digits."""
    return money_words(value, minor_digits(quote.currency))
