"""Random workbooks with chains of formulas over several sheets, and what LibreOffice makes of them from nothing.

`python -m tests.in_place.chains BOOKS SEED` changes each workbook and compares every stored result with a full
recalculation of the changed file: what hangs on a change is new, what does not has kept its bytes.
"""

from __future__ import annotations

import io
import random
import sys
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import xlsxwriter

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.edit_workbook import Edited, edit_workbook
from quotekit.workbook.in_place.office_results import office_work_out
from quotekit.workbook.in_place.results import WorkOut
from quotekit.workbook.office import find_office, run_office
from tests.in_place.compare import cells_of, collateral, part_names

SHEETS = ("One", "The two", "Three's", "Four")
ROWS = 24
Values = dict[tuple[str, str], object]
Formula = tuple[str, str, str]
"""Sheet, cell, formula."""


@dataclass(kw_only=True)
class Book:
    """What a random workbook holds: typed numbers, and formulas that read cells above and other sheets."""

    typed: dict[tuple[str, str], float]
    formulas: list[Formula]
    arrays: list[tuple[str, str, str]]


def a_book(draw: random.Random) -> Book:
    """Numbers in columns A and B of each sheet, formulas in C to F."""
    typed = {
        (sheet, f"{column}{row}"): draw.randint(1, 4000) / draw.choice((1, 4, 10, 100))
        for sheet in SHEETS
        for column in "AB"
        for row in range(1, ROWS + 1)
    }
    formulas = [
        (sheet, f"{column}{row}", a_formula(draw, sheet, row, column))
        for sheet in SHEETS
        for column in "CDEF"
        for row in range(1, ROWS + 1)
        if draw.random() < 0.7
    ]
    arrays = [(sheet, f"H{row}:H{row + 2}", f"{{=A{row}:A{row + 2}*B{row}}}") for sheet in SHEETS for row in (2, 9)]
    return Book(typed=typed, formulas=formulas, arrays=arrays)


def a_formula(draw: random.Random, sheet: str, row: int, column: str) -> str:
    """One of many shapes; it reads cells to its left, or of sheets before, so that nothing goes in a ring."""
    before = [one for one in SHEETS if SHEETS.index(one) < SHEETS.index(sheet)]
    left = chr(ord(column) - 1)
    here, there = f"{draw.choice('AB' + left)}{draw.randint(1, ROWS)}", f"$A${draw.randint(1, ROWS)}"
    other = quoted(draw.choice(before)) + draw.choice("ABCDEF") + str(draw.randint(1, ROWS)) if before else "1"
    whole = quoted(draw.choice(before)) + "A:B" if before else "A:B"
    shapes: tuple[Callable[[], str], ...] = (
        lambda: f"={here}+{other}",
        lambda: f"={here}*{there}-{other}",
        lambda: f"=SUM({left}1:{left}{row})",
        lambda: f"=SUM({whole})/{there}",
        lambda: f'=IF({here}>{there},{other},"none")',
        lambda: f"=IFERROR(VLOOKUP({here},A1:B{ROWS},2,FALSE),{other})",
        lambda: f"=INDEX(A1:B{ROWS},{draw.randint(1, ROWS)},2)",
        lambda: f"=ROUND({here}*Rate,2)",
        lambda: f"=SUM(Block)+{here}",
        lambda: f'=INDIRECT("A{draw.randint(1, ROWS)}")*2',
        lambda: f"=OFFSET({there},1,1)",
        lambda: f"={here}/({there}-{there})",
        lambda: f'={here}&" of "&{there}',
        lambda: f"={here}>{there}",
        lambda: f"=MAX({left}:{left})",
        lambda: f"=SUM(One:{quoted_end(before)}A1)" if before else f"=MIN(A1:B{row})",
        lambda: f"=SUMIF(A1:A{ROWS},\">\"&{there},B1:B{ROWS})",
        lambda: f"=COUNTIF(B$1:B${row},{here})",
    )  # fmt: skip
    return draw.choice(shapes)()


def quoted(sheet: str) -> str:
    """A sheet's name before a cell."""
    return sheet + "!" if sheet.isalnum() else "'" + sheet.replace("'", "''") + "'!"


def quoted_end(before: list[str]) -> str:
    """The end of a stretch of sheets that begins with One; only plain names stand in one."""
    plain = [one for one in before if one.isalnum()]
    return f"{plain[-1]}!"


