"""Values go into the cells of one sheet of a template, and each cell keeps its name, so that it can be read back.

Text is text whatever it begins with; each OPENED before it sets all of its lines in by a level. A number keeps its
cell's format; where that is General it takes the one given. A row whose text needs more lines than it has room for
becomes taller, never lower than the owner made it.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from decimal import Decimal
from typing import Any

from openpyxl.workbook.defined_name import DefinedName

from quotekit.documents.filling import OPENED, CellValue, SheetFilling, Shown, is_nothing
from quotekit.workbook.addresses import address
from quotekit.workbook.cannot_write import CannotWrite
from quotekit.workbook.fill_heights import make_room
from quotekit.workbook.fill_pages import break_pages
from quotekit.workbook.moved_formula import quoted
from quotekit.workbook.printable import printable
from quotekit.workbook.row_map import RowMap, Stretch
from quotekit.workbook.template_check import is_empty
from quotekit.workbook.template_marks import PREFIX, ROWS, SHEET, Lines, MarkedRows, SheetMarks

MOST_LETTERS = 32_767
MOST_DIGITS = 15


def rows_of(marks: SheetMarks, filling: SheetFilling) -> RowMap:
    """How often each row of the template stands in the document."""
    gone = joined(lines for name, lines in marks.blocks.items() if is_empty(name, filling))
    stretches = [Stretch(lines.top, lines.bottom, 0) for lines in gone]
    for name, table in marks.tables.items():
        if not any(lines.holds(table.lines.top) for lines in gone):
            stretches.append(Stretch(table.lines.top, table.lines.bottom, len(filling.tables.get(name, ()))))
    return RowMap(stretches)


def joined(lines: Iterable[Lines]) -> list[Lines]:
    """Lines that share rows become one.

    >>> joined([Lines(5, 9), Lines(1, 2), Lines(8, 12)])
    [Lines(top=1, bottom=2), Lines(top=5, bottom=12)]
    """
    found: list[Lines] = []
    for one in sorted(lines):
        if found and one.top <= found[-1].bottom:
            found[-1] = Lines(found[-1].top, max(found[-1].bottom, one.bottom))
        else:
            found.append(one)
    return found


def fill_sheet(sheet: Any, marks: SheetMarks, filling: SheetFilling, rows: RowMap) -> None:
    """Put every value in its place on a sheet whose rows have moved, and name the cells."""
    _name(sheet, f"{SHEET}{marks.role}", 1, 1, 1)
    for name, spots in marks.values.items():
        places = [(row, spot.column) for spot in spots for row in rows.places(spot.row)]
        for row, column in places:
            _put(sheet, row, column, filling.values.get(name))
        if places:
            _name(sheet, name, places[0][0], places[0][0], places[0][1])
    for name, table in marks.tables.items():
        _fill_table(sheet, name, table, filling, rows)
    for row in rows.hidden:
        sheet.row_dimensions[row].hidden = True
    make_room(sheet)
    spans = [rows.span(*lines) for lines in marks.blocks.values()]
    break_pages(sheet, [span for span in spans if span is not None])


def _fill_table(sheet: Any, name: str, table: MarkedRows, filling: SheetFilling, rows: RowMap) -> None:
    lines = filling.tables.get(name, ())
    for column, spot in table.columns.items():
        places = rows.places(spot.row)
        for place, line in zip(places, lines or [{}], strict=False):
            _put(sheet, place, spot.column, line.get(column))
        if places:
            _name(sheet, f"{name}_{column}", places[0], places[-1], spot.column)
    span = rows.span(*table.lines)
    if span is not None:
        _name(sheet, f"{ROWS}{name}", span[0], span[1], 1)


def _name(sheet: Any, name: str, top: int, bottom: int, column: int) -> None:
    """Name cells of one column; the name belongs to the sheet."""
    key = f"{PREFIX}{name}"
    area = f"{quoted(sheet.title)}!{_absolute(top, column)}"
    sheet.defined_names[key] = DefinedName(
        key, attr_text=area + (f":{_absolute(bottom, column)}" if bottom > top else "")
    )


def _absolute(row: int, column: int) -> str:
    letters = address(row, column).rstrip("0123456789")
    return f"${letters}${row}"


def _put(sheet: Any, row: int, column: int, value: CellValue) -> None:
    cell = sheet.cell(row, column)
    if is_nothing(value):
        cell._value, cell.data_type = None, "n"
        return
    shown = value.format if isinstance(value, Shown) else ""
    plain = value.value if isinstance(value, Shown) else value
    if isinstance(plain, str):
        text = plain.lstrip(OPENED)
        cell._value, cell.data_type = _text(sheet, cell, text), "s"
        if len(text) < len(plain):
            _set_in(cell, len(plain) - len(text))
        return
    if isinstance(plain, Decimal) and len(plain.normalize().as_tuple().digits) > MOST_DIGITS:
        raise CannotWrite(f"{sheet.title}!{cell.coordinate}: {plain} has more than {MOST_DIGITS} digits")
    before = cell.number_format
    cell.value = plain
    cell.number_format = shown if shown and before == "General" else before
    if before == "General" and not shown and cell.is_date:
        cell.number_format = "yyyy-mm-dd"


def _set_in(cell: Any, levels: int) -> None:
    """Set a text in by levels, all of its lines; what the owner made of the cell else stays."""
    alignment = copy(cell.alignment)
    alignment.indent = int(alignment.indent or 0) + levels
    if alignment.horizontal in (None, "general"):
        alignment.horizontal = "left"
    cell.alignment = alignment


def _text(sheet: Any, cell: Any, text: str) -> str:
    if len(text) > MOST_LETTERS:
        raise CannotWrite(f"{sheet.title}!{cell.coordinate}: a text of {len(text)} letters")
    return printable(text)


def sheet_title(wanted: str, taken: Iterable[str]) -> str:
    """A name a sheet can have, and that no other sheet has; the spreadsheet keeps History for itself.

    >>> sheet_title("Parts: north/west", {"terms"}), sheet_title("Terms", {"terms"})
    ('Parts- north-west', 'Terms 2')
    >>> sheet_title("History", [])
    'History 2'
    """
    used = {"history", *(title.casefold() for title in taken)}
    clean = "".join("-" if letter in "[]:*?/\\" else letter for letter in printable(wanted)).strip().strip("'")
    clean, number = clean[:31].strip() or "Sheet", 1
    title = clean
    while title.casefold() in used:
        number += 1
        title = f"{clean[: 30 - len(str(number))].strip()} {number}"
    return title
