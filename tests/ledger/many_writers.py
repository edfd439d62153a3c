"""Several counters at once: processes that issue and accept quotes on one ledger, and what must hold afterwards.

    python -m tests.ledger.many_writers [--url URL | --postgresql] [--processes 8] [--quotes 200]

Each process calls the commands of a person, one quote after the other: most are of jobs of its own, every fifth is of
one job that all of them work on, so that its versions are fought for. Meanwhile the ledger is checked and copied.
It prints one JSON object and ends with 1 where anything was lost, doubled, half written or left out.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import io
import json
import multiprocessing
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

from quotekit.cli.main import main as quotekit
from quotekit.ledger.backup import back_up
from quotekit.ledger.check import check_against, check_ledger
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Accepted, Issued, Written
from tests.cli.small_shop import job, shop_book, write_book
from tests.ledger.postgres import running_server

SHARED = "SHARED"
ORAL = ("--tier", "good", "--by", "phone", "--who", "R. Alder", "--phone", "555 0100", "--at", "10:00")
YES = (*ORAL, "--note", "go ahead", "--on", "2026-03-03")


class Work(NamedTuple):
    """What one process is to do."""

    address: str
    folder: str
    process: int
    quotes: int


class Report(NamedTuple):
    """What was done, how long it took, and what is wrong."""

    processes: int
    quotes: int
    seconds: float
    quotes_a_second: float
    longest_wait: float
    median_wait: float
    entries: int
    checks_meanwhile: int
    wrong: list[str]


def job_number(process: int, quote: int) -> str:
    """The job of a quote: every fifth is of the one that all work on."""
    return SHARED if quote % 5 == 4 else f"{process}-{quote}"


def serve(work: Work) -> tuple[list[float], list[str]]:
    """Issue and accept; how long it waited each time, and what did not end well."""
    waits: list[float] = []
    failed: list[str] = []
    with _waits_measured(waits):
        for quote in range(work.quotes):
            failed += _issue_and_accept(work, quote)
    return waits, failed


def _issue_and_accept(work: Work, quote: int) -> list[str]:
    """One quote, from the job workbook to the yes; what did not end well."""
    failed = []
    folder, number = Path(work.folder), job_number(work.process, quote)
    path = folder / f"job {work.process}.xlsx"
    sheets = job()
    sheets["Job"][1] = ["Job number", number]
    write_book(path, sheets)
    ledger, out = ("--ledger", work.address), ("--out", str(folder / "out"))
    for words in (
        ("issue", str(folder / "shop book.xlsx"), str(path), *out, *ledger),
        ("accept", "--job", number, *YES, *ledger),
    ):
        said = io.StringIO()
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            code = quotekit(list(words))
        if code:
            failed.append(f"{words[0]} {number} ended with {code}: {said.getvalue()[-300:]}")
    return failed


@contextlib.contextmanager
def _waits_measured(waits: list[float]) -> Iterator[None]:
    """Write down how long each command waits for its turn."""
    real = Ledger.alone

    @contextlib.contextmanager
    def alone(self: Ledger) -> Iterator[None]:
        start = time.monotonic()
        with real(self):
            waits.append(time.monotonic() - start)
            yield

    Ledger.alone = alone  # type: ignore[method-assign]
    try:
        yield
    finally:
        Ledger.alone = real  # type: ignore[method-assign]


def run(address: str, folder: Path, processes: int, quotes: int) -> Report:
    """Let the processes work, look at the ledger meanwhile, and check everything afterwards."""
    write_book(folder / "shop book.xlsx", shop_book())
    (folder / "out").mkdir()
    _warm_up(folder)
    start = time.monotonic()
    with multiprocessing.get_context("fork").Pool(processes) as pool:
        work = [Work(address, str(folder), process, quotes) for process in range(processes)]
        going = pool.map_async(serve, work, chunksize=1)
        wrong, checks = _look_meanwhile(going, address, folder)
        done = going.get()
    seconds = time.monotonic() - start
    waits = [wait for of_one, _ in done for wait in of_one]
    wrong += [line for _, failed in done for line in failed]
    with open_ledger(address) as ledger:
        wrong += wrong_with(ledger, folder / "out", processes, quotes)
        entries = len(ledger.entries())
    return Report(
        processes=processes,
        quotes=processes * quotes,
        seconds=round(seconds, 1),
        quotes_a_second=round(processes * quotes / seconds, 2),
        longest_wait=round(max(waits), 2),
        median_wait=round(median(waits), 3),
        entries=entries,
        checks_meanwhile=checks,
        wrong=wrong,
    )


def _warm_up(folder: Path) -> None:
    """Load what the commands need, in a ledger of its own, so that it is not loaded by each process again."""
    with tempfile.TemporaryDirectory(dir=folder) as scratch:
        write_book(Path(scratch) / "shop book.xlsx", shop_book())
        (Path(scratch) / "out").mkdir()
        failed = serve(Work(f"{scratch}/shop ledger.db", scratch, 0, 1))[1]
    if failed:
        raise RuntimeError(failed[0])


def _look_meanwhile(going: Any, address: str, folder: Path) -> tuple[list[str], int]:
    """Check and copy the ledger while it is written; each copy must be a whole ledger that the next goes on from."""
    wrong: list[str] = []
    checks = 0
    while not going.ready():
        going.wait(1 if checks < 3 else 20)
        with open_ledger(address) as ledger:
            wrong += [f"meanwhile: {problem.message}" for problem in check_ledger(ledger).problems]
            copy = folder / f"copy {checks}.db"
            back_up(ledger, copy)
            with open_ledger(copy, as_it_is=True) as backup:
                wrong += [f"copy: {problem.message}" for problem in check_ledger(backup).problems]
                wrong += [f"against copy: {problem.message}" for problem in check_against(ledger, backup)]
        copy.unlink()
        checks += 1
    return wrong, checks


def wrong_with(ledger: Ledger, out: Path, processes: int, quotes: int) -> list[str]:
    """Everything that is lost, doubled, half written or left out; empty where all is as it must be."""
    wrong = [f"{problem.place.cell}: {problem.message}" for problem in check_ledger(ledger).problems]
    entries = ledger.entries()
    count = processes * quotes
    numbers = [entry.number for entry in entries if entry.kind == "issued"]
    if numbers != list(range(1, count + 1)):
        wrong.append(f"numbers of {len(numbers)} issued quotes are not 1 to {count} in order")
    versions = Counter((entry.job, entry.version) for entry in entries if entry.kind == "issued")
    expected = Counter(job_number(process, quote) for process in range(processes) for quote in range(quotes))
    if versions != Counter((name, version) for name, many in expected.items() for version in range(1, many + 1)):
        wrong.append("versions are lost, doubled or left out")
    wrong += _wrong_yeses(ledger, expected)
    wrong += _wrong_documents(ledger, out)
    return wrong


def _wrong_yeses(ledger: Ledger, expected: Counter[str]) -> list[str]:
    """Each job of one process has one yes, to its version; the shared one at least one, none twice for a version."""
    wrong = []
    for name in expected:
        story = ledger.story(name)
        yeses = [told.entry.version for told in story.accepted]
        if len(yeses) != len(set(yeses)) or (name != SHARED and yeses != [1]) or not yeses:
            wrong.append(f"job {name}: yes to versions {yeses}")
        totals = {told.body.agreed.total for told in story.accepted}
        offered = {told.body.offered[0].total for told in story.issued}
        if not totals <= offered:
            wrong.append(f"job {name}: agreed {totals}, offered {offered}")
    return wrong


def _wrong_documents(ledger: Ledger, out: Path) -> list[str]:
    """Each quote has its documents as they were recorded, and nothing else lies in the folder."""
    wrong, known = [], set()
    written = {entry.told(Written).of: entry.told(Written) for entry in ledger.entries(kinds=["written"])}
    for entry in ledger.entries(kinds=["issued"]):
        entry.told(Issued)
        if entry.seq not in written:
            wrong.append(f"entry {entry.seq} was never written out")
            continue
        for document in written[entry.seq].documents:
            known.add(document.name)
            path = out / document.name
            if not path.is_file() or hashlib.sha256(path.read_bytes()).hexdigest() != document.sha256:
                wrong.append(f"{document.name} is not what was recorded")
    for entry in ledger.entries(kinds=["accepted"]):
        entry.told(Accepted)
    wrong += [f"{path.name} stands beside" for path in out.iterdir() if path.name not in known]
    return wrong


def main() -> int:
    """Run it once and print the report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--url", help="the address of an empty database; else a file in a temporary folder")
    parser.add_argument("--postgresql", action="store_true", help="a PostgreSQL server of its own")
    parser.add_argument("--processes", type=int, default=8)
    parser.add_argument("--quotes", type=int, default=200, help="by each process")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="quotekit-many-") as place, contextlib.ExitStack() as stack:
        folder = Path(place)
        address = options.url or str(folder / "shop ledger.db")
        if options.postgresql:
            address = stack.enter_context(running_server(safe=True)).new_database()
        report = run(address, folder, options.processes, options.quotes)
    print(json.dumps(report._asdict(), indent=1))
    return 1 if report.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
