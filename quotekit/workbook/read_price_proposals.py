"""Reads the workbook of price proposals that the owner ticked: every value exactly as it was proposed.

The workbook is sealed: one that differs in what it proposes, in a cell, an address or an old value, is refused, and the
cell is named. Only the cells to tick may be typed in. Values come from the sheet Cells, ticks from the sheet Proposals.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

from quotekit.documents import price_proposals_about as about
from quotekit.documents import price_proposals_cells as cells
from quotekit.documents import price_proposals_ticks as ticks
from quotekit.documents.content_changes import Changes, changes_of
from quotekit.documents.fingerprint import MARKS, sealed_content
from quotekit.documents.tick_words import ticked
from quotekit.model.proposed_prices import (
    FIELDS,
    CellValue,
    ChangedField,
    PriceProposals,
    PriceSource,
    ProposedChange,
)
from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.workbook.addresses import address
from quotekit.workbook.returned_cells import RawCell, RawWorkbook, read_raw

MOST_LISTED = 20
"""Cells that get a problem of their own; the others are counted."""

_READ_BACK = (ticks.NAME, cells.NAME, about.NAME)
_NAMES = (about.FACTS, about.SOURCES, MARKS)
_TEXTS: tuple[ChangedField, ...] = ("supplier's number", "replaced by")
_AGAIN = "Take a fresh copy: run quotekit prices propose again, and type only under Take and Take anyway."
_BLANK = RawCell("s", "")


def read_price_proposals(path: Path) -> tuple[PriceProposals | None, list[Problem]]:
    """The proposals with their ticks, or why they are refused; warnings name rows that lack their second tick."""
    raw, problems = read_raw(path)
    if raw is None:
        return None, problems
    if not _is_ours(raw):
        message = "this is no workbook of price proposals"
        remedy = "Give the workbook that `quotekit prices propose` wrote."
        return None, [error(Place(raw.file), "not-price-proposals", message, remedy)]
    altered = list(_altered(raw))
    if altered:
        return None, altered
    try:
        found, problems = _proposals(raw)
    except (KeyError, TypeError, ValueError, StopIteration):  # sealed anew by hand, with what no proposal says
        return None, [_changed(Place(raw.file, cells.NAME), "a value here is none that is proposed")]
    return (None if has_errors(problems) else found), problems


def _is_ours(raw: RawWorkbook) -> bool:
    """True where the names and sheets are there, and the workbook says what it is."""
    if not all(name in raw.names for name in _NAMES) or not set(_READ_BACK) <= set(raw.sheets):
        return False
    return _facts(raw).get("Kind of workbook") == about.KIND


def _altered(raw: RawWorkbook) -> Iterator[Problem]:
    """What does not say what was proposed, on the sheets that are read back."""
    said = {
        sheet: {place: spelled for place, cell in of_sheet.items() if (spelled := cell.canonical)}
        for sheet, of_sheet in raw.sheets.items()
    }
    marks = [str(cell.value) for (cell, *_) in _table(raw, MARKS) if cell.value]
    changes = changes_of(sealed_content(said, raw.names), marks)
    if changes.same:
        return
    for name in changes.names:
        yield _changed(Place(raw.file), f"the name {name} does not stand for the cells it was written with")
    found = [one for one in changes.cells if one.sheet in _READ_BACK and not changes.names]
    for one in found[:MOST_LISTED]:
        at = raw.sheets[one.sheet].get((one.row, one.column), _BLANK)
        place = Place(raw.file, one.sheet, address(one.row, one.column))
        yield _changed(place, "this cell does not say what was proposed", at.shown)
    if len(found) > MOST_LISTED:
        place = Place(raw.file, found[MOST_LISTED].sheet)
        yield _changed(place, f"{len(found) - MOST_LISTED:,} more cells differ from what was proposed")
    if not found and not changes.names and _by_marks_alone(changes):
        yield _changed(Place(raw.file), "the marks by which changes are found were changed")


def _by_marks_alone(changes: Changes) -> bool:
    """True where nothing at all explains why the seal does not fit; changes on other sheets propose nothing."""
    others = changes.cells or changes.sheets_added or changes.sheets_missing or changes.sheets_renamed
    return not others


def _changed(place: Place, message: str, text: str = "") -> Problem:
    return error(place, "price-proposals-changed", message, _AGAIN, text)


def _proposals(raw: RawWorkbook) -> tuple[PriceProposals, list[Problem]]:
    facts, problems = _facts(raw), list[Problem]()
    marked: dict[int, tuple[bool, bool]] = {}
    changes = []
    for line, *row in _table(raw, cells.AREA):
        at = int(_number(line))
        if at not in marked:
            marked[at], found = _ticks(raw, at, second=bool(row[-1].value))
            problems += found
        changes.append(_change(raw, at, row, marked[at]))
    sources = tuple(
        PriceSource(supplier=_text(supplier), file=_text(file), sha256=_text(sha256))
        for supplier, file, sha256 in _table(raw, about.SOURCES)
    )
    proposals = PriceProposals(
        book_file=facts["Shop book"],
        book_sha256=facts["SHA-256 of the shop book"],
        day=date.fromisoformat(facts["Prices of"]),
        currency=facts["Currency"],
        sources=sources,
        changes=tuple(one for one in changes if one.old != one.new),
        held=tuple(one for one in changes if one.old == one.new),
    )
    if not proposals.accepted and not has_errors(problems):
        remedy = "Type Yes under Take beside each row that is to be taken over."
        problems.append(error(Place(raw.file, ticks.NAME), "nothing-ticked", "no row is ticked", remedy))
    return proposals, problems


def _change(raw: RawWorkbook, line: int, row: list[RawCell], marked: tuple[bool, bool]) -> ProposedChange:
    """One row of the sheet Cells."""
    part, supplier, sheet, cell, column, now, new, why = row
    field = next(name for name, headers in FIELDS.items() if _text(column) in headers.values())
    return ProposedChange(
        sheet=_text(sheet),
        cell=_text(cell),
        part=_text(part),
        supplier=_text(supplier),
        field=field,
        old=_value(field, now),
        new=_value(field, new),
        over_limit=bool(why.value),
        reason=_text(why),
        taken=marked[0],
        taken_anyway=marked[1],
        place=Place(raw.file, ticks.NAME, address(line, 1)),
    )


def _ticks(raw: RawWorkbook, line: int, *, second: bool) -> tuple[tuple[bool, bool], list[Problem]]:
    """Both ticks of a row, what is no tick, and a warning where the second one is wanted and missing."""
    problems: list[Problem] = []
    marks: list[bool] = []
    for column in (1, 2):
        cell = raw.sheets[ticks.NAME].get((line, column), _BLANK)
        said = ticked(cell.value)
        marks.append(bool(said))
        if said is None:
            place = Place(raw.file, ticks.NAME, address(line, column))
            problems.append(error(place, "not-yes-no", "Yes or No is wanted", "Type Yes or No.", cell.shown))
    if marks[0] and second and not marks[1] and not problems:
        place = Place(raw.file, ticks.NAME, address(line, 2))
        message = "this row needs its second tick too, so it is not taken over"
        remedy = "Read why in the last column; type Yes under Take anyway where it is right."
        problems.append(warning(place, "second-tick-missing", message, remedy))
    return (marks[0], marks[1]), problems


def _value(field: ChangedField, cell: RawCell) -> CellValue:
    """A value as it was proposed."""
    if cell.value is None or cell.value == "":
        return None
    if field in _TEXTS:
        return _text(cell)
    if field == "cost date":
        return date.fromisoformat(_text(cell))
    return _number(cell)


def _number(cell: RawCell) -> Decimal:
    value = cell.value
    if not isinstance(value, Decimal):
        raise TypeError(f"no number: {value!r}")
    return value


def _text(cell: RawCell) -> str:
    value = cell.value
    return "" if value is None else value if isinstance(value, str) else f"{value}"


def _facts(raw: RawWorkbook) -> dict[str, str]:
    return {_text(name): _text(said) for name, said, *_ in _table(raw, about.FACTS)}


def _table(raw: RawWorkbook, name: str) -> Iterator[list[RawCell]]:
    """The rows of a named area whose first cell holds something."""
    if name not in raw.names:
        return
    sheet, first_row, first_column, last_row, last_column = raw.names[name]
    of_sheet = raw.sheets.get(sheet, {})
    for row in sorted({row for row, _ in of_sheet if first_row <= row <= last_row}):
        if (row, first_column) in of_sheet:
            columns = range(first_column, min(last_column, first_column + 15) + 1)
            yield [of_sheet.get((row, column), _BLANK) for column in columns]
