"""Whether a template and what is to go into it belong together: every mark there, none unknown, nothing lost.

A mark that is missing would leave out what the document must say, so nothing is written; marks that may be missing
are named by the filling. A mark that nobody fills would be printed as it is. Marks of headers and footers come on top
of those in cells: from a cell a filled document can be read back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.filling import SheetFilling, Shown, is_nothing
from quotekit.problems import Place, Problem, error
from quotekit.workbook.addresses import address
from quotekit.workbook.names import nearest
from quotekit.workbook.template_faults import entered_twice
from quotekit.workbook.template_marks import BLOCK, ROWS, SHEET, MarkedRows, SheetMarks


def check_filling(file: str, marks: Sequence[SheetMarks], fillings: Sequence[SheetFilling]) -> list[Problem]:
    """Everything in the way of filling a template."""
    by_role = {one.role: one for one in marks}
    found: dict[str, Problem] = {}
    for filling in fillings:
        of_role = by_role.get(filling.role)
        problems = [_no_sheet(file, filling.role)] if of_role is None else _of_sheet(file, of_role, filling)
        for problem in problems:
            found.setdefault(f"{problem.place} {problem.message}", problem)
    return list(found.values())


def _no_sheet(file: str, role: str) -> Problem:
    mark = f"qk_{SHEET}{role}"
    remedy = f"Give any cell of the sheet the name {mark}, or write a fresh template with `quotekit new`."
    return error(Place(file), "template-mark-missing", f"no sheet of the template has the mark {mark}", remedy)


def _of_sheet(file: str, marks: SheetMarks, filling: SheetFilling) -> Iterator[Problem]:
    place = Place(file, marks.sheet)
    for name in filling.values:
        if not marks.values.get(name) and name not in filling.optional:
            yield _missing(place, name)
        if filling.values[name] is None:
            yield from entered_twice(place, name, marks.values.get(name, ()))
    for name, rows in filling.tables.items():
        table = marks.tables.get(name)
        if table is None:
            if f"{ROWS}{name}" not in filling.optional:
                yield _missing_rows(place, name)
        else:
            columns = {column: None for row in rows for column in row}
            for column in columns:
                if column not in table.columns and f"{ROWS}{name}.{column}" not in filling.optional:
                    yield _missing_column(place, name, column, table)
    yield from _unknown(file, marks, filling)
    yield from _lost_with_blocks(file, marks, filling)


def _missing(place: Place, name: str) -> Problem:
    message = f"the template lacks the mark qk_{name}"
    remedy = f"Type qk_{name} in the cell that is to show it, or give that cell this name."
    return error(place, "template-mark-missing", message, remedy)


def _missing_rows(place: Place, name: str) -> Problem:
    message = f"the template lacks the marked row qk_{ROWS}{name}"
    remedy = f"Select the row that is to be repeated and give it the name qk_{ROWS}{name}."
    return error(place, "template-mark-missing", message, remedy)


def _missing_column(place: Place, name: str, column: str, table: MarkedRows) -> Problem:
    at = place._replace(cell=address(table.lines.top, 1))
    message = f"the row qk_{ROWS}{name} of the template lacks the mark qk_{column}"
    return error(at, "template-mark-missing", message, f"Type qk_{column} in the cell of the row that is to show it.")


def _unknown(file: str, marks: SheetMarks, filling: SheetFilling) -> Iterator[Problem]:
    values, tables = list(filling.values), list(filling.tables)
    rowless = {
        column for name, rows in filling.tables.items() if name not in marks.tables for row in rows for column in row
    }
    for name, spots in marks.values.items():
        if name not in values and name not in rowless:
            cell = address(*spots[0]) if spots else ""
            yield _unknown_mark(Place(file, marks.sheet, cell), "", name, values)
    for name, table in marks.tables.items():
        rows = filling.tables.get(name)
        columns = list(rows[0]) if rows else []
        if rows is None:
            yield _unknown_mark(Place(file, marks.sheet, address(table.lines.top, 1)), ROWS, name, tables)
        for column, spot in table.columns.items():
            if rows and column not in columns:
                yield _unknown_mark(Place(file, marks.sheet, address(*spot)), "", column, columns)
    for name, lines in marks.blocks.items():
        if name not in filling.values and name not in filling.tables:
            place = Place(file, marks.sheet, address(lines.top, 1))
            yield _unknown_mark(place, BLOCK, name, values + tables)


def _unknown_mark(place: Place, kind: str, name: str, known: list[str]) -> Problem:
    message = f"nothing of this document goes by the mark qk_{kind}{name}"
    near = nearest(name, known)
    hint = f"Did you mean qk_{kind}{near}? " if near else ""
    return error(place, "template-mark-unknown", message, f"{hint}Take the mark out, or correct it.")


def is_empty(name: str, filling: SheetFilling) -> bool:
    """True where the value or table of a block has nothing to show."""
    return not filling.tables[name] if name in filling.tables else is_nothing(filling.values.get(name))


def _is_nothing(name: str, filling: SheetFilling) -> bool:
    """True where nothing is lost with a value: it is empty, or the sum of nothing."""
    value = filling.values[name]
    plain = value.value if isinstance(value, Shown) else value
    return is_empty(name, filling) or plain == 0


def _lost_with_blocks(file: str, marks: SheetMarks, filling: SheetFilling) -> Iterator[Problem]:
    """What is not empty and stands among lines that go."""
    for block, lines in marks.blocks.items():
        if (block in filling.values or block in filling.tables) and is_empty(block, filling):
            values = (
                name for name, spots in marks.values.items() if spots and all(lines.holds(one.row) for one in spots)
            )
            inside = [name for name in values if name in filling.values and not _is_nothing(name, filling)]
            tables = [name for name, table in marks.tables.items() if lines.holds(table.lines.top)]
            inside += [f"{ROWS}{name}" for name in tables if filling.tables.get(name)]
            if inside:
                place = Place(file, marks.sheet, address(lines.top, 1))
                message = f"the lines qk_{BLOCK}{block} go when there is no {block}, and hold qk_{inside[0]}"
                yield error(place, "template-block-holds", message, "Let the block cover its own lines alone.")
