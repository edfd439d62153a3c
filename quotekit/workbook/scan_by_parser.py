"""One pass of a parser over a sheet's XML: what cannot be trusted, by address, and what the reading library hides.

The library reads error cells and formulas without a stored result as blank, aborts the process on cells far apart,
fails a whole sheet on one cell it does not know, and knows no number formats, hidden rows or merged cells.
All that is found here, and cells with a fault are emptied in the copy that the library reads.
"""

from __future__ import annotations

import re
from xml.parsers import expat

from quotekit.problems import Place, error
from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, address, column_number
from quotekit.workbook.package import BadPackage
from quotekit.workbook.scan_faults import Fault, value_fault
from quotekit.workbook.sheet_facts import ScanRules, SheetFacts
from quotekit.workbook.xml_parts import Attributes

MOST_SPARSE = 6_000_000
"""Cells of the used rectangle, above which it must be well filled: the library takes 32 bytes for each."""

MOST_SPANNED = 24_000_000
MOST_CELLS = 3_000_000
MOST_FAULTS = 50_000
_ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_TAG = re.compile(rb"<[^\s/>]+")
_TRUE = ("1", "true")
_TEXTS = ("str", "inlineStr")
_AGAIN = "Open it in the spreadsheet and save it again."
_STRANGE = "broken-workbook", "the cell is written as no spreadsheet writes it", "Type the cell again."


