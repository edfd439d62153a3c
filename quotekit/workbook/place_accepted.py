"""Finds the cell of each accepted price in the shop book as it is now.

A row is known by its part and its supplier, not by its number, so that rows may have moved since the proposals were
made. A value goes in only where the cell says still what the proposals say it said; a cell that says the new value
already is left as it is. What a row of the book says otherwise is the owner's own affair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from quotekit.model.proposed_prices import FIELDS, CellValue, ProposedChange
from quotekit.problems import Problem, error, warning
from quotekit.record import record
from quotekit.workbook.find_row import FoundRow, RowFinder, table_of
from quotekit.workbook.names import code_key
from quotekit.workbook.read_shop_book import BookSheets
from quotekit.workbook.reading_order import cell_parts

_NAMED = 12


@record
class PlacedChange:
    """An accepted value with its cell."""

    change: ProposedChange
    column: str
    sheet: str
    """As its tab shows it."""
    cell: str
    moved: bool = False
    """True where the row stands elsewhere than when the proposals were made."""
    as_text: bool = False
    """True for a day in a cell that holds a day as text: the owner's way is kept."""

    @property
    def value(self) -> CellValue:
        """What goes into the cell."""
        new = self.change.new
        return new.isoformat() if self.as_text and isinstance(new, date) else new

    @property
    def key(self) -> tuple[str, str]:
        """The sheet in small letters, and the cell."""
        return self.sheet.casefold(), self.cell


@record
class PlacedPrices:
    """What is to be changed, and what says it already."""

    changes: tuple[PlacedChange, ...] = ()
    already: tuple[PlacedChange, ...] = ()

    def of_cell(self, sheet: str, cell: str) -> PlacedChange | None:
        """The accepted value of a cell."""
        return next((one for one in self.changes if one.key == (sheet.casefold(), cell)), None)

    def of_row(self, sheet: str, cell: str) -> PlacedChange | None:
        """Any accepted value of the row that a cell is in."""
        key = sheet.casefold(), cell_parts(cell)[1]
        return next((one for one in self.changes if (one.sheet.casefold(), cell_parts(one.cell)[1]) == key), None)


def place_accepted(sheets: BookSheets, accepted: Iterable[ProposedChange]) -> tuple[PlacedPrices, list[Problem]]:
    """The cells of accepted values, and what stands in their way; a value whose column is missing is told."""
    changes: list[PlacedChange] = []
    already: list[PlacedChange] = []
    problems: list[Problem] = []
    missing: dict[tuple[str, str], list[ProposedChange]] = {}
    finder = RowFinder(sheets)
    for wanted in _by_row(accepted):
        row, problem = _find(finder, wanted)
        if row is None:
            problems += [problem] if problem is not None else []
            continue
        for one in wanted:
            column = _column(one, row)
            has_to_hold = one.old == one.new
            if row.column(column) is None:
                missing.setdefault((row.table.name, column), []).extend([] if has_to_hold else [one])
            elif _says(row, one, one.new):
                already += [] if has_to_hold else [_placed(one, row, column)]
            elif _says(row, one, one.old):
                changes.append(_placed(one, row, column))
            else:
                problems.append(_changed_since(row, column, one))
    problems += [_no_column(sheets, *key, values) for key, values in missing.items() if values]
    return PlacedPrices(changes=tuple(changes), already=tuple(already)), problems


def _placed(one: ProposedChange, row: FoundRow, column: str) -> PlacedChange:
    place = row.place(column)
    moved = bool(one.cell) and place.cell != one.cell
    as_text = isinstance(row.value(column), date) and row.is_text(column)
    return PlacedChange(change=one, column=column, sheet=place.sheet, cell=place.cell, moved=moved, as_text=as_text)


