"""Workbooks made part by part, so that a test can hold what no spreadsheet and no library would write."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

from quotekit.problems import Problem
from quotekit.workbook.grid import Cell, Grid, Value, read_grid

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"
STRICT_RELATIONS = "http://purl.oclc.org/ooxml/officeDocument/relationships"

SHEET = "xl/worksheets/sheet1.xml"
BOOK = "xl/workbook.xml"
STRINGS = "xl/sharedStrings.xml"
STYLES = "xl/styles.xml"
BOOK_RELATIONS = "xl/_rels/workbook.xml.rels"

FORMATS = (
    "General", "0%", "0.00%", "0.0%", '0" %"', "yyyy-mm-dd", "hh:mm", "[h]:mm", "yyyy-mm-dd hh:mm", "[Red]0.00", "0\\%",
)  # fmt: skip
"""Number formats of the cell styles, in order; the second and third are built in."""

_BUILT_IN = {"General": 0, "0%": 9, "0.00%": 10}
_ESCAPED = str.maketrans({'"': "&quot;", "&": "&amp;", "<": "&lt;"})

Part = str | bytes


def style(form: str) -> str:
    """The attribute that gives a cell this number format."""
    return f's="{FORMATS.index(form)}"'


def one_cell(inside: str, attributes: str = "") -> str:
    """A row whose cell A1 holds this XML."""
    return f'<row r="1"><c r="A1" {attributes}>{inside}</c></row>'


def number(address: str, value: object = 1) -> str:
    """A cell that holds a number."""
    return f'<c r="{address}"><v>{value}</v></c>'


def sheet(rows: str, before: str = "", after: str = "") -> str:
    """The XML of a sheet with these rows."""
    return f'<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def strings(*texts: str) -> str:
    """The shared strings: each is the XML inside one `si`."""
    return f'<sst xmlns="{MAIN}">{"".join(f"<si>{text}</si>" for text in texts)}</sst>'


def parts(rows: str = "", *, date_1904: bool = False, sheets: Mapping[str, str] | None = None) -> dict[str, Part]:
    """All parts of a workbook: one sheet `S` with these rows, or several sheets by name."""
    named = sheets if sheets is not None else {"S": sheet(rows)}
    listed = "".join(f'<sheet name="{name}" sheetId="{i}" r:id="s{i}"/>' for i, name in enumerate(named, start=1))
    links = "".join(
        f'<Relationship Id="s{i}" Type="{RELATIONS}/worksheet" Target="worksheets/sheet{i}.xml"/>'
        for i in range(1, len(named) + 1)
    )
    found: dict[str, Part] = {
        "[Content_Types].xml": _content_types(),
        "_rels/.rels": _relations(f'<Relationship Id="r" Type="{RELATIONS}/officeDocument" Target="{BOOK}"/>'),
        BOOK: f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><workbookPr date1904="{int(date_1904)}"/>'
        f"<sheets>{listed}</sheets></workbook>",
        BOOK_RELATIONS: _relations(
            f'{links}<Relationship Id="t" Type="{RELATIONS}/sharedStrings" Target="sharedStrings.xml"/>'
            f'<Relationship Id="f" Type="{RELATIONS}/styles" Target="styles.xml"/>'
        ),
        STYLES: _styles(),
        STRINGS: strings("<t>first</t>", "<t>second</t>"),
    }
    return found | {f"xl/worksheets/sheet{i}.xml": text for i, text in enumerate(named.values(), start=1)}


def packed(of: Mapping[str, Part], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    """The parts as a package."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", compression) as package:
        for name, part in of.items():
            package.writestr(name, part)
    return held.getvalue()


def write(folder: Path, of: Mapping[str, Part] | str) -> Path:
    """A workbook file of these parts, or of a sheet `S` with these rows."""
    path = folder / "book.xlsx"
    path.write_bytes(packed(parts(of) if isinstance(of, str) else of))
    return path


def read(folder: Path, of: Mapping[str, Part] | str) -> tuple[Grid | None, list[Problem]]:
    """The grid of such a workbook, and its problems."""
    return read_grid(write(folder, of))


def cells(grid: Grid | None, name: str = "S") -> dict[str, Cell]:
    """The cells of a sheet by address; each must stand where it says."""
    assert grid is not None
    found = {cell.address: cell for row in grid.sheets[name].rows.values() for cell in row.values()}
    for row, of_row in grid.sheets[name].rows.items():
        assert all((cell.row, cell.column) == (row, column) for column, cell in of_row.items())
    return found


def values(grid: Grid | None, name: str = "S") -> dict[str, Value]:
    """The values of a sheet by address."""
    return {address: cell.value for address, cell in cells(grid, name).items()}


def codes(problems: list[Problem]) -> list[tuple[str, str]]:
    """Code and cell of each problem; each must say something, with something to do."""
    for problem in problems:
        assert problem.message and problem.remedy and problem.place.file, problem
    return [(problem.code, problem.place.cell) for problem in problems]


def _content_types() -> str:
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    return (
        f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/{BOOK}" ContentType="{kind}"/></Types>'
    )


def _relations(inside: str) -> str:
    return f'<Relationships xmlns="{PACKAGE}/relationships">{inside}</Relationships>'


def _styles() -> str:
    numbers = [_BUILT_IN.get(form, 170 + i) for i, form in enumerate(FORMATS)]
    declared = "".join(
        f'<numFmt numFmtId="{number}" formatCode="{form.translate(_ESCAPED)}"/>'
        for number, form in zip(numbers, FORMATS, strict=True)
        if form not in _BUILT_IN
    )
    used = "".join(f'<xf numFmtId="{number}"/>' for number in numbers)
    above = '<cellStyleXfs><xf numFmtId="9"/></cellStyleXfs>'
    return f'<styleSheet xmlns="{MAIN}"><numFmts>{declared}</numFmts>{above}<cellXfs>{used}</cellXfs></styleSheet>'
