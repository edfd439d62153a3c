"""An empty result of a formula is stored as a text without letters, as spreadsheet programs store it."""

from __future__ import annotations

import re
from io import BytesIO
from zipfile import ZipFile

import pytest
import xlsxwriter

from quotekit.workbook.formula_value import NO_TEXT, formula_value
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes
from tests.workbook.class_shop import class_shop
from tests.workbook.test_side_lists import CLASSES


@pytest.mark.parametrize(
    ("value", "stored"),
    [
        ("", '<c r="A1" t="str"><f>B1</f><v></v></c>'),
        ("left", '<c r="A1" t="str"><f>B1</f><v>left</v></c>'),
        (0, '<c r="A1"><f>B1</f><v>0</v></c>'),
    ],
)
def test_what_the_file_holds(value: str | int, stored: str) -> None:
    stream = BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        assert book.add_worksheet().write_formula(0, 0, "=B1", None, formula_value(value)) == 0
    assert stored in ZipFile(stream).read("xl/worksheets/sheet1.xml").decode()


def test_no_text_is_a_text() -> None:
    assert isinstance(NO_TEXT, str) and len(NO_TEXT) == 0 and f"{NO_TEXT}" == ""
    assert NO_TEXT != "" and NO_TEXT == NO_TEXT and hash(NO_TEXT) == hash("")


@pytest.mark.parametrize(
    "data",
    [job_bytes(class_shop()), shop_book_bytes({"Machines": CLASSES, "Parts used": ()})],
    ids=["job", "shop book"],
)
def test_every_formula_of_a_blank_workbook_has_its_value(data: bytes) -> None:
    """A value of no kind would be read as a number that is not there."""
    archive, seen = ZipFile(BytesIO(data)), 0
    for name in archive.namelist():
        if name.startswith("xl/worksheets/sheet"):
            cells = re.findall(r"<c [^>]*>(?=<f>)[^v]*?<f>.*?</c>", archive.read(name).decode())
            seen += len(cells)
            assert [cell for cell in cells if "<v></v>" in cell and 't="str"' not in cell] == []
    assert seen >= 40
