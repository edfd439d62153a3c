"""A worksheet whose formulas are taken as they are.

XlsxWriter looks through each formula for a hundred and fifty newer functions, to mark them, and compiles a pattern for
each: for a quote that takes longer than writing all its formulas. Ours hold a few old functions only.
"""

from __future__ import annotations

import re

from xlsxwriter.worksheet import Worksheet

PLAIN = frozenset({"ABS", "EXACT", "FALSE", "IF", "INT", "ISERROR", "MAX", "MIN", "OR", "SIGN", "SUM", "TRUE"})
"""Functions that every spreadsheet has had from the start; the quote's formulas hold no other."""

_CALLED = re.compile(r"([A-Z][A-Z0-9.]*)\(")


def is_plain(formula: str) -> bool:
    """True for a formula that holds only these functions, also within its texts.

    >>> is_plain("=IF(B2>=3,SUM(C1:C4),0)"), is_plain("=SORT(A1:A9)"), is_plain('=IF(A1="XLOOKUP(",1,0)')
    (True, False, False)
    """
    return formula.startswith("=") and not formula.endswith("}") and PLAIN.issuperset(_CALLED.findall(formula))


class PlainWorksheet(Worksheet):  # type: ignore[misc]
    """Like its parent, and quick about plain formulas; should the parent name its method anew, only that is lost."""

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        if is_plain(formula):
            return formula[1:]
        told: str = super()._prepare_formula(formula, expand_future_functions)
        return told
