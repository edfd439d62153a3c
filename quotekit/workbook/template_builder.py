"""Draws a template from its plan: lines of cells and tables, each with its marks, ready to be restyled.

A cell whose content begins with `qk_` takes a value and carries the name; `...` is a cell to fill in by hand.
The owner changes the drawn workbook, not the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from io import BytesIO
from typing import Any, NamedTuple

import xlsxwriter

from quotekit.documents.sheet import Paper
from quotekit.record import record
from quotekit.workbook.addresses import column_number
from quotekit.workbook.moved_formula import quoted

_INK, _QUIET, _ACCENT, _PALE, _FIELD = "#1C1C1C", "#4A4A4A", "#1F3B4D", "#F1F3F4", "#FBF7E6"
_HAIR = {"bottom": 1, "bottom_color": "#D3D7D9"}
_RIGHT: dict[str, Any] = {"align": "right"}
_ENTRY: dict[str, Any] = {"bg_color": _FIELD, "border": 1, "border_color": "#B8B4A2", "text_wrap": True}
_SUM: dict[str, Any] = {"bold": True, "top": 1, "top_color": "#9AA3A8"}
_TOTAL: dict[str, Any] = {
    "bold": True,
    "bg_color": _PALE,
    "top": 1,
    "top_color": _ACCENT,
    "bottom": 1,
    "bottom_color": _ACCENT,
    "font_size": 11,
}

LOOKS: Mapping[str, Mapping[str, Any]] = {
    "shop": {"bold": True, "font_size": 18, "font_color": _ACCENT, "text_wrap": True},
    "kind": {"font_size": 18, "font_color": _ACCENT, "align": "right"},
    "contact": {"font_color": _QUIET, "bottom": 2, "bottom_color": _ACCENT, "text_wrap": True},
    "label": {"font_color": _QUIET, "valign": "top"},
    "fact": {"valign": "top", "align": "left", "text_wrap": True},
    "strong": {"valign": "top", "align": "left", "bold": True, "text_wrap": True},
    "version": {"valign": "top", "align": "left", "num_format": '"version "0'},
    "agreement": {"valign": "top", "align": "right", "font_color": _QUIET, "num_format": '"ledger entry "0'},
    "quoted": {"valign": "top", "italic": True, "text_wrap": True},
    "section": {"bold": True, "font_size": 11, "font_color": _ACCENT, "bottom": 1, "bottom_color": _ACCENT},
    "section right": {"font_color": _QUIET, "bottom": 1, "bottom_color": _ACCENT, "align": "right", "text_wrap": True},
    "section left": {"font_color": _QUIET, "bottom": 1, "bottom_color": _ACCENT, "text_wrap": True},
    "section in": {"indent": 1, "font_color": _QUIET, "bottom": 1, "bottom_color": _ACCENT, "text_wrap": True},
    "text": {"text_wrap": True, **_HAIR},
    "text in": {"indent": 1, "text_wrap": True, **_HAIR},
    "text strong": {"text_wrap": True, "bold": True, **_HAIR},
    "number": {"text_wrap": True, **_RIGHT, **_HAIR},
    "number quiet": {"font_color": _QUIET, **_RIGHT, **_HAIR},
    "centred": {"align": "center", **_HAIR},
    "quiet": {"font_color": _QUIET, "text_wrap": True, **_HAIR},
    "quiet in": {"indent": 1, "font_color": _QUIET, "text_wrap": True, **_HAIR},
    "code": {"indent": 1, "font_color": _QUIET, "font_size": 8, "text_wrap": True, **_HAIR},
    "plain": {"text_wrap": True},
    "plain quiet": {"font_color": _QUIET, "text_wrap": True, "valign": "top"},
    "warned": {"bold": True, "text_wrap": True, "bg_color": _PALE, "top": 1, "bottom": 1},
    "entry": {"indent": 1, **_ENTRY},
    "entry hours": {**_RIGHT, **_ENTRY},
    "entry number": {**_RIGHT, **_ENTRY},
    "entry notes": {"valign": "top", **_ENTRY},
    "fold": {"font_color": _QUIET, "font_size": 8, "italic": True, "valign": "bottom", "bottom": 3},
    "sum label": {**_SUM},
    "sum": {**_RIGHT, **_SUM},
    "total label": {**_TOTAL},
    "total": {**_RIGHT, **_TOTAL},
}
_BASE = {"font_name": "Arial", "font_size": 9.5, "font_scheme": "none", "font_color": _INK, "valign": "vcenter"}
_PAPERS: Mapping[Paper, int] = {"Letter": 1, "A4": 9}
_GAP = 6.0
_LINE, _TITLE, SUM = 13.5, 16.0, 18.0


class Drawn(NamedTuple):
    """A cell: its columns (`C` or `C:E`), what it holds, its look."""

    columns: str
    content: str
    look: str


@record
class Line:
    """One line of cells; `block` names the value or table without which it goes."""

    cells: tuple[Drawn, ...]
    block: str = ""
    height: float | None = None


@record
class Table:
    """A title line with the names of the columns, and the row that is repeated."""

    mark: str
    title: Drawn
    headers: tuple[Drawn, ...]
    columns: tuple[Drawn, ...]
    goes: bool = True
    """False keeps the title where there are no rows."""
    height: float | None = None
    after: tuple[Line, ...] = ()
    """Lines that go with the table, as its sum."""


@record
class PlannedSheet:
    """A sheet of a template."""

    title: str
    role: str
    widths: tuple[float, ...]
    lines: tuple[Line | Table, ...]
    footer: str
    landscape: bool = False
    pages_tall: int = 0
    """0 for as many as it takes."""


GAP = Line(cells=(), height=_GAP)


def draw_template(title: str, sheets: Sequence[PlannedSheet], paper: Paper) -> bytes:
    """The workbook of a template, the same bytes for the same plan."""
    stream = BytesIO()
    normal = {"font_name": "Arial", "font_size": 10, "font_scheme": "none"}
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": normal})
    book.set_properties({"title": title, "created": datetime(2000, 1, 1)})
    pen = _Pen(book)
    for plan in sheets:
        _draw_sheet(pen, plan, paper)
    book.close()
    return stream.getvalue()


class _Pen:
    """Writes cells and names; a look becomes a format once."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self._made: dict[str, Any] = {}
        self._named: set[tuple[str, str]] = set()

    def write(self, sheet: Any, row: int, cell: Drawn, *, names: bool = True) -> None:
        """Write one cell in a row counted from zero."""
        first, last = _columns(cell.columns)
        look = self._look(cell.look)
        content = "" if cell.content == "..." else cell.content
        if last > first:
            sheet.merge_range(row, first, row, last, content, look)
        elif content:
            sheet.write_string(row, first, content, look)
        else:
            sheet.write_blank(row, first, None, look)
        if names and content.startswith("qk_"):
            self.name(sheet, content, row, row, first, first)

    def name(self, sheet: Any, name: str, top: int, bottom: int, left: int, right: int) -> None:
        """Name cells; a mark that stands in several cells is named where it stands first, and typed in the others."""
        if (sheet.name, name) not in self._named:
            self._named.add((sheet.name, name))
            area = xlsxwriter.utility.xl_range_abs(top, left, bottom, right)
            self.book.define_name(f"{quoted(sheet.name)}!{name}", f"={quoted(sheet.name)}!{area}")

    def _look(self, name: str) -> Any:
        if name not in self._made:
            self._made[name] = self.book.add_format({**_BASE, **LOOKS[name]})
        return self._made[name]


