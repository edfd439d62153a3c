"""Measures of the menu in LibreOffice: from the click to the open quote, beside `quotekit quote` in the same run.

    python tests/bench/bench_office.py

The first click starts the engine, the others find it warm; one is with a change that was not saved, which is copied
first. The middle one of five, in seconds.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from tests.recalculation.office import SYSTEM_PYTHON

TIMES = 5
JOB = "2611-01 snow thrower, worn bushings.xlsx"
PROGRAM = [sys.executable, "-m", "quotekit"]
HERE = Path(__file__).parents[1] / "addin" / "in_office"


def main() -> None:
    """A row each: the command line, the first click, a later one, one with a change that was not saved."""
    with TemporaryDirectory() as there:
        folder = Path(there) / "shop"
        subprocess.run([*PROGRAM, "demo", str(folder)], check=True, capture_output=True)
        _clear(folder)
        told = {"quotekit quote": [_command_line(folder) for _ in range(TIMES)]}
        extension = Path(there) / "quotekit.oxt"
        extension.write_bytes(extension_bytes(version(), [*PROGRAM, "answer"]))
        words = [SYSTEM_PYTHON, "timed.py", str(extension), str(folder), str(TIMES)]
        found = json.loads(subprocess.run(words, cwd=HERE, check=True, capture_output=True, text=True).stdout)
        told |= {"first click": [found["cold"]], "later click": found["warm"], "with a change": found["unsaved"]}
        told["quotekit quote, again"] = [_command_line(folder) for _ in range(TIMES)]
    plain = statistics.median(told["quotekit quote"] + told["quotekit quote, again"])
    print(f"{'':24}{'seconds':>9}{'of quote':>10}")
    for name, seconds in told.items():
        middle = statistics.median(seconds)
        print(f"{name:24}{middle:9.2f}{middle / plain:10.2f}")


def _command_line(folder: Path) -> float:
    words = [*PROGRAM, "quote", str(folder / "shop book.xlsx"), str(folder / JOB)]
    start = time.perf_counter()
    subprocess.run(words, check=True, capture_output=True)
    taken = time.perf_counter() - start
    _clear(folder)
    return taken


def _clear(folder: Path) -> None:
    for path in [*folder.glob("26*-1 quote.*"), *folder.glob("26*-1 costing.*")]:
        path.unlink()


if __name__ == "__main__":
    main()
