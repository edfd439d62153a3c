"""Characters XML cannot hold never break a file, wherever a text of the shop may stand."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from quotekit.documents.sheet import Cell, Page, Row, WorkbookValue, picture, row, text
from quotekit.workbook.photos import shrink
from quotekit.workbook.printable import printable
from quotekit.workbook.write_sheet import workbook_bytes
from tests.workbook.pictures import a_photo
from tests.workbook.test_live_cells import live, one
from tests.workbook.test_write_chart import drawn

ODD = 'a\x00\x07\x0b\x1f\x7fb\r_x0041_ & <c> "d"'

CASES: dict[str, WorkbookValue] = {
    "a text": one(row(text(ODD))),
    "a prompt": one(row(Cell(prompt=ODD))),
    "a list": one(row(Cell(choices=f"{ODD},None"))),
    "header and footer": one(row(text("x")), page=Page(header=f"&L{ODD}", footer=f"&L{ODD}")),
    "the shop's name": replace(live(), properties=replace(live().properties, author=ODD)),
    "a picture's words": one(Row(cells=(picture(replace(shrink(a_photo(64, 48)), alt=ODD)),), height=50.0)),
    "a chart's words": drawn(alt=ODD, title=ODD, across_title=ODD),
}


@pytest.mark.parametrize("value", CASES.values(), ids=CASES)
def test_every_part_is_well_formed(value: WorkbookValue) -> None:
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(value))) as package:
        for name in package.namelist():
            if name.endswith((".xml", ".rels")):
                ElementTree.fromstring(package.read(name))


def test_lines_and_other_scripts_stay() -> None:
    assert printable("two\nlines\tמשחזר \U0001f527 \u00a0") == "two\nlines\tמשחזר \U0001f527 \u00a0"
