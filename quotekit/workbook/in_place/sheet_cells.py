"""One pass over a sheet's XML that tells where its cells lie in the bytes, so that one can be changed alone.

Kept are the cells that were asked for, every cell with a formula and every cell that a formula of several cells fills;
of the rest only where each row begins. Elements are known by their local names, so any prefix will do.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from xml.parsers import expat

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, Position, column_number
from quotekit.workbook.in_place.dimmed import TAG, dimmed
from quotekit.workbook.in_place.spans import ADDRESS, CellSpan, Rectangle, RowSpan, SheetCells, Span, rectangle_of
from quotekit.workbook.package import BadPackage
from quotekit.workbook.xml_parts import Attributes, parse_xml

_FORMULA = re.compile(rb"<(?:[\w.-]+:)?f[\s>/]")


def holds_formulas(data: bytes) -> bool:
    """True where a sheet may hold a formula; a quick look only."""
    return _FORMULA.search(data) is not None


def find_cells(part: str, data: bytes, wanted: Collection[Position], *, formulas: bool = True) -> SheetCells:
    """Where the wanted cells and, unless they are left out, all calculated ones are. Raises BadPackage."""
    parse_xml(part, data, expat.ParserCreate())
    scan = _Scan(data, wanted)
    parse_xml(part, dimmed(data, {row for row, _ in wanted}, formulas=formulas), scan.parser)
    if not scan.seen:
        raise _strange("the sheet has no table of cells")
    return scan.found


class _Scan:
    """Handlers of a sheet's elements, with the row and the cell being read."""

    def __init__(self, data: bytes, wanted: Collection[Position]) -> None:
        self.data, self.wanted = data, frozenset(wanted)
        self.wanted_rows = {row for row, _ in self.wanted}
        self.found = SheetCells(data=data)
        self.seen = self.reading = False
        self.number = self.column = self.depth = self.begun = 0
        self.row: RowSpan | None = None
        self.cell: CellSpan | None = None
        self.filled: list[Rectangle] = []
        self.held: list[str] | None = None
        self.phonetic = self.inline = False
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.frame_start
        self.parser.EndElementHandler = self.frame_end
        self.parser.CharacterDataHandler = self.text

    def frame_start(self, tag: str, attributes: Attributes) -> None:
        """An element around the table of cells."""
        local = tag.rpartition(":")[2]
        start = self.parser.CurrentByteIndex
        span = Span(start, self._tag_end(start))
        if local == "sheetData":
            if self.seen:
                raise _strange("the sheet holds two tables of cells")
            self.seen = True
            self.found.prefix = tag[: -len(local)]
            self.found.table_tag, self.found.table = span, Span(span.end, span.end)
            self.parser.StartElementHandler, self.parser.EndElementHandler = self.start, self.end
            return
        self.found.around.append((local, attributes, span))
        self.held = []

    def frame_end(self, tag: str) -> None:
        if self.held:
            self.found.texts[len(self.found.around) - 1] = "".join(self.held)
        self.held = None

    def start(self, tag: str, attributes: Attributes) -> None:
        local = tag.rpartition(":")[2]
        if self.cell is not None:
            self._inside(local, attributes)
        elif local == "c":
            self._start_cell(attributes)
        elif local == "row":
            self._start_row(attributes)
        self.depth += 1

    def end(self, tag: str) -> None:
        self.depth -= 1
        local = tag.rpartition(":")[2]
        here = self.parser.CurrentByteIndex
        if self.depth < 0:
            self.found.table = Span(self.found.table_tag.end, max(here, self.found.table_tag.end))
            self.parser.StartElementHandler, self.parser.EndElementHandler = self.frame_start, self.frame_end
            self.reading = False
        elif self.cell is not None:
            self._end_inside(local, here)
        elif self.depth == 0 and self.row is not None:
            self.row.closing = max(here, self.row.opened)
            self.row = None

    def text(self, text: str) -> None:
        if self.held is not None and not self.phonetic:
            self.held.append(text)

    def _start_row(self, attributes: Attributes) -> None:
        number = _whole(attributes["r"], MOST_ROWS) if "r" in attributes else self.number + 1
        if self.depth or not self.number < number <= MOST_ROWS:
            raise _strange(f"row {number or attributes.get('r', '')[:12]} is there twice or out of order")
        self.number, self.column = number, 0
        start = self.parser.CurrentByteIndex
        self.found.row_starts.append((number, start))
        if number in self.wanted_rows:
            self.row = RowSpan(number=number, start=start, opened=self._tag_end(start), attributes=attributes)
            self.found.rows[number] = self.row

    def _start_cell(self, attributes: Attributes) -> None:
        if self.depth != 1 or not self.number:
            raise _strange("a cell stands in no row or in another cell")
        reference = attributes.get("r")
        column = self.column + 1
        if reference is not None:
            match = ADDRESS.fullmatch(reference)
            if match is None or match[2] != str(self.number):
                raise _strange(f"the cell {reference[:20]} stands in row {self.number}")
            column = column_number(match[1])
        if not self.column < column <= MOST_COLUMNS:
            raise _strange(f"the cell {reference or self.column} is there twice or out of order")
        self.column = column
        start = self.parser.CurrentByteIndex
        if self.row is not None:
            self.row.cells.append((column, start))
        self.cell = CellSpan(at=(self.number, column), start=start, opened=self._tag_end(start), attributes=attributes)
        self.reading = self.cell.at in self.wanted or any(area.holds(self.cell.at) for area in self.filled)

    def _inside(self, local: str, attributes: Attributes) -> None:
        """An element within a cell; its own children are at depth 2."""
        assert self.cell is not None
        if self.depth == 2:
            self.begun = self.parser.CurrentByteIndex
            self.inline = local == "is"
            if local == "f":
                self._start_formula(attributes)
            elif local in ("v", "is"):
                self.held = [] if self.reading and local == "v" else None
                if local == "is":
                    self.cell.value = ""
        elif local == "rPh":
            self.phonetic = True
        elif local == "t" and self.reading and self.inline:
            self.held = []

    def _start_formula(self, attributes: Attributes) -> None:
        assert self.cell is not None
        self.reading, self.held = True, []
        self.cell.formula_attributes = attributes
        area = rectangle_of(attributes.get("ref", ""))
        if area and attributes.get("t") in ("array", "dataTable"):
            self.filled = [one for one in self.filled if one.bottom >= self.number]
            self.filled.append(area)

    def _end_inside(self, local: str, here: int) -> None:
        cell = self.cell
        assert cell is not None
        if self.depth == 1:
            cell.closing = max(here, cell.opened)
            cell.end = self._tag_end(here) if here > cell.opened or self._opens(cell) else cell.opened
            if self.reading:
                self.found.cells[cell.at] = cell
            self.cell = None
        elif self.depth == 2 and local in ("f", "v", "is"):
            self._end_child(cell, local, here)
        elif local == "rPh":
            self.phonetic = False
        elif local == "t" and self.held is not None:
            cell.value = (cell.value or "") + "".join(self.held)
            self.held = None

    def _opens(self, cell: CellSpan) -> bool:
        return self.data[cell.opened - 2 : cell.opened] != b"/>"

    def _end_child(self, cell: CellSpan, local: str, here: int) -> None:
        opened = self._tag_end(self.begun)
        empty = self.data[opened - 2 : opened] == b"/>"
        span = Span(self.begun, opened if empty else self._tag_end(here))
        cell.inside.append(span)
        if local == "f":
            cell.formula, cell.formula_span = "".join(self.held or []), span
        elif local == "v":
            cell.value = "".join(self.held or [])
        elif not empty:
            cell.rich = Span(opened, here)
        self.held = None

    def _tag_end(self, start: int) -> int:
        match = TAG.match(self.data, start)
        if match is None:
            raise _strange("the sheet is written in an unusual way")
        return match.end()


def _whole(text: str, most: int) -> int:
    return int(text) if text.isdecimal() and len(text) < 10 and int(text) <= most else 0


def _strange(message: str) -> BadPackage:
    return BadPackage("broken-workbook", message)
