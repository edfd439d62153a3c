"""Formulas taken as they are: the same file as XlsxWriter's own way, and newer functions are still marked."""

from __future__ import annotations

from io import BytesIO
from zipfile import ZipFile

import pytest
import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from quotekit.workbook.plain_formulas import PLAIN, PlainWorksheet, is_plain

FORMULAS = [
    "=1+2",
    "=IF(A1>=3,SUM(B1:B4),0)",
    "=IF(EXACT(A1,\"SORT(\"),MAX(0,-B1),ABS(MIN(B1,2)))",
    "=INT(A1/100)*SIGN(B1)",
    "=IF(OR(ISERROR(A1),TRUE()),FALSE(),1)",
    "=SORT(A1:A9)",
    "=IFNA(A1,2)",
    "=_xlfn.IFNA(A1,2)",
    "=SUM(1,XLOOKUP(A1,B1:B9,C1:C9))",
    "=ERF.PRECISE(A1)",
    "{=SUM(A1:A9)}",
    "=SUM({1,2})",
    "A1+1",
]  # fmt: skip


def written(kind: type[Worksheet], formula: str) -> dict[str, bytes]:
    """The parts of a workbook with the formula in a cell and as the list of a drop-down."""
    held = BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    sheet = book.add_worksheet("One", kind)
    sheet.write_formula(0, 0, formula, None, 1)
    sheet.data_validation(1, 0, 1, 0, {"validate": "list", "source": formula})
    book.close()
    with ZipFile(held) as package:
        return {name: package.read(name) for name in package.namelist() if not name.startswith("docProps")}


@pytest.mark.parametrize("formula", FORMULAS)
def test_the_file_is_the_one_that_the_library_writes_by_itself(formula: str) -> None:
    assert written(PlainWorksheet, formula) == written(Worksheet, formula)


def test_what_is_taken_as_it_is() -> None:
    assert [is_plain(formula) for formula in FORMULAS] == [
        True, True, False, True, True, False, False, False, False, False, False, True, False,
    ]  # fmt: skip


@pytest.mark.parametrize("name", sorted(PLAIN))
def test_no_plain_function_is_one_that_the_library_marks(name: str) -> None:
    """A newer function on the list would be written without its mark, and a spreadsheet would show `#NAME?`."""
    parts = written(Worksheet, f"={name}(A1)")
    assert f"<f>{name}(A1)</f>".encode() in parts["xl/worksheets/sheet1.xml"]
    assert b"_xlfn" not in parts["xl/worksheets/sheet1.xml"]


def test_plain_formulas_are_not_looked_through(monkeypatch: pytest.MonkeyPatch) -> None:
    """The parent's method is never reached for one, so that no pattern is compiled."""

    def reached(*_: object) -> str:
        raise AssertionError("looked through")

    monkeypatch.setattr(Worksheet, "_prepare_formula", reached)
    assert written(PlainWorksheet, "=IF(A1>1,SUM(B1:B3),0)")
    with pytest.raises(AssertionError, match="looked through"):
        written(PlainWorksheet, "=IFNA(A1,2)")


CONTENTS = ["", "a & b", "=1+1", "x" * 300, "1.5", 0, 7, -2.5, 0.1, 12345678.901234, 1e21]


@pytest.mark.parametrize("content", CONTENTS)
def test_cells_are_written_as_the_library_writes_them(content: str | float) -> None:
    """With a format and without, far to the right too, alone and over several columns of a row."""

    def file(kind: type[Worksheet]) -> dict[str, bytes]:
        held = BytesIO()
        book = xlsxwriter.Workbook(held, {"in_memory": True})
        sheet, bold = book.add_worksheet("One", kind), book.add_format({"bold": True})
        for row, (column, form) in enumerate([(0, bold), (0, None), (700, bold), (25, bold)]):
            write = sheet.write_string if isinstance(content, str) and content else sheet.write_number
            assert (
                sheet.write_blank(row, column, None, form) if content == "" else write(row, column, content, form)
            ) == 0
        if isinstance(sheet, PlainWorksheet):
            assert sheet.merge_in_row(5, 1, 3, bold) == 0
        else:
            assert sheet.merge_range(5, 1, 5, 3, "", bold) == 0
        book.close()
        with ZipFile(held) as package:
            return {name: package.read(name) for name in package.namelist() if not name.startswith("docProps")}

    assert file(PlainWorksheet) == file(Worksheet)


def test_a_cell_beyond_the_last_column_is_answered() -> None:
    book = xlsxwriter.Workbook(BytesIO(), {"in_memory": True})
    sheet = book.add_worksheet("One", PlainWorksheet)
    bold = book.add_format({"bold": True})
    assert sheet.merge_in_row(0, 16382, 16384, bold) == -1 and sheet.write_string(0, 16384, "x", bold) == -1
