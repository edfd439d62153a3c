"""Cells changed in the files themselves, saved and read again, and compared with the same change made on what was read.

    python -m tests.completeness.through_files [VALID CHANGES] [FIRST SEED]

300 unless told. A figure that moves and whose explanation does not name the cell is a surprise; so is a figure that
differs between the two ways.
"""

from __future__ import annotations

import sys
import tempfile
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import openpyxl

from quotekit.problems import has_errors
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.completeness.cases import example_files, random_files
from tests.completeness.cells_to_change import BOOK, Spot, Workbooks
from tests.completeness.changes import Explained, Figures, Tally, explained, figures_of, moved, report, try_change
from tests.completeness.other_values import OtherValues

A_CASE = 30


def main(wanted: int = 300, first: int = 0) -> int:
    """Until so many valid changes were compared; 1 where there is a surprise or a difference."""
    tally, apart, seed = Tally(), 0, first
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        waiting = list(example_files())
        while tally.valid < wanted:
            files = waiting.pop() if waiting else random_files(seed, folder)
            seed += 1
            case = explained(Workbooks.read(*files))
            if case is not None:
                apart += change_files(case, files, folder, Random(seed), min(A_CASE, wanted - tally.valid), tally)
    for line in report(tally):
        print(line)
    print(f"read otherwise     {apart:>12,}")
    return 1 if tally.surprises or apart else 0


def change_files(
    case: Explained, files: tuple[Path, Path], folder: Path, random: Random, times: int, tally: Tally
) -> int:
    """Change random cells of two files, one at a time; how often the files read otherwise than the grids."""
    values, spots, apart = OtherValues(case.workbooks, random), case.workbooks.spots(), 0
    for _ in range(times):
        spot = random.choice(spots)
        drawn = values.draw(spot)
        if drawn is None:
            continue
        for line in try_change(case, spot, *drawn, tally)[:3]:
            print(line, flush=True)
        changed = case.workbooks.with_cell(spot, *drawn).records()
        on_grids = figures_of(changed) if changed is not None else None
        on_files = figures_of_files(files, folder, spot, *drawn)
        if on_grids is None or on_files is None:
            apart += (on_grids is None) != (on_files is None)
        elif moved(on_grids, on_files):
            print(spot, drawn, moved(on_grids, on_files)[:3], flush=True)
            apart += 1
    return apart


def figures_of_files(files: tuple[Path, Path], folder: Path, spot: Spot, value: Any, percent: bool) -> Figures | None:
    """The figures of the two files with one cell changed; None where they are refused."""
    book, job = ((folder / "changed" / file.name) for file in files)
    book.parent.mkdir(exist_ok=True)
    for original, copy, is_here in ((files[0], book, spot.file == BOOK), (files[1], job, spot.file != BOOK)):
        workbook = openpyxl.load_workbook(original)
        if is_here:
            cell = workbook[spot.sheet][spot.place.cell]
            cell.value = float(value) if isinstance(value, Decimal) else value
            cell.number_format = _format(value, percent)
        workbook.save(copy)
    read, problems = read_shop_book(book)
    read_too, more = read_job(job, read)
    if read is None or read_too is None or has_errors([*problems, *more]):
        return None
    return figures_of((read, read_too))


def _format(value: Any, percent: bool) -> str:
    if isinstance(value, date):
        return "yyyy-mm-dd"
    return "0.00%" if percent else "General"


if __name__ == "__main__":
    sys.exit(main(*(int(argument.replace(",", "")) for argument in sys.argv[1:])))