def _by_row(accepted: Iterable[ProposedChange]) -> Iterable[list[ProposedChange]]:
    """The values of each row of the book, by what it is known by and where it was ticked."""
    rows: dict[tuple[str, ...], list[ProposedChange]] = {}
    for one in accepted:
        key = one.sheet.casefold(), code_key(one.part), code_key(one.supplier), str(one.place)
        rows.setdefault(key, []).append(one)
    return rows.values()


def _column(one: ProposedChange, row: FoundRow) -> str:
    return FIELDS[one.field].get(row.table.declared.name, one.field)


def _find(finder: RowFinder, wanted: Sequence[ProposedChange]) -> tuple[FoundRow | None, Problem | None]:
    """The row that values are for, or why it is not known."""
    first = wanted[0]
    found = finder.rows(first.sheet, first.part)
    if not found:
        message = f"the shop book has no part {first.part} on its sheet {first.sheet} now"
        return None, error(first.place, "row-gone", message, untick(first))
    theirs = [one for one in found if code_key(one.supplier) == code_key(first.supplier)]
    if not theirs:
        others = ", ".join(dict.fromkeys(one.supplier or "no supplier" for one in found))
        message = f"{first.part} on the sheet {first.sheet} is of {others} now, not of {first.supplier}"
        return None, error(first.place, "row-changed", message, untick(first))
    likely = [one for one in theirs if _all_say(one, wanted)] if len(theirs) > 1 else theirs
    at = [one for one in likely or theirs if one.number == cell_parts(first.cell)[1]]
    rows = at or likely or theirs
    if len(rows) > 1:
        numbers = ", ".join(str(one.number) for one in rows)
        message = f"rows {numbers} of the sheet {first.sheet} are all of {first.part} and {first.supplier}"
        return None, error(first.place, "row-not-told-apart", message, untick(first))
    return rows[0], None


def _all_say(row: FoundRow, wanted: Iterable[ProposedChange]) -> bool:
    return all(
        row.column(_column(one, row)) is None or _says(row, one, one.old) or _says(row, one, one.new) for one in wanted
    )


def _says(row: FoundRow, one: ProposedChange, value: CellValue) -> bool:
    column = _column(one, row)
    if one.field == "replaced by" and isinstance(value, str):
        now = row.value(column)
        return isinstance(now, str) and code_key(now) == code_key(value)
    return row.says(column, value)


def _changed_since(row: FoundRow, column: str, one: ProposedChange) -> Problem:
    was = "nothing" if one.old is None else told_value(one.old)
    now = row.shown(column)
    message = f"{column} of {one.part} says {now} now, not {was}: it was changed since the proposals were made"
    return error(row.place(column), "cell-changed-since", message, untick(one), now)


def _no_column(sheets: BookSheets, sheet: str, column: str, values: Sequence[ProposedChange]) -> Problem:
    """A word for values that have no cell: a column is the owner's to add."""
    named = ", ".join(f"{told_value(one.new)} for {one.part}" for one in values[:_NAMED])
    more = f" and {len(values) - _NAMED} more" if len(values) > _NAMED else ""
    table = table_of(sheets, sheet)
    place = values[0].place if table is None else table.place(table.header_row, "")
    message = f"the sheet {sheet} has no column {column}, so these values have no cell: {named}{more}"
    remedy = f"Add a column {column} to the sheet if you want to keep them, then apply the proposals again."
    return warning(place, "value-not-placed", message, remedy)


def untick(one: ProposedChange) -> str:
    """What to do about a value that can't go in."""
    where = f" at {one.place}" if one.place.cell else ""
    return f"Take away the tick of {one.part}{where}, or propose again from the shop book as it is now."


def told_value(value: CellValue) -> str:
    """A value in words."""
    if value is None:
        return "nothing"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def moved_rows(changes: Iterable[PlacedChange]) -> Iterator[PlacedChange]:
    """One change of each row that stands elsewhere now."""
    seen: set[tuple[str, int]] = set()
    for one in changes:
        key = one.sheet, cell_parts(one.cell)[1]
        if one.moved and key not in seen:
            seen.add(key)
            yield one
