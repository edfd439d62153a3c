"""A work order that a technician filled in: hours, parts, measurements and notes, each with its cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from quotekit.documents.tick_words import ticked
from quotekit.model.filled_work_order import FilledWorkOrder, TypedHours, TypedMark, TypedQuantity
from quotekit.money import round_to
from quotekit.problems import Place, Problem, error, has_errors
from quotekit.workbook.cells import read_date, read_number, read_text, read_yes_no
from quotekit.workbook.filled_cells import FilledCells, FilledRow, read_filled
from quotekit.workbook.grid import Cell

MOST_HOURS = Decimal(200)
_TOGETHER = re.compile(r"[&+/;]|\sand\s", re.I)
_EACH = "Give each a line: the same code, the hours and the name of one; a line may be put in."
_NEAR = Decimal("0.000001")
_DASHES = frozenset("-–—")


def read_work_order(path: Path) -> tuple[FilledWorkOrder | None, list[Problem]]:
    """What was written on a work order, and every cell that can't be read; None where there is an error."""
    cells, problems = read_filled(path, "work order")
    if cells is None:
        return None, problems
    technician = _line(cells.value("technician", read_text))
    filled = FilledWorkOrder(
        place=cells.place,
        job_number=_line(cells.value("job_number", read_text)),
        version=cells.value("version", _whole),
        agreement=cells.value("agreement", _whole),
        hours=(*_hours(cells, "steps", technician), *_hours(cells, "whole", technician)),
        not_done=tuple(_marks(cells)),
        used=tuple(_quantities(cells, "parts", "part", "used")),
        more=tuple(_more(cells)),
        cores=tuple(_quantities(cells, "parts", "part", "core")),
        measured=tuple(_quantities(cells, "measurements", "key", "now", signed=True)),
        notes="\n".join(_notes(cells)),
        finished_on=cells.value("finished_on", read_date) if cells.has("finished_on") else None,
        finished_at=cells.place_of_value("finished_on"),
    )
    return (None if has_errors(cells.problems) else filled), cells.problems


def _line(text: str | None) -> str:
    return " ".join((text or "").split())


def _whole(cell: Cell, place: Place) -> tuple[Decimal | None, Problem | None]:
    return read_number(cell, place, minimum=Decimal(0), whole=True)


def _read_hours(cell: Cell, place: Place) -> tuple[Decimal | None, Problem | None]:
    """Hours; 1:30 typed in a cell that shows plain numbers is kept by the spreadsheet as a part of a day."""
    minutes = _minutes_of_day(cell)
    if minutes is not None:
        message = f"hours are wanted, and the cell holds a part of a day: {minutes // 60}:{minutes % 60:02d}"
        remedy = f"Type {round_to(Fraction(minutes, 60), 2).normalize():f} if it means hours."
        return None, error(place, "time-not-hours", message, remedy, cell.text)
    return read_number(cell, place, minimum=Decimal(0), maximum=MOST_HOURS, what="hours")


def _minutes_of_day(cell: Cell) -> int | None:
    """Minutes of a time of day that was typed, where a number can hardly be anything else."""
    value = cell.value
    if not isinstance(value, Decimal) or cell.calculated or not 0 < value < 1 or value == round_to(value, 3):
        return None
    whole = round_to(value * 288, 0)
    return int(whole) * 5 if abs(value * 288 - whole) < _NEAR else None


def _read_mark(cell: Cell, place: Place) -> tuple[bool | None, Problem | None]:
    """Yes or No, or a mark that says it."""
    value = cell.value
    found = ticked(value) if isinstance(value, str | bool | Decimal) else None
    return read_yes_no(cell, place) if found is None else (found, None)


def _read_quantity(cell: Cell, place: Place) -> tuple[Decimal | None, Problem | None]:
    """Units; a dash says that there is nothing to write."""
    if isinstance(cell.value, str) and cell.value.strip() in _DASHES:
        return None, None
    return read_number(cell, place, minimum=Decimal(0), what="a quantity")


def _read_measured(cell: Cell, place: Place) -> tuple[Decimal | None, Problem | None]:
    return read_number(cell, place, what="a measurement")


def _hours(cells: FilledCells, table: str, technician: str) -> Iterator[TypedHours]:
    whole = table == "whole"
    columns = ("hours", "person") if whole else ("key", "hours", "person")
    for row in cells.rows(table, columns, ("person" if whole else "key", "hours")):
        hours = row.read("hours", _read_hours)
        if hours is None:
            continue
        person = row.text("person") or technician
        if not person:
            message = "the hours are of nobody"
            row.lacks("no-person", "person", message, "Write a name beside them, or the technician's at the end.")
        if _TOGETHER.search(person):
            row.notes("two-people", "person", f"the hours are kept as those of one person named {person}", _EACH)
        work = "" if whole else _code(row, "key")
        if whole or work:
            yield TypedHours(work=work, person=person, hours=hours, place=row.place("hours"))


def _code(row: FilledRow, column: str) -> str:
    code = row.text(column)
    if not code:
        row.lacks("no-code", column, "the row has no code", "Write the code of the work or the part it is about.")
    return code


def _marks(cells: FilledCells) -> Iterator[TypedMark]:
    for row in cells.rows("items", ("key", "not_done")):
        if row.read("not_done", _read_mark):
            code = _code(row, "key")
            if code:
                yield TypedMark(code=code, place=row.place("not_done"))


def _quantities(
    cells: FilledCells, table: str, key: str, column: str, *, signed: bool = False
) -> Iterator[TypedQuantity]:
    for row in cells.rows(table, (key, column), (key, column)):
        quantity = row.read(column, _read_measured if signed else _read_quantity)
        code = _code(row, key) if quantity is not None else ""
        if code and quantity is not None:
            yield TypedQuantity(code=code, quantity=quantity, place=row.place(column))


def _more(cells: FilledCells) -> Iterator[TypedQuantity]:
    """Other parts: both the code and how many."""
    for row in cells.rows("more", ("part", "used"), ("part", "used")):
        before = len(cells.problems)
        quantity = row.read("used", _read_quantity)
        if quantity is not None:
            code = _code(row, "part")
            if code and quantity:
                yield TypedQuantity(code=code, quantity=quantity, place=row.place("part"))
        elif row.text("part") and len(cells.problems) == before:
            row.lacks("no-quantity", "used", f"how many of {row.text('part')} were used?", "Write how many.")


def _notes(cells: FilledCells) -> Iterator[str]:
    """What was noted at the end, then beside other parts and hours."""
    said = cells.value("notes", read_text)
    if said:
        yield said
    for table in ("more", "whole"):
        if cells.has(f"{table}_note"):
            yield from filter(None, (row.text("note") for row in cells.rows(table, ("note",))))
