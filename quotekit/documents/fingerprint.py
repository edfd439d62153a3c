"""The fingerprint of a document's content, kept in the document itself, so that a change can be named by its cell.

Sealed is what the cells say and where: not how they look, and not the cells in which the customer chooses. The marks
are no signature: who changes a price can work them out again. They find what was changed by hand or by mishap.

The first mark is the SHA-256 of everything. Then come the names of cells, then each sheet, with three characters for
each cell, by row and column: `Quote! 1.1:x7fQ2_,6:0aB 2.1:Yz4` are A1, B1, F1 and A2.
"""

from __future__ import annotations

import hashlib
from base64 import urlsafe_b64encode
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from quotekit.documents.canonical import canonical
from quotekit.documents.sheet import Cell, NamedRange, Picture, Row, Sheet, WorkbookValue, placed, text
from quotekit.record import record

WORKING = "Working"
MARKS = "content_marks"
CHOSEN_TIER = "chosen_tier"
EXTRA = "extra_"
TICKS = "ticks_"

Position = tuple[int, int]
"""Row and column, 1-based."""

Area = tuple[str, int, int, int, int]
"""Sheet, first row and column, last row and column, 1-based."""

_DIGEST = 3
_LONGEST = 8_000
"""Characters of one mark; a cell holds 32,767."""

_NAMES = "names"


@record
class Content:
    """What a workbook says: the sealed cells of each sheet, canonical, and where the names of cells stand."""

    sheets: Mapping[str, Mapping[Position, str]]
    names: Mapping[str, str]


def is_choice(name: str) -> bool:
    """True for the names of cells in which the customer chooses, and of those that the owner ticks."""
    return name == CHOSEN_TIER or name.startswith((EXTRA, TICKS))


def sealed(value: WorkbookValue) -> WorkbookValue:
    """The workbook with its marks at the end of the sheet Working, under the name `content_marks`."""
    working = next((sheet for sheet in value.sheets if sheet.name == WORKING), None)
    if working is None:
        working = Sheet(name=WORKING, rows=(), widths=(12,), hidden=True)
        value = replace(value, sheets=(*value.sheets, working))
    style = next((cell.style for row in working.rows for cell in row.cells), "body")
    marks = mark_texts(content_of(value))
    first = len(working.rows)
    rows = (*working.rows, *(Row(cells=(text(mark, style),)) for mark in marks))
    name = NamedRange(name=MARKS, sheet=WORKING, first_row=first, first_column=0, last_row=len(rows) - 1, last_column=0)
    sheets = tuple(replace(sheet, rows=rows) if sheet is working else sheet for sheet in value.sheets)
    return replace(value, sheets=sheets, names=(*value.names, name))


def fingerprint_of(value: WorkbookValue) -> str:
    """The fingerprint of a sealed workbook: its first mark."""
    marks = next(name for name in value.names if name.name == MARKS)
    sheet = next(sheet for sheet in value.sheets if sheet.name == marks.sheet)
    return str(sheet.rows[marks.first_row].cells[0].content)


def content_of(value: WorkbookValue) -> Content:
    """What is sealed of a workbook that has no marks yet; they will stand below the last row of Working."""
    areas = dict(_areas(value))
    last = max((len(sheet.rows) for sheet in value.sheets if sheet.name == WORKING), default=0)
    areas[MARKS] = (WORKING, last + 1, 1, last + 1, 1)
    cells = {
        sheet.name: {
            (row, column): spelled
            for row, column, cell in _cells(sheet)
            if not isinstance(cell.content, Picture) and (spelled := canonical(cell.content, cell.formula))
        }
        for sheet in value.sheets
    }
    return sealed_content(cells, areas)


def sealed_content(cells: Mapping[str, Mapping[Position, str]], areas: Mapping[str, Area]) -> Content:
    """Canonical cells without those of the choice and the marks, and the areas of the names as texts."""
    left_out = {(sheet, row, column) for name, (sheet, row, column, _, _) in areas.items() if is_choice(name)}
    ticks = [area for name, area in areas.items() if name.startswith(TICKS)]
    sheet_of_marks, first, column, last, _ = areas.get(MARKS, ("", 0, 0, 0, 0))
    marks = {(sheet_of_marks, row, column) for row in range(first, min(last, first + 10_000) + 1)}
    kept = {
        sheet: {
            position: spelled
            for position, spelled in of_sheet.items()
            if (sheet, *position) not in left_out
            and (sheet, *position) not in marks
            and not (ticks and any(_holds(area, sheet, position) for area in ticks))
        }
        for sheet, of_sheet in cells.items()
    }
    return Content(sheets=kept, names={name: _area_text(name, area) for name, area in sorted(areas.items())})


def _holds(area: Area, sheet: str, position: Position) -> bool:
    of_sheet, row, column, last_row, last_column = area
    return sheet == of_sheet and row <= position[0] <= last_row and column <= position[1] <= last_column


