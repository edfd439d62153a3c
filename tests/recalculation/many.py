"""Many choices on random quotes, made in LibreOffice and compared with the engine to the cent.

    python -m tests.recalculation.many [COMBINATIONS] [FIRST SEED]

Prints combinations, figures compared, how many differ, by how much, and seconds. 100,000 combinations unless told.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path
from random import Random

from tests.recalculation.combinations import choices, live_cases
from tests.recalculation.figures import Tally, compare
from tests.recalculation.office import running_office

MOST_OF_ONE = 256
"""Choices of one workbook at most."""
SHOWN = 20


def main(wanted: int = 100_000, first: int = 0) -> int:
    """Until so many combinations were compared; 1 where any figure differs."""
    program = shutil.which("soffice")
    if program is None:
        print("soffice is not installed (Debian package libreoffice-calc)", file=sys.stderr)
        return 2
    tally, start, seed = Tally(), time.monotonic(), first
    with tempfile.TemporaryDirectory() as name, running_office(program, Path(name) / "profile") as office:
        for seed, case, quote in live_cases(first):
            most = min(MOST_OF_ONE, wanted - tally.combinations)
            before = len(tally.differences)
            compare(office, Path(name), seed, case, quote, choices(quote, Random(seed), most)[:most], tally)
            for line in tally.differences[before : before + 3]:
                print(line, flush=True)
            if tally.combinations >= wanted:
                break
            if tally.workbooks % 100 == 0:
                print(f"{tally.combinations:,} so far, {len(tally.differences):,} differ", file=sys.stderr, flush=True)
    report(tally, first, seed, time.monotonic() - start)
    return 1 if tally.differences else 0


def report(tally: Tally, first: int, last: int, seconds: float) -> None:
    """One number a line."""
    print(f"combinations       {tally.combinations:>12,}")
    print(f"workbooks          {tally.workbooks:>12,}   (seeds {first} to {last})")
    print(f"figures compared   {tally.figures:>12,}")
    print(f"figures differing  {len(tally.differences):>12,}")
    print(f"minor units apart  {tally.minor_units:>12,}")
    print(f"seconds            {seconds:>12,.1f}")


if __name__ == "__main__":
    sys.exit(main(*(int(argument.replace(",", "")) for argument in sys.argv[1:])))
