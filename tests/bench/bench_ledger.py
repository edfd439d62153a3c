"""What a ledger of many quotes costs. Not a test: a clock on a busy machine proves nothing, so nothing here fails.

    python tests/bench/bench_ledger.py [--quotes 100000] [--pairs 15] [--check] [--json FILE]

fills a ledger with copies of an issued quote of the worked example, each of its own job and with its own workbook and
results, then issues on it and on an empty one in turn. What counts is the median of the paired ratios, by the clock on
a quiet machine (clock over processor near 1), else of the processor. `--check` also times `jobs` and `ledger check`.
A hundred thousand quotes take about 1.5 GB and some minutes.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import io
import json
import shutil
import sys
import tempfile
import time
import zlib
from collections.abc import Callable
from itertools import count
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from quotekit.cli.main import main as quotekit  # noqa: E402
from quotekit.ledger.chain import Sealed, canonical_json  # noqa: E402
from quotekit.ledger.connect import adding  # noqa: E402
from quotekit.ledger.ledger import Ledger  # noqa: E402
from quotekit.ledger.open_ledger import open_ledger  # noqa: E402
from quotekit.ledger.rows import row_of  # noqa: E402
from quotekit.ledger.tables import ENTRIES, ENTRY_FILES, FILES  # noqa: E402
from quotekit.model.entries import Issued  # noqa: E402

AT_ONCE = 500
Times = tuple[float, float]
"""By the clock, and of the processor: the second holds also beside other programs."""


class Grown:
    """A file that many are made of, each longer by its own few bytes: digest and packing go on from the first."""

    def __init__(self, name: str, data: bytes) -> None:
        self.name, self.size = name, len(data)
        self._digest = hashlib.sha256(data)
        self._packing = zlib.compressobj(6)
        self._packed = self._packing.compress(data)

    def one(self, number: int) -> dict[str, Any]:
        """The row of a quote's file."""
        own = f" {number}".encode()
        digest, packing = self._digest.copy(), self._packing.copy()
        digest.update(own)
        packed = self._packed + packing.compress(own) + packing.flush()
        return {"sha256": digest.hexdigest(), "name": self.name, "size": self.size + len(own), "packed": packed}


