"""Which stored results hang on a cell: formulas that read it, formulas that read those, over all sheets.

What a formula surely reads is an area (references.py); names, tables and formulas written once for many cells are
followed. A formula that may read anything hangs on every change. One that reads only a clock hangs on none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from quotekit.workbook.addresses import Position
from quotekit.workbook.in_place.owners_book import OwnersBook, Table
from quotekit.workbook.in_place.read_beyond import Size, reads_beyond, size_of
from quotekit.workbook.in_place.references import NameUsed, Reads, Reference, TableReference, moved, ordered, reads_of
from quotekit.workbook.in_place.spans import CellSpan, Rectangle, rectangle_of
from quotekit.workbook.package import BadPackage

Spot = tuple[int, int, int]
"""Number of the sheet, row, column."""

_NARROW = 64
"""Columns up to which an area is listed under each of its columns."""

_BLOCK, _MOST_BLOCKS, _EVERY = 256, 24, -1
"""Rows of a block, the blocks under which an area is listed at most, and what stands for every block or column."""

_SMALL = 24
"""Cells up to which an area is listed under each of its cells."""

_DEEPEST_NAME = 20
_MOST_FILLED = 3_000_000


@dataclass(kw_only=True, slots=True)
class Formula:
    """A formula, the cells it fills, and what it reads."""

    sheet: int
    at: Position
    fills: Rectangle
    areas: tuple[Reference, ...] = ()
    anything: bool = False
    clock: bool = False

    def spots(self) -> Iterator[Spot]:
        """Every cell it fills."""
        for row in range(self.fills.top, self.fills.bottom + 1):
            for column in range(self.fills.left, self.fills.right + 1):
                yield self.sheet, row, column


def formulas_of(book: OwnersBook) -> list[Formula]:
    """Every formula of the workbook, with what it reads. Raises BadPackage."""
    found: list[Formula] = []
    for number, cells in book.cells.items():
        shared: dict[str, tuple[Position, _Known]] = {}
        for at, cell in cells.cells.items():
            if cell.formula is not None:
                found.append(_formula(book, number, at, cell, shared))
    if sum(one.fills.size for one in found) > _MOST_FILLED:
        raise BadPackage("too-large", "formulas fill more cells than can be followed", "Save only what is used.")
    return found


def dependent_on(changed: Iterable[Spot], formulas: list[Formula]) -> list[Formula]:
    """The formulas whose result may be another one after these cells changed, each once."""
    waiting = [*changed]
    if not waiting:
        return []
    index = _Index(formulas)
    found: dict[int, Formula] = {}
    reached = [number for number, one in enumerate(formulas) if one.anything]
    while reached or waiting:
        for number in reached:
            if number not in found:
                found[number] = formulas[number]
                waiting += formulas[number].spots()
        reached = index.readers_of(waiting.pop(), found) if waiting else []
    return [found[number] for number in sorted(found)]


def with_a_clock(formulas: list[Formula]) -> set[Spot]:
    """Cells whose results change with the clock or by chance, by themselves or through others."""
    clocks = [one for one in formulas if one.clock]
    spots = {spot for one in clocks for spot in one.spots()}
    plain = [one for one in formulas if not one.anything]
    return spots | {spot for one in dependent_on(spots, plain) for spot in one.spots()}


@dataclass(kw_only=True, slots=True)
class _Known:
    """What a formula reads, names and tables followed."""

    areas: tuple[Reference, ...] = ()
    tables: tuple[TableReference, ...] = ()
    anything: bool = False
    clock: bool = False


def _formula(
    book: OwnersBook, sheet: int, at: Position, cell: CellSpan, shared: dict[str, tuple[Position, _Known]]
) -> Formula:
    about = cell.formula_attributes
    kind, key = about.get("t", ""), about.get("si", "")
    if kind == "dataTable":
        return Formula(sheet=sheet, at=at, fills=_filled(about.get("ref", ""), at), anything=True)
    if kind == "shared" and not cell.formula:
        origin, known = shared.get(key, (at, _Known(anything=True)))
    else:
        origin, known = at, _known(book, sheet, cell.formula or "")
        if kind == "shared":
            shared[key] = origin, known
    by = at[0] - origin[0], at[1] - origin[1]
    areas = [*known.areas]
    if by != (0, 0):
        areas = [one for each in known.areas if (one := moved(each, *by)) is not None]
    areas += [one for each in known.tables for one in _in_table(book, each, sheet, at)]
    fills = _filled(about.get("ref", ""), at) if kind == "array" else Rectangle(*at, *at)
    return Formula(sheet=sheet, at=at, fills=fills, areas=tuple(areas), anything=known.anything, clock=known.clock)


def _filled(area: str, at: Position) -> Rectangle:
    found = rectangle_of(area)
    return found if found is not None and found.holds(at) else Rectangle(*at, *at)


def _known(book: OwnersBook, sheet: int, text: str) -> _Known:
    found = reads_of(text, sheet, book.sheets)
    areas, tables = [*found.areas], [*found.tables]
    anything, clock = found.anything, found.clock
    for name in found.names:
        told = _named(book, sheet, name, 0)
        areas += told.areas
        tables += told.tables
        anything, clock = anything or told.anything, clock or told.clock
    unknown = any(one.table.casefold() not in book.tables for one in tables)
    unknown = unknown or _beyond(book, sheet, found, 0)
    return _Known(areas=tuple(areas), tables=tuple(tables), anything=anything or unknown, clock=clock)


def _named(book: OwnersBook, sheet: int, used: NameUsed, depth: int) -> Reads:
    """What a name reads; one that is not known, or moves with the cell that uses it, reads anything."""
    key = used.name.casefold()
    of = sheet if used.sheet is None else used.sheet
    text = book.names.get((of, key), book.names.get((None, key)))
    if text is None:
        if key in book.tables:
            return Reads(tables=[TableReference(used.name, "#All")])
        return Reads(anything=True)
    if depth > _DEEPEST_NAME:
        return Reads(anything=True)
    found = reads_of(text, of, book.sheets)
    if any(any(one.moves) for one in found.areas) or _beyond(book, of, found, depth):
        found.anything = True
    for inner in found.names:
        told = _named(book, of, inner, depth + 1)
        found.areas += told.areas
        found.tables += told.tables
        found.anything, found.clock = found.anything or told.anything, found.clock or told.clock
    return found


def _beyond(book: OwnersBook, sheet: int, found: Reads, depth: int) -> bool:
    """True where a call may read beyond the areas it names."""
    return any(
        reads_beyond(one.function, _sizes(book, sheet, one.sizing, depth), _sizes(book, sheet, one.reached, depth))
        for one in found.sized
    )


def _sizes(book: OwnersBook, sheet: int, argument: Reads, depth: int) -> list[Size]:
    """The sizes of all that an argument names."""
    areas, tables = [*argument.areas], [*argument.tables]
    for name in argument.names:
        told = _named(book, sheet, name, depth + 1)
        areas += told.areas
        tables += told.tables
    return [*map(size_of, areas), *map(_size_in_table, tables)]


def _size_in_table(used: TableReference) -> Size:
    columns, items = _columns_and_items(used.inside)
    return Size(0, len(columns), table="\n".join([used.table.casefold(), *sorted(items)]))


def _in_table(book: OwnersBook, used: TableReference, sheet: int, at: Position) -> Iterator[Reference]:
    """The cells of a table that are meant: columns by name, this row alone where that is said, else every row."""
    table = book.tables.get(used.table.casefold())
    if table is None:
        return
    named, items = _columns_and_items(used.inside)
    columns = [table.columns.index(word) for word in _words(used.inside) if word in table.columns]
    area = table.area
    left, right = area.left, area.right
    if named and len(columns) == len(named):
        left, right = area.left + min(columns), area.left + max(columns)
    top, bottom = area.top, area.bottom
    if items & {"#this row", "@"} and sheet == table.sheet and top <= at[0] <= bottom:
        top = bottom = at[0]
    yield Reference(table.sheet, table.sheet, Rectangle(top, left, bottom, right))


def _columns_and_items(inside: str) -> tuple[list[str], set[str]]:
    """The columns named in the brackets of a table, and the special items, in small letters; `@` is one of them.

    >>> _columns_and_items("[#This Row],[Net hours]"), _columns_and_items("@Cost")
    ((['Net hours'], {'#this row'}), (['Cost'], {'@'}))
    """
    words = _words(inside)
    items = {word.casefold() for word in words if word.startswith("#")} | ({"@"} if inside.startswith("@") else set())
    return [word for word in words if not word.startswith("#")], items


def _words(inside: str) -> list[str]:
    """Columns and special items in the brackets of a table, each without its brackets.

    >>> _words("[#This Row],[Net hours]"), _words("Net hours"), _words("[a]:[b']c]"), _words("@Cost")
    (['#This Row', 'Net hours'], ['Net hours'], ['a', 'b]c'], ['Cost'])
    """
    words: list[str] = []
    held, at, depth = "", 0, 0
    text = inside.removeprefix("@")
    if "[" not in text.replace("'[", ""):
        text = f"[{text}]" if text else ""
    while at < len(text):
        sign = text[at]
        if sign == "'" and at + 1 < len(text):
            at += 1
            held += text[at]
        elif sign == "[":
            depth, held = depth + 1, ""
        elif sign == "]":
            depth -= 1
            words.append(held)
            held = ""
        elif depth:
            held += sign
        at += 1
    return words


class _Index:
    """Finds the formulas that read a cell; each is given once, since it need not be found again.

    A small area is listed under each of its cells, a longer one under its columns by blocks of rows, one of a great
    many rows under its columns, a wide one under its sheet.
    """

    def __init__(self, formulas: list[Formula]) -> None:
        self.cells: dict[Spot, list[int]] = {}
        self.blocks: dict[Spot, list[tuple[Rectangle, int]]] = {}
        for number, formula in enumerate(formulas):
            for area in formula.areas:
                self._put(ordered(area), number)

    def _put(self, reference: Reference, number: int) -> None:
        area = reference.area
        rows, columns = range(area.top, area.bottom + 1), range(area.left, area.right + 1)
        blocks = range(area.top // _BLOCK, area.bottom // _BLOCK + 1)
        for sheet in range(reference.first_sheet, reference.last_sheet + 1):
            if area.size <= _SMALL:
                for row in rows:
                    for column in columns:
                        self.cells.setdefault((sheet, row, column), []).append(number)
                continue
            for block in blocks if len(blocks) <= _MOST_BLOCKS else (_EVERY,):
                for column in columns if len(columns) <= _NARROW else (_EVERY,):
                    self.blocks.setdefault((sheet, block, column), []).append((area, number))

    def readers_of(self, spot: Spot, known: dict[int, Formula]) -> list[int]:
        """Formulas not known yet that read a cell."""
        sheet, row, column = spot
        found = self.cells.pop(spot, [])
        for block in (row // _BLOCK, _EVERY):
            for of in (column, _EVERY):
                listed = self.blocks.get((sheet, block, of))
                if listed:
                    found += [number for area, number in listed if area.holds((row, column))]
                    kept = [one for one in listed if one[1] not in known and not one[0].holds((row, column))]
                    self.blocks[sheet, block, of] = kept
        return found


def tables_at(book: OwnersBook, sheet: int, at: Position) -> Iterator[Table]:
    """Tables that a cell lies in."""
    yield from (one for one in book.tables.values() if one.sheet == sheet and one.area.holds(at))
