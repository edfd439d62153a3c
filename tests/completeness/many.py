"""Many cells changed, one at a time: figures that move and whose explanation does not name the cell are surprises.

    python -m tests.completeness.many [VALID CHANGES] [FIRST SEED]

Changes cells of the examples and of random shop books and jobs until so many changes were valid: 2,000 unless told.
Prints how many were tried, figures compared and moved, and the surprises by sheet and column.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from random import Random

from tests.completeness.cases import example_cases, random_cases
from tests.completeness.cells_to_change import Spot
from tests.completeness.changes import Explained, Tally, explained, report, try_change
from tests.completeness.other_values import OtherValues

A_CASE = 80
"""Changes tried on one pair of workbooks."""
SHOWN = 3
BY_COLUMN = 0.5
"""Share of the changes drawn by column first: sheets of a few rows are changed as often as long ones."""


def main(wanted: int = 2_000, first: int = 0) -> int:
    """Until so many valid changes were compared; 1 where there is a surprise."""
    tally, start = Tally(), time.monotonic()
    with tempfile.TemporaryDirectory() as name:
        for seed, case in chain(_examples(first), random_cases(first, Path(name))):
            change_some(case, Random(f"{first} {seed}"), A_CASE, tally, str(seed))
            print(f"{tally.valid:,} valid, {len(tally.surprises):,} surprises", file=sys.stderr, flush=True)
            if tally.valid >= wanted:
                break
    for line in report(tally):
        print(line)
    print(f"seconds            {time.monotonic() - start:>12,.1f}")
    return 1 if tally.surprises else 0


def change_some(case: Explained, random: Random, times: int, tally: Tally, name: str = "") -> None:
    """Change random cells of a case, one at a time, and print the surprises."""
    values, spots = OtherValues(case.workbooks, random), case.workbooks.spots()
    columns: dict[tuple[str, str, str], list[Spot]] = {}
    for spot in spots:
        columns.setdefault((spot.file, spot.sheet, spot.header), []).append(spot)
    known = list(columns.values())
    for _ in range(times):
        spot = random.choice(random.choice(known) if random.random() < BY_COLUMN else spots)
        drawn = values.draw(spot)
        if drawn is not None:
            for line in try_change(case, spot, *drawn, tally)[:SHOWN]:
                print(f"{name}: {line}", flush=True)


def _examples(first: int) -> Iterator[tuple[int, Explained]]:
    for number, workbooks in enumerate(example_cases()):
        case = explained(workbooks)
        if case is not None:
            yield -1 - number, case


if __name__ == "__main__":
    sys.exit(main(*(int(argument.replace(",", "")) for argument in sys.argv[1:])))
