"""The owner's workbook as far as a change needs to know it: sheets in order, names, tables, what is around a sheet."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field

from quotekit.record import record
from quotekit.workbook.addresses import Position
from quotekit.workbook.in_place.contents import meant_text
from quotekit.workbook.in_place.sheet_cells import find_cells, holds_formulas
from quotekit.workbook.in_place.spans import Rectangle, SheetCells, rectangle_of
from quotekit.workbook.number_formats import ShownStyles, read_styles
from quotekit.workbook.package import Package
from quotekit.workbook.xml_parts import (
    Attributes,
    WorkbookParts,
    parse_small_part,
    read_workbook_part,
    relations_of,
    relations_part,
)


@record
class Table:
    """A table: where it lies, its columns in order, and how many rows of titles and totals it has."""

    name: str
    sheet: int
    area: Rectangle
    columns: tuple[str, ...]
    titles: int
    totals: int


@dataclass(kw_only=True)
class OwnersBook:
    """A workbook's parts, read as far as they are needed."""

    package: Package
    parts: WorkbookParts
    styles: ShownStyles
    sheets: dict[str, int]
    """Numbers of all sheets in the order of their tabs, charts too, by name in small letters."""
    worksheets: dict[int, tuple[str, str]]
    """Name and part of those that hold cells, by number."""
    names: dict[tuple[int | None, str], str]
    """What names stand for, by sheet (None for the whole workbook) and name in small letters."""
    tables: dict[str, Table]
    calculation: Attributes
    cells: dict[int, SheetCells] = field(default_factory=dict)
    """What was found in the sheets that are changed or hold formulas."""

    def number_of(self, sheet: str) -> int | None:
        """A worksheet's number by its name."""
        number = self.sheets.get(sheet.casefold())
        return number if number in self.worksheets else None

    def name_of(self, number: int) -> str:
        """A worksheet's name as its tab shows it."""
        return self.worksheets[number][0]

    def part_of(self, number: int) -> str:
        """The part of a worksheet, as the package spells its name."""
        return self.package.members[self.worksheets[number][1].lower()].filename


def read_owners_book(package: Package) -> OwnersBook:
    """The workbook around the cells. Raises BadPackage."""
    parts = read_workbook_part(package)
    by_name = {one.name: one.part for one in parts.sheets}
    titles: list[str] = []
    names: dict[tuple[int | None, str], str] = {}
    calculation: Attributes = {}
    key: tuple[int | None, str] | None = None
    held: list[str] = []

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal key
        if tag == "sheet":
            titles.append(attributes.get("name", ""))
        elif tag == "definedName":
            of = attributes.get("localSheetId", "")
            key = (int(of) if of.isdecimal() else None), attributes.get("name", "").casefold()
            held.clear()
        elif tag == "calcPr":
            calculation.update(attributes)

    def end(tag: str) -> None:
        nonlocal key
        if tag == "definedName" and key is not None:
            names[key] = "".join(held)
            key = None

    parse_small_part(package, parts.part, start, end, lambda text: held.append(text) if key else None)
    worksheets = {number: (name, by_name[name]) for number, name in enumerate(titles) if name in by_name}
    tables = {one.name.casefold(): one for number in worksheets for one in _tables(package, number, worksheets)}
    return OwnersBook(
        package=package,
        parts=parts,
        styles=read_styles(package, parts.styles),
        sheets={name.casefold(): number for number, name in enumerate(titles)},
        worksheets=worksheets,
        names=names,
        tables=tables,
        calculation=calculation,
    )


def look_at_cells(book: OwnersBook, wanted: Mapping[int, Collection[Position]]) -> None:
    """Find the wanted cells of some sheets and the calculated cells of all. Raises BadPackage."""
    for number, (_, part) in book.worksheets.items():
        data = book.package.read(part)
        if number in wanted or holds_formulas(data):
            book.cells[number] = find_cells(part, data, wanted.get(number, ()))


def parts_around(package: Package, part: str) -> Iterator[tuple[str, str]]:
    """Kind and name of the parts that a part leads to. Raises BadPackage."""
    if package.holds(relations_part(part)):
        yield from (one for one in relations_of(package, part).values() if package.holds(one[1]))


def _tables(package: Package, number: int, worksheets: Mapping[int, tuple[str, str]]) -> Iterator[Table]:
    for kind, part in parts_around(package, worksheets[number][1]):
        if kind == "table":
            table = _table(package, part, number)
            if table is not None:
                yield table


def _table(package: Package, part: str, number: int) -> Table | None:
    columns: list[str] = []
    about: Attributes = {}

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "table":
            about.update(attributes)
        elif tag == "tableColumn":
            columns.append(meant_text(attributes.get("name", "")))

    parse_small_part(package, part, start)
    area = rectangle_of(about.get("ref", ""))
    name = about.get("displayName") or about.get("name", "")
    if area is None:
        return None
    return Table(
        name=name,
        sheet=number,
        area=area,
        columns=tuple(columns),
        titles=_count(about.get("headerRowCount"), 1),
        totals=_count(about.get("totalsRowCount"), 0),
    )


def _count(text: str | None, usual: int) -> int:
    return int(text) if text is not None and text.isdecimal() and len(text) < 7 else usual
