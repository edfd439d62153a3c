"""One pass over a sheet's XML: every cell that cannot be trusted, by address, and what the reading library hides.

The library reads error cells and formulas without a stored result as blank, aborts the process on cells far apart,
and knows no number formats, hidden rows or merged cells. All that is found here.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from quotekit.problems import Place, Problem, error
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.xml_parts import Attributes, parse_part

MOST_ROWS, MOST_COLUMNS = 1_048_576, 16_384
MOST_CELLS_SPANNED = 6_000_000
FAR_ROWS = 200_000
_ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_TYPES = frozenset({"n", "s", "str", "inlineStr", "b", "e", "d"})

Position = tuple[int, int]


@dataclass(kw_only=True)
class SheetFacts:
    """What a scan found; positions are (row, column), 1-based."""

    faults: dict[Position, Problem] = field(default_factory=dict)
    percent: set[Position] = field(default_factory=set)
    calculated: set[Position] = field(default_factory=set)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[str] = field(default_factory=list)
    cells: int = 0


def scan_sheet(package: Package, part: str, sheet: str, percent_styles: frozenset[int], strings: int) -> SheetFacts:
    """Facts and faults of one sheet.

    Raises BadPackage where the sheet as a whole cannot be read.
    """
    scan = _Scan(package.file, sheet, percent_styles, strings)
    parse_part(package, part, scan.start, scan.end, scan.text)
    scan.check_span()
    return scan.facts


def column_number(letters: str) -> int:
    """A column's number.

    >>> column_number("A"), column_number("XFD")
    (1, 16384)
    """
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """A column's letters.

    >>> column_letters(1), column_letters(16384)
    ('A', 'XFD')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def address(row: int, column: int) -> str:
    """A cell's address, `D14`."""
    return f"{column_letters(column)}{row}"