class ParserScan:
    """Handlers of one sheet's elements, with the cell being read.

    Elements are known by their local names. The cell and its value come first: they are nearly all there is.
    """

    def __init__(self, place: Place, data: bytes, rules: ScanRules) -> None:
        self.place, self.data, self.rules = place, data, rules
        self.percent, self.dates = rules.styles
        self.facts = SheetFacts()
        self.row, self.row_text, self.column = 0, "0", 0
        self.columns: dict[str, int] = {}
        self.elements = self.low_column = self.high_column = self.low_row = self.high_row = 0
        self.farthest = ""
        self.kind, self.style, self.raw = "n", "", ""
        self.in_cell = self.formula = self.has_value = self.in_value = self.inline = self.strange = self.seen = False
        self.references = b"&#" in data
        self.begun = self.hidden = 0
        self.ended: int | None = None
        """Where the content of the cell being read ends; None while the parser knows."""

        self.emptied: list[tuple[int, int, str]] = []
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.frame_start
        self.parser.CharacterDataHandler = self.text
        self.parser.CommentHandler = self.parser.ProcessingInstructionHandler = self.mark_strange
        self.parser.StartCdataSectionHandler = self.mark_strange

    def frame_start(self, tag: str, attributes: Attributes) -> None:
        """An element around the cells. Only those of one `sheetData` are cells."""
        tag = tag.rpartition(":")[2]
        if tag == "sheetData":
            if self.seen:
                self._refuse("broken-workbook", "the sheet holds two tables of cells")
            self.seen = True
            self.parser.StartElementHandler, self.parser.EndElementHandler = self.start, self.end
        elif tag == "col" and attributes.get("hidden") in _TRUE:
            low, high = _whole(attributes.get("min")), _whole(attributes.get("max"))
            low, high = max(1, low), min(high, MOST_COLUMNS)
            self.hidden |= (1 << high + 1) - (1 << low) if low <= high else 0
        elif tag == "mergeCell":
            self._merge(attributes.get("ref", "")[:30])

    def start(self, tag: str, attributes: Attributes) -> None:
        """An element of a cell begins."""
        if tag == "c":
            self._start_cell(attributes)
        elif tag == "v":
            self.strange = self.strange or self.has_value
            self.in_value, self.has_value, self.raw = True, True, ""
        elif tag == "f":
            self.strange = self.strange or self.has_value
            self.formula = True
        elif ":" in tag:
            self.start(tag.rpartition(":")[2], attributes)
        elif tag == "row":
            self._start_row(attributes)
        elif tag == "is":
            self.strange = self.strange or self.has_value
            self.has_value, self.inline, self.raw = True, True, ""
        elif tag == "t" and self.inline and not self.in_value:
            self.in_value = True
        elif self.in_value or (self.in_cell and not self.inline):
            self.strange = True

    def end(self, tag: str) -> None:
        """An element of a cell ends."""
        if tag == "c":
            self.in_cell = False
            if self.has_value or self.formula or self.strange:
                self._end_cell()
        elif tag == "v" or tag == "t":
            self.in_value = False
        elif ":" in tag:
            self.end(tag.rpartition(":")[2])
        elif tag == "sheetData":
            self.parser.StartElementHandler, self.parser.EndElementHandler = self.frame_start, None

    def text(self, text: str) -> None:
        """Text of a value; only its beginning is kept."""
        if self.in_value and len(self.raw) < 400:
            self.raw += text

    def mark_strange(self, *_: object) -> None:
        """What no spreadsheet writes into a cell."""
        self.strange = self.strange or self.in_cell

    def check_span(self) -> None:
        """Refuse cells so far apart that the reading library would fill the memory with blanks."""
        if not self.high_row:
            return
        rows, columns = self.high_row - self.low_row + 1, self.high_column - self.low_column + 1
        if rows * columns > min(max(MOST_SPARSE, 8 * self.facts.cells), MOST_SPANNED):
            message = f"the cell {self.farthest} is far outside the data"
            self._refuse("far-cell", message, "Delete that row or column.", self.farthest)

    def mended(self) -> bytes:
        """The sheet's XML without the content of its faulty cells."""
        pieces, position = [], 0
        for start, end, cell in self.emptied:
            tag = _TAG.match(self.data, start)
            pieces += [self.data[position:start], tag[0] if tag else b"<c", b' r="' + cell.encode() + b'">']
            position = end
        return b"".join([*pieces, self.data[position:]]) if pieces else self.data

    def _start_row(self, attributes: Attributes) -> None:
        row = _whole(attributes["r"]) if "r" in attributes else self.row + 1
        if row > MOST_ROWS:
            self._refuse("cell-out-of-bounds", f"row {row} lies beyond row {MOST_ROWS:,}")
        if row <= self.row:
            self._refuse("broken-workbook", f"row {str(attributes.get('r'))[:12]} is there twice or out of order")
        self.row, self.row_text, self.column = row, str(row), 0
        if attributes.get("hidden") in _TRUE:
            self.facts.hidden_rows.add(row)

    def _start_cell(self, attributes: Attributes) -> None:
        if self.in_cell or not self.row:
            self._refuse("broken-workbook", "a cell stands in another cell or in no row")
        self.begun = self.parser.CurrentByteIndex
        reference = attributes.get("r")
        last = self.column
        if reference is None:
            self.column = last + 1
        else:
            digits = len(self.row_text)
            known = self.columns.get(reference[:-digits]) if reference[-digits:] == self.row_text else None
            self.column = known or self._column_of(reference)
        if self.column <= last:
            self._refuse("broken-workbook", f"{reference or last} is there twice or out of order")
        self.elements += 1
        if self.elements > MOST_CELLS:
            self._refuse("too-large", f"the sheet holds more than {MOST_CELLS:,} cells", "Save only what is used.")
        self.kind = attributes.get("t", "n")
        self.style = attributes.get("s", "")
        self.in_cell, self.raw = True, ""
        self.formula = self.has_value = self.strange = self.inline = False

    def _column_of(self, reference: str) -> int:
        """The column of an address that is not known yet; it must lie in the row being read."""
        match = _ADDRESS.fullmatch(reference)
        column = column_number(match[1]) if match else 0
        if match is None or column > MOST_COLUMNS or int(match[2]) > MOST_ROWS:
            limit = f"{MOST_ROWS:,} rows x {MOST_COLUMNS:,} columns"
            self._refuse("cell-out-of-bounds", f"the cell {reference[:20]} lies outside {limit}")
        elif match[2] != self.row_text:
            self._refuse("broken-workbook", f"the cell {reference} stands in row {self.row}")
        else:
            self.columns[match[1]] = column
        return column

    def _end_cell(self) -> None:
        row, column = self.row, self.column
        if self.raw == "" and not self.formula and self.kind != "e":
            self._empty(None)
            return
        self._widen(row, column)
        if self.formula:
            self.facts.calculated.add(row, column)
        style = _whole(self.style) if self.style else 0
        fault = self._fault(style)
        if fault:
            self._empty(fault)
            return
        if style in self.percent:
            self.facts.percent.add(row, column)
        self.facts.values += self.raw != "" and self.kind in ("n", "b", "d")

    def _fault(self, style: int) -> Fault | None:
        raw, kind = self.raw, self.kind
        if (
            self.strange
            or (kind == "inlineStr") != self.inline
            or (self.references and kind not in _TEXTS and self._written_as_reference())
        ):
            return _STRANGE
        if raw == "" and kind != "e":
            # A formula that gives an empty text is stored as one; an empty value of any other kind is none.
            if kind == "str" and self.has_value:
                return None
            advice = "Open the workbook in your spreadsheet and save it, so that the result is stored."
            return "no-stored-result", "the cell has a formula with no stored result", advice
        rules = self.rules
        return value_fault(
            kind, raw, rules.strings, calculated=self.formula, date=style in self.dates, date_1904=rules.date_1904
        )

    def _written_as_reference(self) -> bool:
        written = self.data[self.begun : self.parser.CurrentByteIndex]
        return b"&#" in written.rpartition(b"<")[0].rpartition(b"<")[2]

    def _empty(self, fault: Fault | None) -> None:
        """Leave the cell out of the copy that is read; without a fault it holds nothing."""
        cell = address(self.row, self.column)
        if fault:
            self.facts.faults[self.row, self.column] = error(self.place._replace(cell=cell), *fault, self.raw[:80])
        ended = self.parser.CurrentByteIndex if self.ended is None else self.ended
        self.emptied.append((self.begun, ended, cell))
        if len(self.facts.faults) > MOST_FAULTS:
            self._refuse("too-large", f"the sheet has more than {MOST_FAULTS:,} cells with a fault", _AGAIN, cell)

    def _widen(self, row: int, column: int) -> None:
        self.facts.cells += 1
        if not self.high_row:
            self.low_row, self.low_column = row, column
        elif column < self.low_column:
            self.low_column = column
        if column > self.high_column:
            self.high_column, self.farthest = column, address(row, column)
        elif row - self.high_row > 1000:
            self.farthest = address(row, column)
        self.high_row = row

    def _merge(self, reference: str) -> None:
        self.facts.merged.append(reference)
        if len(self.facts.merged) > MOST_FAULTS:
            self._refuse("too-large", f"the sheet has more than {MOST_FAULTS:,} merged ranges")

    def _refuse(self, code: str, message: str, remedy: str = _AGAIN, cell: str = "") -> None:
        raise BadPackage(code, message, remedy, cell)


def _whole(text: str | None) -> int:
    """A whole number of at most nine digits; -1 for anything else."""
    return int(text) if text is not None and text.isdecimal() and len(text) < 10 else -1
