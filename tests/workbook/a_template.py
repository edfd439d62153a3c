"""A template as an owner might have restyled it: own fonts and widths, a logo, merged cells, formulas, own sheets.

Made with another library than the one that draws the shop's first templates, and filled with a few lines of a bill.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from io import BytesIO
from typing import Any

import openpyxl
from openpyxl.drawing.image import Image
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.pagebreak import Break

from quotekit.documents.filling import CellValue, SheetFilling
from quotekit.problems import Problem
from quotekit.workbook.fill_template import fill_template, template_of

LINES: list[Mapping[str, CellValue]] = [
    {"text": "New belt", "side": "", "amount": Decimal("28.50")},
    {"text": "Bushing, left", "side": "left", "amount": Decimal("14.20")},
    {"text": "Bushing, right", "side": "right", "amount": Decimal("14.20")},
]


def a_filling(**changes: Any) -> SheetFilling:
    """What goes into the template, but for what is changed."""
    values = {"job_number": "2611-01", "shop_name": "Alder Creek", "note": "Mind the nuts", "total": Decimal("56.90")}
    given = {"role": "bill", "values": values, "tables": {"lines": LINES, "left": []}, **changes}
    return SheetFilling(**given)


def a_logo(colour: str = "#336699") -> bytes:
    """A small picture."""
    from PIL import Image as Picture

    held = BytesIO()
    Picture.new("RGB", (60, 24), colour).save(held, "PNG")
    return held.getvalue()


def restyled() -> Any:
    """The template as an open workbook, to be changed further."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "My bill"
    sheet["A1"], sheet["A1"].font = "qk_shop_name", Font(name="Georgia", size=22, bold=True, color="884400")
    sheet["A2"] = "Job"
    sheet["B2"].font = Font(name="Courier New")
    sheet.merge_cells("B2:D2")
    sheet["A4"], sheet["D4"], sheet["E4"] = "What", "Amount", "Doubled"
    sheet["A5"], sheet["C5"], sheet["D5"] = "qk_text", "qk_side", "qk_amount"
    sheet["A5"].fill, sheet["D5"].number_format = PatternFill("solid", "FFEECC"), "#,##0.00 [$kr]"
    sheet["A5"].alignment = Alignment(wrap_text=True, vertical="top")
    sheet["E5"] = "=D5*2"
    sheet.merge_cells("A5:B5")
    sheet.row_dimensions[5].height = 21
    sheet["A6"], sheet["D6"] = "Together", "=SUM(D5:D5)"
    sheet["D6"].border = Border(top=Side(style="double"))
    sheet["A7"] = "Left undone"
    sheet["A8"] = "qk_text"
    sheet["A9"], sheet["D9"] = "Total", "qk_total"
    sheet["A10"] = "qk_note"
    sheet.row_dimensions[10].height = 40
    sheet["A12"], sheet["A12"].hyperlink = "Our terms", "https://alder.example/terms"
    for name, area in _names().items():
        book.defined_names[name] = DefinedName(name, attr_text=f"'My bill'!{area}")
    _dress(book, sheet)
    return book


def _names() -> dict[str, str]:
    return {
        "qk_sheet_bill": "$A$1",
        "qk_job_number": "$B$2",
        "qk_rows_lines": "$A$5:$E$5",
        "qk_rows_left": "$A$8:$E$8",
        "qk_block_left": "$A$7:$E$8",
        "my_total": "$D$9",
    }


def _dress(book: Any, sheet: Any) -> None:
    sheet.column_dimensions["A"].width, sheet.column_dimensions["D"].width = 33, 17.5
    picture = Image(BytesIO(a_logo()))
    sheet.add_image(picture, "E1")
    sheet.add_image(Image(BytesIO(a_logo("#993300"))), "A13")
    sheet.conditional_formatting.add("D5:D5", CellIsRule(operator="greaterThan", formula=["$D$9"], font=Font(b=True)))
    sheet.conditional_formatting.add("D9", CellIsRule(operator="lessThan", formula=["0"], font=Font(i=True)))
    check = DataValidation(type="list", formula1='"left,right"', allow_blank=True)
    check.add("C5")
    sheet.add_data_validation(check)
    sheet.print_area = "A1:E13"
    sheet.print_title_rows = "4:4"
    sheet.freeze_panes = "A5"
    sheet.row_breaks.append(Break(id=9))
    sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", 9
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = openpyxl.worksheet.properties.PageSetupProperties(fitToPage=True)
    sheet.page_margins.left = 0.33
    sheet.oddFooter.left.text = "Job qk_job_number & more"
    terms = book.create_sheet("Terms")
    terms["A1"], terms["A2"] = "The total is", "='My bill'!D9"


def as_bytes(book: Any) -> bytes:
    """A workbook as a file's bytes."""
    held = BytesIO()
    book.save(held)
    return held.getvalue()


def fill(book: Any, *fillings: SheetFilling) -> tuple[bytes | None, list[Problem]]:
    """Fill an open template, with the usual filling where none is given."""
    return fill_template(template_of("bill.xlsx", as_bytes(book)), fillings or [a_filling()])


def filled(book: Any, *fillings: SheetFilling) -> Any:
    """The filled template, opened again."""
    data, problems = fill(book, *fillings)
    assert problems == [] and data is not None
    return openpyxl.load_workbook(BytesIO(data))


def column(sheet: Any, letter: str) -> Sequence[Any]:
    """The values of a column."""
    return [cell.value for cell in sheet[letter]]
