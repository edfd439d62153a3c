"""Memory of a whole quote by step: the most one process has taken up to the end of each, as Linux keeps it."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.bench_quote import large_book
from tests.bench.paired import ROOT, CommandFailed
from tests.bench.table import Row
from tests.recalculation.examples import EXAMPLES

SECTION = "Memory of a quote, the most up to each step"
STEPS = """
import sys
from pathlib import Path

def told(step):
    (line,) = [line for line in open("/proc/self/status") if line.startswith("VmHWM")]
    print(int(line.split()[1]) / 1024, step, sep="\\t")

book_path, job_path, out = map(Path, sys.argv[1:])
told("Python started")
from quotekit.cli.inputs import read_inputs
from quotekit.cli.quote import price, write_quote
told("readers loaded")
inputs = read_inputs(book_path, job_path)
told("both workbooks read")
quote, problems = price(inputs)
told("priced")
write_quote(quote, problems, out, inputs=(book_path, job_path), replace=True)
told("both workbooks written")
"""


def measure(parts: int) -> list[Row]:
    """Two shop books: the example's, and one with many more parts."""
    job = EXAMPLES[1]
    book = job.parent / "shop book.xlsx"
    with tempfile.TemporaryDirectory() as name:
        large = Path(name) / "shop book.xlsx"
        large_book(book, large, parts)
        small = _by_step(book, job, Path(name))
        big = _by_step(large, job, Path(name))
    against = f"with {parts:,} more parts"
    return [Row(SECTION, step, taken, big[step], "MB", against) for step, taken in small.items()]


def _by_step(book: Path, job: Path, out: Path) -> dict[str, float]:
    words = [sys.executable, "-c", STEPS, str(book), str(job), str(out)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise CommandFailed(f"a quote by steps ended with {done.returncode}: {done.stderr[-400:]}")
    told = (line.split("\t") for line in done.stdout.splitlines() if "\t" in line)
    return {step: float(megabytes) for megabytes, step in told}