def fingerprint(content: Content) -> str:
    """The SHA-256 of everything that is sealed, in hexadecimal digits."""
    whole = hashlib.sha256()
    for name, where in sorted(content.names.items()):
        whole.update(f"{name}\0{where}\n".encode())
    for sheet in sorted(content.sheets):
        whole.update(f"\n{sheet}\n".encode())
        for (row, column), spelled in sorted(content.sheets[sheet].items()):
            whole.update(f"{row}\0{column}\0{spelled}\n".encode())
    return whole.hexdigest()


def mark_texts(content: Content) -> tuple[str, ...]:
    """The marks of a content, each a text for one cell."""
    texts = [fingerprint(content)]
    texts += _packed(_NAMES, (f"{name}:{digest(name, where)}" for name, where in sorted(content.names.items())))
    for sheet, cells in content.sheets.items():
        texts += _packed(f"{sheet}!", _row_marks(sheet, cells))
    return tuple(texts)


def digest(place: str, spelled: str) -> str:
    """Three characters for what stands at a place."""
    whole = hashlib.sha256(f"{place}\0{spelled}".encode()).digest()
    return urlsafe_b64encode(whole[:3])[:_DIGEST].decode()


def digest_of_cell(sheet: str, row: int, column: int, spelled: str) -> str:
    """Three characters for what a cell says."""
    return digest(f"{sheet}!{row},{column}", spelled)


def _areas(value: WorkbookValue) -> Iterator[tuple[str, Area]]:
    for named in value.names:
        yield named.name, (
            named.sheet, named.first_row + 1, named.first_column + 1, named.last_row + 1, named.last_column + 1
        )  # fmt: skip
    for sheet in value.sheets:
        for row, column, cell in _cells(sheet):
            if cell.name:
                yield cell.name, (sheet.name, row, column, row, column)


def _cells(sheet: Sheet) -> Iterator[tuple[int, int, Cell]]:
    for number, row in enumerate(sheet.rows, start=1):
        for column, cell in placed(row):
            yield number, column + 1, cell


def _area_text(name: str, area: Area) -> str:
    """Where a name stands; of the marks only the first cell, as their number is not sealed."""
    sheet, first_row, first_column, last_row, last_column = area
    first = f"{sheet}!{first_row},{first_column}"
    if name == MARKS or (first_row, first_column) == (last_row, last_column):
        return first
    return f"{first}:{last_row},{last_column}"


def _row_marks(sheet: str, cells: Mapping[Position, str]) -> Iterator[str]:
    """For each row its number and, for each run of cells side by side, the first column and the digests."""
    rows: dict[int, list[int]] = {}
    for row, column in sorted(cells):
        rows.setdefault(row, []).append(column)
    for row, columns in rows.items():
        runs = []
        for column in columns:
            mark = digest_of_cell(sheet, row, column, cells[row, column])
            runs.append(mark if column - 1 in columns else f",{column}:{mark}")
        yield f"{row}.{''.join(runs)[1:]}"


def _packed(start: str, marks: Iterable[str]) -> Iterator[str]:
    """Marks as few texts, none too long; at least one, so that an empty sheet is known."""
    held: list[str] = [start]
    size = len(start)
    for mark in marks:
        if size + len(mark) > _LONGEST:
            yield " ".join(held)
            held, size = [start], len(start)
        held.append(mark)
        size += len(mark) + 1
    yield " ".join(held)


def marks_of(texts: Sequence[str]) -> tuple[str, dict[str, str], dict[str, dict[Position, str]]]:
    """The fingerprint, the digests of names and of cells by sheet, as the marks say them; what is odd is left out."""
    names: dict[str, str] = {}
    sheets: dict[str, dict[Position, str]] = {}
    for line in texts[1:]:
        if line.startswith(f"{_NAMES} "):
            names |= dict(mark.split(":") for mark in line.split(" ")[1:] if mark.count(":") == 1)
            continue
        sheet, found, marks = line.rpartition("!")
        if found:
            cells = sheets.setdefault(sheet, {})
            for mark in marks.split():
                cells.update(_cell_marks(mark))
    return (texts[0] if texts else ""), names, sheets


def _cell_marks(mark: str) -> Iterator[tuple[Position, str]]:
    """The digests of one row.

    >>> list(_cell_marks("12.1:x7fQ2_,6:0aB"))
    [((12, 1), 'x7f'), ((12, 2), 'Q2_'), ((12, 6), '0aB')]
    """
    row, _, runs = mark.partition(".")
    for run in runs.split(","):
        column, _, digests = run.partition(":")
        if _is_number(row) and _is_number(column):
            for offset in range(0, len(digests) - _DIGEST + 1, _DIGEST):
                yield (int(row), int(column) + offset // _DIGEST), digests[offset : offset + _DIGEST]


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) < 8