def written(book: Book, values: Mapping[tuple[str, str], object]) -> bytes:
    """The workbook with these stored results."""
    held = io.BytesIO()
    out = xlsxwriter.Workbook(held, {"in_memory": True})
    pages = {name: out.add_worksheet(name) for name in SHEETS}
    out.define_name("Rate", "=One!$A$1")
    out.define_name("Block", "='The two'!$A$2:$B$5")
    for (sheet, cell), number in book.typed.items():
        pages[sheet].write_number(cell, number)
    for sheet, cell, formula in book.formulas:
        pages[sheet].write_formula(cell, formula, None, values.get((sheet, cell), 0))
    for sheet, area, formula in book.arrays:
        first, _, last = area.partition(":")
        pages[sheet].write_array_formula(area, formula, None, values.get((sheet, first), 0))
        for row in range(int(first[1:]) + 1, int(last[1:]) + 1):
            value = values.get((sheet, f"H{row}"), 0)
            pages[sheet].write(f"H{row}", value)
    out.close()
    return held.getvalue()


def worked_out(books: list[bytes], program: str) -> list[Values]:
    """What LibreOffice stores for each workbook when it works everything out, all at one start."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        paths = [folder / f"{number}.xlsx" for number in range(len(books))]
        for path, data in zip(paths, books, strict=True):
            path.write_bytes(data)
        arguments = ["--convert-to", "xlsx", "--outdir", str(folder / "out"), *map(str, paths)]
        run_office(program, arguments, language="en_US", seconds=300)
        return [stored(folder.joinpath("out", path.name).read_bytes()) for path in paths]


def stored(data: bytes) -> Values:
    """Every stored result and typed value of a workbook, as ElementTree reads them."""
    found: Values = {}
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        from tests.in_place.many import shared

        texts = shared(package)
        for sheet, part in part_names(data).items():
            for cell, one in cells_of(package.read(part)).items():
                if one.value is not None:
                    found[sheet, cell] = meant(one.kind, one.value, texts)
    return found


def meant(kind: str, value: str, texts: list[str]) -> object:
    """A stored value as a value; an error is its text."""
    if kind == "n":
        return float(value)
    if kind == "b":
        return value == "1"
    return texts[int(value)] if kind == "s" else value


def changes_of(draw: random.Random, count: int) -> list[Change]:
    """New numbers for typed cells, each once."""
    cells = {(draw.choice(SHEETS), f"{draw.choice('AB')}{draw.randint(1, ROWS)}") for _ in range(count)}
    return [Change(*one, Decimal(draw.randint(-9000, 9000)).scaleb(-2)) for one in sorted(cells)]


def check(data: bytes, edited: Edited, again: Values) -> list[str]:
    """What is wrong with a changed workbook, by a full recalculation of it."""
    now, parts = stored(edited.data), part_names(data)
    wrong = [
        f"{sheet}!{cell} says {now.get((sheet, cell))}, worked out it is {value}"
        for (sheet, cell), value in again.items()
        if not alike(now.get((sheet, cell)), value)
    ]
    typed = {(parts[one.sheet], one.cell) for one in edited.cells}
    worked = {(parts[one.sheet], one.cell) for one in edited.calculated}
    return [*wrong, *collateral(data, edited.data, typed, worked)]


def alike(one: object, other: object) -> bool:
    """Equal, a truth value and a number only with each other where they are 0 or 1."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-9 * max(1.0, abs(one))
    return one == other


def round_of(count: int, seed: int, program: str, work_out: WorkOut | None, changes: int) -> tuple[list[str], int]:
    """Make workbooks, change each, compare; what is wrong, and how many results became new."""
    draw = random.Random(seed)
    made = [a_book(draw) for _ in range(count)]
    first = worked_out([written(one, {}) for one in made], program)
    books = [written(one, values) for one, values in zip(made, first, strict=True)]
    edits: list[Edited] = []
    wrong: list[str] = []
    for number, data in enumerate(books):
        edited, problems = edit_workbook("book.xlsx", data, changes_of(draw, changes), work_out)
        assert edited is not None, problems
        edits.append(edited)
        gone = [one.cell for one in edited.calculated if one.emptied] if work_out else []
        wrong += [f"book {number}: {cell} was taken away" for cell in gone]
    again = worked_out([one.data for one in edits], program)
    for number, (data, edited, values) in enumerate(zip(books, edits, again, strict=True)):
        if work_out is None:
            gone_cells = {(one.sheet, one.cell) for one in edited.calculated}
            values = {cell: value for cell, value in values.items() if cell not in gone_cells}
        wrong += [f"book {number}: {one}" for one in check(data, edited, values)]
    return wrong, sum(len(one.calculated) for one in edits)


def main(arguments: list[str]) -> int:
    """Run both ways, and print what was found."""
    count, seed = int(arguments[0]), int(arguments[1])
    program = find_office()
    assert program is not None
    for title, work_out in (("worked out", office_work_out()), ("taken away", None)):
        wrong, results = round_of(count, seed, program, work_out, 4)
        print(f"{title}: {count} workbooks, {results} results, {len(wrong)} wrong", *wrong[:20], sep="\n  ")
        seed += 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
