"""Small workbooks of a few cells, and what a change makes of them."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping

from quotekit.problems import Problem
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.contents import Content, NewValue
from quotekit.workbook.in_place.edit_workbook import Edited, edit_workbook
from quotekit.workbook.in_place.results import WorkOut
from tests.workbook import raw_workbooks as raw

SHEET = raw.SHEET


def a_book(rows: str = "", *, before: str = "", after: str = "", more: Mapping[str, str] | None = None) -> bytes:
    """One sheet `S` of these rows, with XML before and after its cells, and other parts added or put in place."""
    return raw.packed(raw.parts(sheets={"S": raw.sheet(rows, before, after)}) | dict(more or {}))


def sheets(**rows: str) -> bytes:
    """A sheet of rows by each name."""
    return raw.packed(raw.parts(sheets={name: raw.sheet(of) for name, of in rows.items()}))


def related(kind: str, target: str) -> str:
    """The links of the first sheet: one of this kind."""
    link = f'<Relationship Id="r1" Type="{raw.RELATIONS}/{kind}" Target="{target}"/>'
    return f'<Relationships xmlns="{raw.PACKAGE}/relationships">{link}</Relationships>'


SHEET_LINKS = "xl/worksheets/_rels/sheet1.xml.rels"


def edit(
    data: bytes, cells: Mapping[str, NewValue | Content], work_out: WorkOut | None = None, file: str = "book.xlsx"
) -> tuple[Edited | None, list[Problem]]:
    """Cells changed; an address without a sheet is of the sheet `S`."""
    changes = []
    for where, value in cells.items():
        sheet, _, cell = where.rpartition("!")
        changes.append(Change(sheet or "S", cell, value))
    return edit_workbook(file, data, changes, work_out)


def edited(data: bytes, cells: Mapping[str, NewValue | Content], work_out: WorkOut | None = None) -> Edited:
    """The same, where nothing stands in the way."""
    found, problems = edit(data, cells, work_out)
    assert found is not None, problems
    return found


def rows_of(data: bytes, part: str = SHEET) -> str:
    """What stands between the tags of a sheet's table of cells."""
    text = part_of(data, part)
    match = re.search(r"<(\w+:)?sheetData>(.*)</(\w+:)?sheetData>", text, re.DOTALL)
    return match[2] if match else ""


def part_of(data: bytes, part: str = SHEET) -> str:
    """A part as text."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return package.read(part).decode()


def codes(problems: list[Problem]) -> list[tuple[str, str]]:
    """Code and cell of each problem; each must say something, with something to do."""
    return raw.codes(problems)
