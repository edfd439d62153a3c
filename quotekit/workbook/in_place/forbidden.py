"""What may not be changed: each refusal names its cell, and one of them stops all.

Refused are whole files (signed, shared in the old way) and single cells: formulas, cells that a formula of several
cells fills, cells under a merged one, pictures and linked data in cells, titles and totals of tables, pivot tables.
"""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.problems import Place, Problem, error
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.dependents import tables_at
from quotekit.workbook.in_place.owners_book import OwnersBook, parts_around
from quotekit.workbook.in_place.spans import Rectangle, SheetCells, rectangle_of
from quotekit.workbook.package import Package
from quotekit.workbook.xml_parts import Attributes, parse_small_part

_BY_HAND = "Change it by hand in the spreadsheet."


def file_refused(package: Package) -> list[Problem]:
    """What keeps a whole workbook from being changed."""
    place = Place(package.file)
    names = package.members.keys()
    found = []
    if any(name.startswith("_xmlsignatures/") or name.endswith(".sigs") for name in names):
        message = "the workbook is signed, and any change would break the signature"
        found.append(error(place, "workbook-signed", message, "Take the signature off in the spreadsheet first."))
    if any(name.startswith("xl/revisions/") or name == "xl/usernames.xml" for name in names):
        message = "the workbook is shared in the old way, with a record of its changes"
        found.append(error(place, "workbook-shared", message, "Stop sharing it in the spreadsheet, then save it."))
    return found


def cells_refused(book: OwnersBook, number: int, wanted: list[Position]) -> Iterator[Problem]:
    """What keeps single cells of a sheet from being changed."""
    cells = book.cells[number]
    merged = list(_areas(cells, "mergeCell"))
    filled = list(_filled(cells))
    pivots = list(_pivots(book, number))
    for at in wanted:
        place = Place(book.package.file, book.name_of(number), address(*at))
        cell = cells.cells.get(at)
        if any(area.holds(at) for area in filled):
            yield error(place, "cell-in-array", "a formula of several cells fills this cell", _BY_HAND)
        elif cell is not None and cell.formula is not None:
            message = "a formula stands here, and a formula is not replaced"
            yield error(place, "cell-is-formula", message, _BY_HAND, f"={cell.formula}"[:80])
        elif any(area.holds(at) and at != (area.top, area.left) for area in merged):
            message = "this cell is merged into another one, which alone shows"
            yield error(place, "cell-merged", message, "Change the first cell of the merged ones, or split them.")
        elif cell is not None and not {"cm", "vm"}.isdisjoint(cell.attributes):
            message = "the cell holds a picture or linked data, which a plain value would lose"
            yield error(place, "cell-holds-more", message, _BY_HAND)
        elif any(area.holds(at) for area in pivots):
            message = "a pivot table fills this cell"
            yield error(place, "cell-in-pivot", message, "Change what the pivot table is made from.")
        else:
            yield from _of_table(book, number, at, place)


def _of_table(book: OwnersBook, number: int, at: Position, place: Place) -> Iterator[Problem]:
    """A refusal for a title or total of a table, which the table keeps a record of."""
    for table in tables_at(book, number, at):
        if at[0] < table.area.top + table.titles or at[0] > table.area.bottom - table.totals:
            message = f"this is a title or a total of the table {table.name}, which keeps its own record of it"
            yield error(place, "cell-of-table", message, _BY_HAND)


def _areas(cells: SheetCells, element: str) -> Iterator[Rectangle]:
    for name, attributes, _ in cells.around:
        area = rectangle_of(attributes.get("ref", "")) if name == element else None
        if area is not None:
            yield area


def _filled(cells: SheetCells) -> Iterator[Rectangle]:
    """Areas that one formula fills: array formulas, results that spill, tables of what-if."""
    for cell in cells.cells.values():
        about = cell.formula_attributes
        area = rectangle_of(about.get("ref", "")) if about.get("t") in ("array", "dataTable") else None
        if area is not None:
            yield area


def _pivots(book: OwnersBook, number: int) -> Iterator[Rectangle]:
    """Areas of the sheet that pivot tables fill."""
    found: list[Rectangle | None] = []

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "location":
            found.append(rectangle_of(attributes.get("ref", "")))

    for kind, part in parts_around(book.package, book.worksheets[number][1]):
        if kind == "pivotTable":
            parse_small_part(book.package, part, start)
    yield from (area for area in found if area is not None)
