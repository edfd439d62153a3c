"""Blank workbooks and filled ones, as files in memory: shop books and jobs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from quotekit.model.shop_book import ShopBook
from quotekit.workbook.columns import JOB, JOB_FINDINGS
from quotekit.workbook.dropdowns import ranges_within
from quotekit.workbook.input_sheet import Guide, InputSheet, job_sheets, shop_book_sheets
from quotekit.workbook.job_lists import (
    OTHER,
    OTHER_MEASURE,
    WHAT_TO_MEASURE,
    class_lists,
    code_lists,
    what_to_measure,
)
from quotekit.workbook.lists_sheet import FIRST_ROW, lay_out_lists
from quotekit.workbook.read_example import Rows
from quotekit.workbook.side_lists import classes_in, side_lists, side_names, with_sides
from quotekit.workbook.write_input_book import input_book_bytes

MACHINE_CLASS = "Machine class"
MEASURE_GUIDE = Guide(
    header=WHAT_TO_MEASURE,
    help="Filled in from the shop book once the finding is picked: what, in which unit, and what passes. Not read.",
    before="Measured",
    of="Finding",
    texts={},
)

SHOP_BOOK_LINES = (
    "1. This workbook holds the shop's times, prices and rules. Each sheet says in its first line what it is for.",
    "2. Bold headers must be filled in every row; the others may stay blank. Pick a cell to read what goes there.",
    "3. Shop, Labour rates, Operations, Parts, Markup, Findings and Remedies are enough for a true quote.",
    "4. Lines that are there already are invented. Change them, add your own below, delete what you do not need.",
    "5. A code is a short name of your own. Where other rows use it, spell it the same; capitals do not matter.",
    "6. Several codes in a cell are separated by semicolons: COVER; DRAIN. Quantities read SEAL x 2; GASKET.",
    "7. A blank is never zero: type 0 for zero. Costs are before tax, for a whole pack. Percents have the sign: 45%.",
    "8. Your own columns and sheets are left alone. Save this workbook as .xlsx.",
    '9. A job for each machine that comes in: menu Quote in LibreOffice, or quotekit new jobs --book "shop book.xlsx".',
    "10. Check it after each change: quotekit check, or in LibreOffice the menu Quote (quotekit addin install).",
)
JOB_LINES = (
    "1. This workbook holds one machine brought in once. Fill in Job first: the bold fields must be there.",
    "2. Type the machine class before the findings: findings, sides and extras then offer what that class has.",
    "3. On Findings, one line for each thing found: pick it from the list, and give the side where there are sides.",
    "4. What to measure fills itself in beside it. Type the number; Unit only where it is another than is named there.",
    "5. Measure also what is still good: a shaft within its limit is what lets a new bushing be fitted.",
    "6. OTHER is for what the shop book does not list: Note and Severity say what. A photo lies beside this file.",
    "7. Extras, Parts, One-off and Plan may stay empty. Each says in its first line what it is for.",
    "8. A blank is never zero: type 0 where you mean zero. Save this workbook as .xlsx.",
    "9. The drop-downs take from the sheet Lists, a copy of the shop book when this was written.",
    "10. quotekit quote prices it; so does the menu Quote in LibreOffice, and explains it (quotekit addin install).",
)


def shop_book_bytes(
    rows: Mapping[str, Rows], *, title: str = "Shop book", all_sheets: bool = False, only_used: bool = False
) -> bytes:
    """A shop book with these rows: the sheets that have some, or all."""
    sheets = shop_book_sheets(rows, all_sheets=all_sheets, only_used=only_used)
    live = side_lists(sheets)
    names = side_names(classes_in(live)) if live else {}
    offering = [with_sides(sheet, live=bool(live)) for sheet in sheets]
    return input_book_bytes(title, SHOP_BOOK_LINES, offering, live=live, ranges=ranges_within(sheets) | names)


def job_bytes(
    book: ShopBook | None, rows: Mapping[str, Rows] | None = None, *, title: str = "Job", only_used: bool = False
) -> bytes:
    """A job workbook, blank or with rows; its drop-downs take from the shop book where there is one."""
    sheets = job_sheets(rows or {}, only_used=only_used)
    if book is None:
        return input_book_bytes(title, JOB_LINES, sheets)
    lists = lay_out_lists(code_lists(book), class_lists(book), _typed_class(sheets))
    guided = sheets if only_used else [_with_measures(sheet, book) for sheet in sheets]
    return input_book_bytes(title, JOB_LINES, guided, lists=lists)


def _typed_class(sheets: Sequence[InputSheet]) -> str:
    """The address of the cell where the machine class is typed; empty where the job has no such row."""
    names = next(([field.name for field in sheet.fields] for sheet in sheets if sheet.declared is JOB), [])
    return f"{JOB.name}!$B${FIRST_ROW + 1 + names.index(MACHINE_CLASS)}" if MACHINE_CLASS in names else ""


def _with_measures(sheet: InputSheet, book: ShopBook) -> InputSheet:
    """The sheet of findings with what to measure beside each."""
    if sheet.declared is not JOB_FINDINGS:
        return sheet
    texts = {each.code.upper(): what_to_measure(each) for each in book.findings.values()}
    return replace(sheet, guides=(replace(MEASURE_GUIDE, texts=texts | {OTHER: OTHER_MEASURE}),))
