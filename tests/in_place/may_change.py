"""Which cells may not be changed, said a second time with ElementTree: the judge of what is refused."""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from xml.etree import ElementTree

from tests.in_place.compare import letters

Where = tuple[str, str]


def must_refuse(data: bytes, parts: Mapping[str, str], wanted: Iterable[Where]) -> set[Where]:
    """Those of the cells that may not be changed, by sheet and cell."""
    cells = [*wanted]
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        forbidden = {sheet: set(_forbidden(package, parts[sheet])) for sheet, _ in cells}
    return {(sheet, cell) for sheet, cell in cells if cell in forbidden[sheet]}


def _forbidden(package: zipfile.ZipFile, part: str) -> Iterator[str]:
    root = ElementTree.fromstring(package.read(part))
    row = 0
    for line in (one for one in root.iter() if _local(one) == "row"):
        row, column = int(line.get("r") or row + 1), 0
        for cell in (one for one in line if _local(one) == "c"):
            match = re.match("[A-Z]+", cell.get("r", ""))
            column = _number(match[0]) if match else column + 1
            name = f"{letters(column)}{row}"
            formulas = [one for one in cell if _local(one) == "f"]
            if formulas or cell.get("cm") or cell.get("vm"):
                yield name
            for one in formulas:
                if one.get("t") in ("array", "dataTable"):
                    yield from cells_in(one.get("ref", ""))
    for merged in (one for one in root.iter() if _local(one) == "mergeCell"):
        yield from [*cells_in(merged.get("ref", ""))][1:]
    yield from _of_parts(package, part)


def _of_parts(package: zipfile.ZipFile, part: str) -> Iterator[str]:
    """Titles and totals of tables, and what pivot tables fill."""
    folder, base = posixpath.split(part)
    links = f"{folder}/_rels/{base}.rels"
    if links not in package.namelist():
        return
    for link in ElementTree.fromstring(package.read(links)):
        target = posixpath.normpath(posixpath.join(folder, link.get("Target", "")))
        target = link.get("Target", "").lstrip("/") if link.get("Target", "").startswith("/") else target
        if link.get("Type", "").endswith("/table"):
            table = ElementTree.fromstring(package.read(target))
            lines = [*_lines(table.get("ref", ""))]
            titles, totals = int(table.get("headerRowCount", 1)), int(table.get("totalsRowCount", 0))
            for line in [*lines[:titles], *lines[len(lines) - totals :]]:
                yield from line
        elif link.get("Type", "").endswith("/pivotTable"):
            for one in ElementTree.fromstring(package.read(target)).iter():
                if _local(one) == "location":
                    yield from cells_in(one.get("ref", ""))


def cells_in(area: str) -> Iterator[str]:
    """Every cell of an area, row by row."""
    for line in _lines(area):
        yield from line


def _lines(area: str) -> Iterator[list[str]]:
    first, _, last = area.partition(":")
    last = last or first
    (left, top), (right, bottom) = (_ends(first), _ends(last))
    for row in range(top, bottom + 1):
        yield [f"{letters(column)}{row}" for column in range(left, right + 1)]


def _ends(cell: str) -> tuple[int, int]:
    match = re.fullmatch(r"\$?([A-Z]+)\$?(\d+)", cell)
    assert match is not None
    return _number(match[1]), int(match[2])


def _number(text: str) -> int:
    number = 0
    for letter in text:
        number = number * 26 + ord(letter) - 64
    return number


def _local(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]
