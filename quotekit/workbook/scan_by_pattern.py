"""A sheet's cells taken from rows that were found by pattern, under the same rules as a parser's.

What is plain at first sight, as nearly every cell is, is taken at once; all other cells go the parser's way.
"""

from __future__ import annotations

from quotekit.problems import Place
from quotekit.workbook.ordinary_cells import NotOrdinary, OrdinaryRow, decoded
from quotekit.workbook.scan_by_parser import MOST_CELLS, ParserScan
from quotekit.workbook.scan_faults import MOST_DIGITS
from quotekit.workbook.sheet_facts import ScanRules


class PatternScan(ParserScan):
    """The parser reads what is around the cells; these are given row by row."""

    def __init__(self, place: Place, data: bytes, rules: ScanRules) -> None:
        super().__init__(place, data, rules)
        self.references = False  # no character of an ordinary cell is written by its number
        self.percent_texts, self.date_texts = _as_written(self.percent), _as_written(self.dates)

    def take_row(self, row: OrdinaryRow) -> None:
        """A whole row that was found by pattern."""
        self._start_row(row.attributes)
        self.elements += len(row.cells)
        if self.elements > MOST_CELLS:
            raise NotOrdinary
        at, last, plain = row.at, 0, []
        for whole, letters, of_row, style, kind, formula, value, raw, inline, text in row.cells:
            column = self.columns.get(letters) or self._column_of(letters + of_row)
            if column <= last or of_row != self.row_text or (value and inline):
                raise NotOrdinary
            last, begun, at = column, at, at + len(whole)
            if not formula and self._is_plain(style, kind, raw, text):
                plain.append(column)
                if style in self.percent_texts:
                    self.facts.percent.add(self.row, column)
                self.facts.values += kind in ("", "n")
            elif formula or value or inline:
                self.column, self.begun, self.ended = column, begun, at - len("</c>")
                self.kind, self.style, self.raw = kind or "n", style, decoded(raw or text)
                self.formula, self.has_value, self.inline = formula != "", bool(value or inline), inline != ""
                self._end_cell()
        if plain:
            self._widen(self.row, plain[0])
            self._widen(self.row, plain[-1])
            self.facts.cells += len(plain) - 2

    def _is_plain(self, style: str, kind: str, raw: str, text: str) -> bool:
        """Whether a typed value is without fault at first sight: a text, or a short number that is no date."""
        if kind == "s":
            return raw.isdecimal() and len(raw) < 10 and int(raw) < self.rules.strings
        if kind == "inlineStr":
            return text != ""
        if kind in ("", "n"):
            return raw.replace(".", "", 1).isdecimal() and len(raw) <= MOST_DIGITS and style not in self.date_texts
        return False


def _as_written(styles: frozenset[int]) -> frozenset[str]:
    """Style numbers as cells write them; a cell without one has the first."""
    return frozenset(map(str, styles)) | ({""} if 0 in styles else set())