def run(*words: str) -> tuple[float, float]:
    """A command in this process: how long it took by the clock, and of the processor. Exits where it fails."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        start, worked = time.perf_counter(), time.process_time()
        code = quotekit(list(words))
        took = time.perf_counter() - start, time.process_time() - worked
    if code:
        sys.exit(f"{words} ended with {code}\n{said.getvalue()}")
    return took


def fill(ledger: Ledger, quotes: int) -> None:
    """Copies of the first quote, each with the entry that says its documents are written."""
    issued, written = ledger.entries()
    body = issued.told(Issued)
    text = canonical_json(issued.body)
    files = [(file.sha256, Grown(file.name, ledger.file(file.sha256))) for file in (body.job_workbook, body.results)]
    before, seq = written.hash, written.seq
    for first in range(2, quotes + 1, AT_ONCE):
        entries: list[dict[str, Any]] = []
        kept_rows: list[dict[str, Any]] = []
        ties: list[dict[str, Any]] = []
        for number in range(first, min(first + AT_ONCE, quotes + 1)):
            own = text
            digests = [body.book.sha256]
            for old, grown in files:
                row = grown.one(number)
                kept_rows.append(row)
                digests.append(row["sha256"])
                own = own.replace(old, row["sha256"])
            told = canonical_json({"of": seq + 1, "folder": "/quotes", "documents": []})
            job = f"job {number}"
            shared = {"at": issued.at, "day": issued.day.isoformat(), "who": "Ida", "why": "", "job": job, "version": 1}
            for kind, one, running in (("issued", own, number), ("written", told, None)):
                seq += 1
                sealed = Sealed(seq=seq, kind=kind, number=running, body=one, before=before, **shared)
                entries.append(row_of(sealed))
                before = entries[-1]["hash"]
            ties += [{"seq": seq - 1, "sha256": digest} for digest in digests]
        with adding(ledger.raw_connection()) as connection:
            for table, rows in ((FILES, kept_rows), (ENTRIES, entries), (ENTRY_FILES, ties)):
                connection.execute(table.insert(), rows)


def with_number(path: Path, number: str, target: Path) -> Path:
    """The job workbook under another job number."""
    from openpyxl import load_workbook

    workbook = load_workbook(path)
    (cell,) = [row[1] for row in workbook["Job"].iter_rows() if row[0].value == "Job number"]
    cell.value = number
    workbook.save(target)
    return target


def paired(pairs: int, jobs: dict[str, Callable[[], Times]]) -> dict[str, list[Times]]:
    """Each job once a round, in turn; the first round is not counted."""
    rounds = []
    for place in range(pairs + 1):
        names = list(jobs) if place % 2 else list(reversed(jobs))
        rounds.append({name: jobs[name]() for name in names})
    return {name: [times[name] for times in rounds[1:]] for name in jobs}


def measure(folder: Path, quotes: int, pairs: int, check: bool) -> dict[str, Any]:
    """Fill one ledger, then issue on both in turn."""
    run("new", str(folder / "example"), "--demo")
    book, job = folder / "example" / "shop book.xlsx", next((folder / "example").glob("2611-02*.xlsx"))
    large, empty = folder / "large.db", folder / "empty.db"
    run("issue", str(book), str(job), "--ledger", str(large), "--out", str(folder / "first"))
    start = time.perf_counter()
    with open_ledger(large) as ledger:
        fill(ledger, quotes)
    found: dict[str, Any] = {"quotes": quotes, "filled_seconds": round(time.perf_counter() - start)}
    found["megabytes"] = round(large.stat().st_size / 1_000_000)
    numbers = count(1)

    def issue(ledger: Path) -> Times:
        path = with_number(job, f"NEW-{next(numbers)}", folder / "job.xlsx")
        return run("issue", str(book), str(path), "--ledger", str(ledger), "--out", str(folder / "out"))

    times = paired(pairs, {"empty": lambda: issue(empty), "large": lambda: issue(large)})
    for place, what in enumerate(("clock", "processor")):
        found |= {
            f"issue_on_{name}_{what}_ms": round(1000 * median(one[place] for one in of_one), 1)
            for name, of_one in times.items()
        }
        ratios = [a[place] / b[place] for a, b in zip(times["large"], times["empty"], strict=True)]
        found[f"ratio_large_to_empty_{what}"] = round(median(ratios), 2)
        found[f"ratios_{what}"] = [round(one, 2) for one in sorted(ratios)]
    found |= {
        f"issue_clock_over_processor_{name}": round(sum(one[0] for one in of_one) / sum(one[1] for one in of_one), 2)
        for name, of_one in times.items()
    }  # near 1 on a quiet machine: only then the clock counts
    found["jobs_of_one_clock_ms"] = round(1000 * run("jobs", f"job {quotes // 2}", "--ledger", str(large))[0], 1)
    if check:
        found |= _whole(large)
    return found


def _whole(large: Path) -> dict[str, Any]:
    """What goes through the whole ledger: seconds by the clock and of the processor, and what the check finds."""
    found: dict[str, Any] = {}
    for name, words in (("jobs", ("jobs",)), ("check", ("ledger", "check"))):
        clock, processor = run(*words, "--ledger", str(large))
        found |= {f"{name}_clock_seconds": round(clock, 1), f"{name}_processor_seconds": round(processor, 1)}
    with open_ledger(large) as ledger:
        found["entries"] = ledger.last_seq()
    return found


def main() -> None:
    """Measure, print the table, write the JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--quotes", type=int, default=100_000)
    parser.add_argument("--pairs", type=int, default=15)
    parser.add_argument("--check", action="store_true", help="also go through the whole ledger: jobs, ledger check")
    parser.add_argument("--json", type=Path, help="also write one JSON object here")
    options = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="quotekit-bench-"))
    try:
        found = measure(folder, options.quotes, options.pairs, options.check)
    finally:
        shutil.rmtree(folder)
    for name, value in found.items():
        print(f"{name.replace('_', ' '):40} {value}")
    if options.json:
        options.json.write_text(json.dumps(found, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
