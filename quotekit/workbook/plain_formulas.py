"""A worksheet whose formulas are taken as they are, and whose common cells are written in one piece.

XlsxWriter looks through each formula for a hundred and fifty newer functions, to mark them, and compiles a pattern for
each: for a quote that takes longer than writing all its formulas. Ours hold a few old functions only.
For each cell it asks whether its place is an address to be taken apart, and whether each attribute needs escaping; ours
are numbers. The bytes are the same.
"""

from __future__ import annotations

import re
from typing import Any

from xlsxwriter.worksheet import Worksheet

from quotekit.documents.column_letters import column_letters

PLAIN = frozenset({"ABS", "EXACT", "FALSE", "IF", "INT", "ISERROR", "MAX", "MIN", "OR", "SIGN", "SUM", "TRUE"})
"""Functions that every spreadsheet has had from the start; the quote's formulas hold no other."""

_QUICK = frozenset({"Blank", "Number", "String"})
_CALLED = re.compile(r"([A-Z][A-Z0-9.]*)\(")


def is_plain(formula: str) -> bool:
    """True for a formula that holds only these functions, also within its texts.

    >>> is_plain("=IF(B2>=3,SUM(C1:C4),0)"), is_plain("=SORT(A1:A9)"), is_plain('=IF(A1="XLOOKUP(",1,0)')
    (True, False, False)
    """
    return formula.startswith("=") and not formula.endswith("}") and PLAIN.issuperset(_CALLED.findall(formula))


class PlainWorksheet(Worksheet):  # type: ignore[misc]
    """Like its parent, and quick about plain formulas and cells; should the parent name a method anew, that is lost."""

    write_string = getattr(Worksheet, "_write_string", Worksheet.write_string)
    write_number = getattr(Worksheet, "_write_number", Worksheet.write_number)
    write_blank = getattr(Worksheet, "_write_blank", Worksheet.write_blank)

    def merge_in_row(self, row: int, first: int, last: int, form: Any) -> int:
        """Cells of one row as one, blank; cells that stand side by side overlap no others."""
        for column in range(first, last + 1):
            answer: int = self._write_blank(row, column, "", form)
            if answer:
                return answer
        self.merge.append([row, first, row, last])
        return 0

    def _write_cell(self, row: int, col: int, cell: Any) -> None:
        kind = type(cell).__name__
        if cell.format is None or kind not in _QUICK or self.constant_memory:
            super()._write_cell(row, col, cell)
            return
        begun = f'<c r="{column_letters(col + 1)}{row + 1}" s="{cell.format._get_xf_index()}"'
        if kind == "Blank":
            self.fh.write(f"{begun}/>")
        elif kind == "String":
            self.fh.write(f'{begun} t="s"><v>{cell.string}</v></c>')
        else:
            self.fh.write(f"{begun}><v>{cell.number:.16G}</v></c>")

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        if is_plain(formula):
            return formula[1:]
        told: str = super()._prepare_formula(formula, expand_future_functions)
        return told