class _Scan:
    """Handlers of one sheet's elements, with the cell being read."""

    def __init__(self, file: str, sheet: str, percent_styles: frozenset[int], strings: int) -> None:
        self.file, self.sheet, self.percent_styles, self.strings = file, sheet, percent_styles, strings
        self.facts = SheetFacts()
        self.row = self.column = 0
        self.columns: dict[str, int] = {}
        self.last_in_row = 0
        self.low: Position = (MOST_ROWS, MOST_COLUMNS)
        self.high: Position = (0, 0)
        self.farthest = ""
        self.kind, self.style = "n", 0
        self.formula = self.has_value = self.in_value = False
        self.value: list[str] = []

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "c":
            self._start_cell(attributes)
        elif tag == "v":
            self.in_value, self.has_value, self.value = True, True, []
        elif tag == "f":
            self.formula = True
        elif tag == "is":
            self.has_value, self.value = True, ["text"]
        elif tag == "row":
            self._start_row(attributes)
        elif tag == "col" and attributes.get("hidden") in ("1", "true"):
            low, high = _whole(attributes.get("min")), _whole(attributes.get("max"))
            self.facts.hidden_columns.update(range(max(1, low), min(high, MOST_COLUMNS) + 1))
        elif tag == "mergeCell":
            self.facts.merged.append(attributes.get("ref", "")[:30])

    def end(self, tag: str) -> None:
        if tag == "v":
            self.in_value = False
        elif tag == "c":
            self._end_cell()

    def text(self, text: str) -> None:
        if self.in_value and len(self.value) < 64:
            self.value.append(text)

    def check_span(self) -> None:
        """Refuse cells so far apart that the reading library would fill the memory with blanks."""
        if not self.high[0]:
            return
        rows, columns = self.high[0] - self.low[0] + 1, self.high[1] - self.low[1] + 1
        if rows * columns > max(MOST_CELLS_SPANNED, 40 * self.facts.cells):
            self._refuse("far-cell", f"the cell {self.farthest} is far outside the data", "Delete that row or column.")

    def _start_row(self, attributes: Attributes) -> None:
        row = _whole(attributes["r"]) if "r" in attributes else self.row + 1
        if row <= self.row or row > MOST_ROWS:
            beyond = f"row {str(attributes.get('r'))[:12]} is out of order or beyond row {MOST_ROWS:,}"
            self._refuse("cell-out-of-bounds" if row > MOST_ROWS else "broken-workbook", beyond)
        self.row, self.column, self.last_in_row = row, 0, 0
        if attributes.get("hidden") in ("1", "true"):
            self.facts.hidden_rows.add(row)

    def _start_cell(self, attributes: Attributes) -> None:
        reference = attributes.get("r")
        self.column = self.last_in_row + 1 if reference is None else self._column_of(reference)
        if self.column <= self.last_in_row:
            self._refuse("broken-workbook", f"{address(self.row, self.column)} is there twice or out of order")
        self.last_in_row = self.column
        self.kind = attributes.get("t", "n")
        self.style = _whole(attributes.get("s", "0"))
        self.formula = self.has_value = False
        self.value = []

    def _column_of(self, reference: str) -> int:
        match = _ADDRESS.fullmatch(reference)
        column = 0
        if match:
            letters = match[1]
            column = self.columns.get(letters) or self.columns.setdefault(letters, column_number(letters))
        if match is None or column > MOST_COLUMNS or int(match[2]) > MOST_ROWS:
            limit = f"{MOST_ROWS:,} rows x {MOST_COLUMNS:,} columns"
            self._refuse("cell-out-of-bounds", f"the cell {reference[:20]} lies outside {limit}")
        assert match is not None
        if int(match[2]) != self.row:
            self._refuse("broken-workbook", f"the cell {reference} stands in row {self.row}")
        return column

    def _end_cell(self) -> None:
        if not (self.has_value or self.formula):
            return
        at = (self.row, self.column)
        self._widen(at)
        raw = "".join(self.value)
        if self.formula:
            self.facts.calculated.add(at)
        fault = self._fault(raw)
        if fault:
            code, message, remedy = fault
            place = Place(self.file, self.sheet, address(*at))
            self.facts.faults[at] = error(place, code, message, remedy, raw[:80])
        elif self.style in self.percent_styles:
            self.facts.percent.add(at)

    def _widen(self, at: Position) -> None:
        self.facts.cells += 1
        if at[0] > self.high[0] or at[1] > self.high[1]:
            self.farthest = address(*at)
        self.low = (min(self.low[0], at[0]), min(self.low[1], at[1]))
        self.high = (max(self.high[0], at[0]), max(self.high[1], at[1]))

    def _fault(self, raw: str) -> tuple[str, str, str] | None:
        if self.kind == "e":
            return "error-cell", f"the cell shows the error {raw[:20]}", "Mend the formula, or type the value."
        if self.formula and raw == "":
            advice = "Open the workbook in your spreadsheet and save it, so that the result is stored."
            return "no-stored-result", "the cell has a formula with no stored result", advice
        if self.kind == "n" and raw:
            return self._number_fault(raw)
        if self.kind == "s" and not (raw.isdecimal() and int(raw[:12]) < self.strings):
            return "broken-workbook", "the cell points to a text that is not there", "Type the cell again."
        if self.kind == "b" and raw not in ("0", "1", "true", "false"):
            return "broken-workbook", "the cell holds neither yes nor no", "Type the cell again."
        if self.kind not in _TYPES:
            return "broken-workbook", f"the cell has an unknown type {self.kind[:12]}", "Type the cell again."
        return None

    def _number_fault(self, raw: str) -> tuple[str, str, str] | None:
        try:
            number = float(raw)
        except ValueError:
            return "broken-workbook", "the cell holds a number that cannot be read", "Type the cell again."
        if not math.isfinite(number) or abs(number) > 1e300:
            return self._too_many()
        if not self.formula and (abs(number) > 1e15 or _has_more_digits(number)):
            return self._too_many()
        return None

    def _too_many(self) -> tuple[str, str, str]:
        message = "the number has more than 15 digits, more than a spreadsheet keeps"
        return "too-many-digits", message, "Type a code as text, or a number with fewer digits."

    def _refuse(self, code: str, message: str, remedy: str = "Open it in the spreadsheet and save it again.") -> None:
        raise BadPackage(code, f"{self.sheet}: {message}", remedy)


def _digits(raw: str) -> int:
    mantissa = raw.lower().partition("e")[0].lstrip("+-").replace(".", "").lstrip("0")
    return len(mantissa)


def _has_more_digits(number: float) -> bool:
    """True when digits past the fifteenth were typed; the noise of a sum such as 0.1 * 3 is no digit."""
    return _digits(repr(number)) > 15 and _digits(format(number, ".15g")) == 15


def _whole(text: str | None) -> int:
    """A whole number of at most nine digits; -1 for anything else."""
    return int(text) if text is not None and text.isdecimal() and len(text) < 10 else -1
