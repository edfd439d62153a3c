"""Shared formulas, written out as LibreOffice and the shared formula's rules have them."""

from __future__ import annotations

import pytest

from quotekit.workbook import shared_formulas
from quotekit.workbook.package import BadPackage
from quotekit.workbook.shared_formulas import SharedFormulas, shifted


@pytest.mark.parametrize(
    ("formula", "rows", "columns", "expected"),
    [
        ("A1*B$1+$C1-$D$1", 3, 2, "C4*D$1+$C4-$D$1"),
        ("SUM(A1:B2)", 1, 0, "SUM(A2:B3)"),
        ("SUM(A:B)+SUM(2:3)+SUM($A:B)+SUM($2:3)", 1, 1, "SUM(B:C)+SUM(3:4)+SUM($A:C)+SUM($2:4)"),
        ("Working!A1+'My A1'!B2", 1, 1, "Working!B2+'My A1'!C3"),
        ('"A1"&A1&"say ""B2"""', 1, 0, '"A1"&A2&"say ""B2"""'),
        ("LOG10(A1)+ATAN2(1,2)+tax_A1+A1_tax+A1.B", 1, 0, "LOG10(A2)+ATAN2(1,2)+tax_A1+A1_tax+A1.B"),
        ("total_to_pay/100", 5, 5, "total_to_pay/100"),
        ("A2", -1, 0, "A1"), ("A1", -1, 0, "#REF!"), ("XFD1", 0, 1, "#REF!"), ("A1048576", 1, 0, "#REF!"),
        ("a1", 1, 1, "B2"), ("1.5+2:3", 1, 0, "1.5+3:4"), ("XFE1+AAAA1", 1, 0, "#REF!+AAAA1"),
    ],
)  # fmt: skip
def test_a_formula_some_cells_away(formula: str, rows: int, columns: int, expected: str) -> None:
    assert shifted(formula, rows, columns) == expected


def test_the_first_cell_holds_the_text() -> None:
    shared = SharedFormulas()
    assert shared.written_out("0", "A1+1", (1, 2)) == "A1+1"
    assert shared.written_out("0", "", (4, 3)) == "B4+1"
    assert shared.written_out("7", "", (4, 3)) == ""


def test_a_long_formula_for_a_whole_sheet_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shared_formulas, "MOST_WRITTEN_OUT", 10_000)
    shared = SharedFormulas()
    shared.written_out("0", "A1" + "+1" * 2_000, (1, 1))
    with pytest.raises(BadPackage, match="too many formulas"):
        for row in range(2, 10):
            shared.written_out("0", "", (row, 1))
