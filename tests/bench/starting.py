"""Cold start: whole commands against the bare interpreter, and against a script that reads and writes the same cells.

By processor time of each command with all that it starts; compiled modules are kept, as those of an installed program.
"""

from __future__ import annotations

import marshal
import tempfile
from pathlib import Path

from tests.bench.bench_quote import READ_AND_WRITE, cells_of
from tests.bench.paired import in_turn, python
from tests.bench.table import Row, slower
from tests.recalculation.examples import EXAMPLES

SECTION = "Cold start, whole commands"
LIBRARIES = "import xlsxwriter, python_calamine"


def measure(rounds: int) -> list[Row]:
    """Every row of the section."""
    job = EXAMPLES[1]
    book = job.parent / "shop book.xlsx"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        quote = ("-m", "quotekit", "quote", str(book), str(job), "--out", str(folder), "--replace")
        python(*quote)()
        script, written = folder / "bare.py", folder / "cells"
        script.write_text(READ_AND_WRITE, encoding="utf-8")
        written.write_bytes(marshal.dumps(cells_of(sorted(folder.glob("*.xlsx")))))
        taken = in_turn(
            rounds,
            {
                "python -c pass": python("-c", "pass"),
                "import of both libraries": python("-c", LIBRARIES),
                "--help": python("-m", "quotekit", "--help"),
                "import quotekit.pricing": python("-c", "import quotekit.pricing"),
                "quote": python(*quote),
                "bare script of the same cells": python(
                    str(script), str(book), str(job), str(folder / "bare.xlsx"), str(written)
                ),
            },
        )
    return [
        slower(SECTION, "quotekit --help", taken, "--help", "python -c pass"),
        slower(SECTION, "import quotekit.pricing", taken, "import quotekit.pricing", "python -c pass"),
        slower(SECTION, "quotekit quote, the example", taken, "quote", "python -c pass"),
        slower(SECTION, "quotekit quote, the example", taken, "quote", "import of both libraries"),
        slower(SECTION, "quotekit quote, the example", taken, "quote", "bare script of the same cells"),
    ]
