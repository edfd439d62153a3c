"""A sheet is a value before it is a file: rows of cells, each with content, kind and style.

A layout makes these records with no workbook library; `workbook/write_sheet` turns them into a file.
Cells of a row stand side by side from column A; a cell with `across` 3 fills three columns and the next follows it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.record import record

Kind = Literal["blank", "text", "money", "number", "hours", "percent", "date", "picture"]
Align = Literal["left", "right", "center"]
Upright = Literal["top", "middle", "bottom"]
Paper = Literal["A4", "Letter"]


@record
class Picture:
    """An encoded PNG or JPEG with its size in pixels and the words for who cannot see it."""

    data: bytes
    width: int
    height: int
    extension: Literal["png", "jpg"]
    alt: str = ""


@record
class Look:
    """How a style looks. Colours are `#RRGGBB`, empty for none; a line is `thin`, `medium` or empty."""

    size: float = 10
    bold: bool = False
    italic: bool = False
    underline: bool = False
    colour: str = ""
    fill: str = ""
    align: Align | None = None
    upright: Upright = "top"
    wrap: bool = True
    indent: int = 0
    above: Literal["", "thin", "medium"] = ""
    below: Literal["", "thin", "medium"] = ""
    box: bool = False
    unlocked: bool = False


@record
class Cell:
    """One cell. `formula` (with its leading `=`) is optional: `content` is then its value, worked out by us.

    `format` overrides the workbook's number format of the kind; `name` makes it a named cell of the workbook.
    """

    content: str | Decimal | int | date | Picture | None = None
    kind: Kind = "blank"
    style: str = "body"
    across: int = 1
    format: str = ""
    formula: str = ""
    name: str = ""
    choices: str = ""
    """A drop-down: texts with commas between, or a range with its leading `=`; other input is let through."""
    prompt: str = ""
    """What a spreadsheet says beside the cell while it is picked."""
    link: str = ""
    """Where a click on a text leads: the address of a workbook with `#` and the place in it (`cell_links`)."""


@record
class Row:
    """Cells from column A. `height` in points, None for one line; `break_before` starts a new page when printed."""

    cells: tuple[Cell, ...] = ()
    height: float | None = None
    break_before: bool = False
    keep_with_next: bool = False
    """A hint for the layout that sets page breaks: this row should not end a page."""


@record
class Page:
    """Page set-up. Margins in inches; header and footer in the workbook's codes (`&P` page, `&N` pages)."""

    paper: Paper = "A4"
    landscape: bool = False
    fit_wide: int = 1
    """Pages wide; 0 for no fitting."""
    fit_tall: int = 0
    """Pages tall, where it is fitted; 0 for any number."""
    repeat_rows: int = 0
    """The first rows repeated on each page; `repeat_from` is the first of them, 0-based."""
    repeat_from: int = 0
    header: str = ""
    footer: str = ""
    left: float = 0.6
    right: float = 0.6
    top: float = 0.6
    bottom: float = 0.7


@record
class Series:
    """One line of a chart: where its name and its values stand, as `=Working!$B$2:$G$2`, and how it looks."""

    name: str
    values: str
    dash: Literal["solid", "dash", "square_dot", "long_dash_dot"] = "solid"
    marker: Literal["circle", "square", "diamond", "triangle"] = "circle"


@record
class Chart:
    """A chart of lines or bars at a cell (0-based row and column), sizes in pixels; no line is told by its colour."""

    row: int
    column: int
    width: int
    height: int
    title: str
    categories: str
    series: tuple[Series, ...]
    across_title: str = ""
    up_title: str = ""
    number_format: str = ""
    alt: str = ""
    across: tuple[Decimal, Decimal, Decimal] | None = None
    """A scale of numbers, on which `categories` stand where they belong: from, to, step. Else they stand evenly."""
    bars: Literal["", "upright", "lying"] = ""
    """Bars in place of lines, told apart by their grey."""
    below_zero: bool = False
    """Values may lie below zero: the scale does not begin there."""


@record
class NamedRange:
    """A name for a rectangle of a sheet, 0-based, ends included."""

    name: str
    sheet: str
    first_row: int
    first_column: int
    last_row: int
    last_column: int


@record
class Sheet:
    """One sheet: `widths` in characters for each column from A; the print area is all its rows and columns."""

    name: str
    rows: tuple[Row, ...]
    widths: tuple[float, ...]
    page: Page = Page()
    frozen_rows: int = 0
    frozen_columns: int = 0
    grid_lines: bool = False
    printed_columns: int = 0
    """How many columns from A are printed; 0 for all."""
    hidden: bool = False
    protected: bool = False
    """Only unlocked cells can be typed in: a courtesy, not security; no password."""
    charts: tuple[Chart, ...] = ()


@record
class Properties:
    """What the file says of itself. `created` is pinned, so that the same value gives the same bytes."""

    title: str = ""
    subject: str = ""
    author: str = ""
    """Who made it, the shop: written as the author and as the company."""
    created: date


@record
class WorkbookValue:
    """A workbook as a value. `formats` are number formats by kind; `looks` are the styles its cells may name."""

    sheets: tuple[Sheet, ...]
    properties: Properties
    formats: Mapping[Kind, str] = field(default_factory=dict)
    looks: Mapping[str, Look] = field(default_factory=dict)
    font: str = "Arial"
    names: tuple[NamedRange, ...] = ()


def text(content: str, style: str = "body", across: int = 1, *, name: str = "") -> Cell:
    """A cell of text; an empty text makes a blank cell in the same style.

    >>> text("=1+1").kind, text("").kind
    ('text', 'blank')
    """
    kind: Kind = "text" if content else "blank"
    return Cell(content=content or None, kind=kind, style=style, across=across, name=name)


def blank(style: str = "body", across: int = 1) -> Cell:
    """An empty cell in a style."""
    return Cell(style=style, across=across)


def money(amount: Decimal, style: str = "money", across: int = 1, *, formula: str = "", name: str = "") -> Cell:
    """An amount, already in the currency's digits."""
    return Cell(content=amount, kind="money", style=style, across=across, formula=formula, name=name)


def number(
    value: Decimal | int, style: str = "number", across: int = 1, *, kind: Kind = "number", formula: str = ""
) -> Cell:
    """A plain number, hours or a percentage (`kind`)."""
    return Cell(content=value, kind=kind, style=style, across=across, formula=formula)


def day(value: date, style: str = "body", across: int = 1) -> Cell:
    """A date."""
    return Cell(content=value, kind="date", style=style, across=across)


def picture(content: Picture, across: int = 1, style: str = "body") -> Cell:
    """A picture standing in its row, at the left of its cell."""
    return Cell(content=content, kind="picture", style=style, across=across)


def row(*cells: Cell, height: float | None = None, keep: bool = False, break_before: bool = False) -> Row:
    """A row of cells, left to right."""
    return Row(cells=cells, height=height, keep_with_next=keep, break_before=break_before)


def placed(line: Row) -> Iterator[tuple[int, Cell]]:
    """Each cell of a row with its 0-based column.

    >>> [column for column, _ in placed(row(text("a", across=3), text("b"), text("c", across=2)))]
    [0, 3, 4]
    """
    return columns_of(line.cells)


def columns_of(cells: Iterable[Cell]) -> Iterator[tuple[int, Cell]]:
    """Each of some cells side by side with its 0-based column."""
    column = 0
    for cell in cells:
        yield column, cell
        column += cell.across


def with_break(line: Row) -> Row:
    """The same row, starting a new page."""
    return replace(line, break_before=True)
