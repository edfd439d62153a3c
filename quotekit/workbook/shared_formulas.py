"""Formulas that a spreadsheet wrote once for several cells, written out for each."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from quotekit.documents.column_letters import column_letters
from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, Position, column_number
from quotekit.workbook.package import BadPackage

MOST_WRITTEN_OUT = 2_000_000
"""Characters of all formulas written out together."""

_REFERENCE = re.compile(
    r"(?<![\w.$])(?:"
    r"(?P<c>\$?)(?P<column>[A-Za-z]{1,3})(?P<r>\$?)(?P<row>[1-9][0-9]{0,6})(?![\w.(!])"
    r"|(?P<c1>\$?)(?P<from>[A-Za-z]{1,3}):(?P<c2>\$?)(?P<to>[A-Za-z]{1,3})(?![\w.(!$])"
    r"|(?P<r1>\$?)(?P<first>[1-9][0-9]{0,6}):(?P<r2>\$?)(?P<last>[1-9][0-9]{0,6})(?![\w.(!])"
    r")"
)
_SPARED = re.compile(r"(\"[^\"]*\"|'[^']*'|\[[^\]]*\])")


def shifted(formula: str, rows: int, columns: int) -> str:
    """A formula as it reads so many rows further down and columns to the right; what lies outside is `#REF!`.

    >>> shifted("A1+$A$1+B$2*$C3&\\"A1\\"", 2, 1)
    'B3+$A$1+C$2*$C5&"A1"'
    >>> shifted("SUM(A:B,$3:4)+'A1'!A1+LOG10(2)+x_A1", 1, 1)
    "SUM(B:C,$3:5)+'A1'!B2+LOG10(2)+x_A1"
    >>> shifted("A1", -1, 0)
    '#REF!'
    """
    pieces = _SPARED.split(formula)
    pieces[::2] = [_REFERENCE.sub(lambda match: _moved(match, rows, columns), piece) for piece in pieces[::2]]
    return "".join(pieces)


@dataclass(kw_only=True)
class SharedFormulas:
    """The shared formulas of one sheet, by their number."""

    masters: dict[str, tuple[str, Position]] = field(default_factory=dict)
    written: int = 0

    def written_out(self, number: str, text: str, at: Position) -> str:
        """The formula of a cell; the first cell of a number holds its text. Raises BadPackage for too many."""
        if text:
            self.masters[number] = text, at
            return text
        formula, (row, column) = self.masters.get(number, ("", at))
        self.written += len(formula)
        if self.written > MOST_WRITTEN_OUT:
            raise BadPackage("too-large", "the sheet holds too many formulas")
        return shifted(formula, at[0] - row, at[1] - column)


def _moved(match: re.Match[str], rows: int, columns: int) -> str:
    of = match.groupdict()
    if of["column"]:
        column = _column(of["c"], of["column"], columns)
        row = _row(of["r"], of["row"], rows)
        return column + row if column and row else "#REF!"
    if of["from"]:
        ends = _column(of["c1"], of["from"], columns), _column(of["c2"], of["to"], columns)
    else:
        ends = _row(of["r1"], of["first"], rows), _row(of["r2"], of["last"], rows)
    return ":".join(ends) if all(ends) else "#REF!"


def _column(fixed: str, letters: str, by: int) -> str:
    number = column_number(letters.upper()) + (0 if fixed else by)
    return f"{fixed}{column_letters(number)}" if 1 <= number <= MOST_COLUMNS else ""


def _row(fixed: str, digits: str, by: int) -> str:
    number = int(digits) + (0 if fixed else by)
    return f"{fixed}{number}" if 1 <= number <= MOST_ROWS else ""