def _columns(columns: str) -> tuple[int, int]:
    first, _, last = columns.partition(":")
    return column_number(first) - 1, column_number(last or first) - 1


def _draw_sheet(pen: _Pen, plan: PlannedSheet, paper: Paper) -> None:
    sheet = pen.book.add_worksheet(plan.title)
    for column, width in enumerate(plan.widths):
        sheet.set_column(column, column, width)
    sheet.set_default_row(_LINE)
    row, last = 0, len(plan.widths) - 1
    pen.name(sheet, f"qk_sheet_{plan.role}", 0, 0, 0, 0)
    for part in plan.lines:
        if isinstance(part, Line):
            _draw_line(pen, sheet, row, part)
            if part.block:
                pen.name(sheet, f"qk_block_{part.block}", row, row, 0, last)
            row += 1
        else:
            row = _draw_table(pen, sheet, row, part, last)
    _set_page(sheet, plan, paper, row)


def _draw_line(pen: _Pen, sheet: Any, row: int, line: Line) -> None:
    if line.height is not None:
        sheet.set_row(row, line.height)
    for cell in line.cells:
        pen.write(sheet, row, cell)


def _draw_table(pen: _Pen, sheet: Any, row: int, table: Table, last: int) -> int:
    """A gap, the title line, the marked row, the lines after it; the row below them."""
    sheet.set_row(row, _GAP)
    sheet.set_row(row + 1, _TITLE)
    for cell in (table.title, *table.headers):
        pen.write(sheet, row + 1, cell)
    if table.height is not None:
        sheet.set_row(row + 2, table.height)
    for cell in table.columns:
        pen.write(sheet, row + 2, cell, names=False)
    pen.name(sheet, f"qk_rows_{table.mark}", row + 2, row + 2, 0, last)
    end = row + 3
    for line in table.after:
        _draw_line(pen, sheet, end, line)
        end += 1
    if table.goes:
        pen.name(sheet, f"qk_block_{table.mark}", row, end - 1, 0, last)
    return end


def _set_page(sheet: Any, plan: PlannedSheet, paper: Paper, rows: int) -> None:
    sheet.hide_gridlines(2)
    sheet.set_paper(_PAPERS[paper])
    sheet.set_margins(left=0.5, right=0.5, top=0.5, bottom=0.65)
    if plan.landscape:
        sheet.set_landscape()
    sheet.fit_to_pages(1, plan.pages_tall)
    sheet.set_footer(f'&L&"Arial"&8{plan.footer}&R&"Arial"&8Page &P of &N')
    sheet.print_area(0, 0, rows - 1, len(plan.widths) - 1)


def headings(cells: Mapping[str, str], look: str = "section right") -> tuple[Drawn, ...]:
    """The names of columns on a table's title line."""
    return tuple(Drawn(columns, text, look) for columns, text in cells.items())


def letterhead(kind: str, columns: str, right: str, whole: str) -> Iterator[Line]:
    """The shop's name and the kind of document, and how the shop is reached."""
    yield Line(cells=(Drawn(columns, "qk_shop_name", "shop"), Drawn(right, kind, "kind")), height=27)
    yield Line(cells=(Drawn(whole, "qk_shop_contact", "contact"),), height=18)
    yield GAP
