"""A command killed at any moment, and what must hold afterwards.

    python -m tests.ledger.killed N SEED [--postgresql]

A child process issues, accepts or closes, as a person would, and is killed with SIGKILL: by the clock, after a time
drawn from how long the command takes, or by its own steps, at the moment of one drawn from all files it writes, renames
or removes and all it says to the database, the last third of them more often. A command that ended before the signal
came does not count; N were killed.
After each kill: the check of the ledger finds nothing; every document of a recorded entry is whole, and none is there
without its entry; the same command run again ends well, finishes what was recorded with no second number, and leaves
no hidden folder behind. It prints one JSON object and ends with 1 where anything else was seen.
"""

from __future__ import annotations

import argparse
import contextlib
import hashlib
import json
import os
import random
import signal
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from quotekit.cli.main import main as quotekit
from quotekit.ledger.check import check_ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Entry, Written
from tests.cli.small_shop import job, shop_book, write_book
from tests.ledger.many_writers import YES
from tests.ledger.postgres import running_server

WATCHED = ("open", "os.rename", "os.mkdir", "os.rmdir", "os.remove", "shutil.rmtree", "sqlite3.connect")
"""What Python tells of a process's dealings with the disk; what it says to the database is counted beside."""


BEFORE = {"issue": (), "accept": ("issue",), "close": ("issue", "accept", "clock")}
"""The commands that can be killed, and what comes before each."""

RECORDS = {"issue": "issued", "accept": "accepted", "close": "closed"}


class Report(NamedTuple):
    """How many commands were killed, what they had done by then, and what is wrong."""

    killed: int
    ended_before: int
    commands: dict[str, int]
    moments: dict[str, int]
    wrong: list[str]


class Shop:
    """A shop with a ledger, whose commands can be killed."""

    def __init__(self, address: str, folder: Path) -> None:
        self.address, self.folder, self.out = address, folder, folder / "out"
        self.out.mkdir()
        (folder / "temporary").mkdir()
        self.book = write_book(folder / "shop book.xlsx", shop_book())
        self.job, self.count = "", 0
        self.workbook = self.new_job()

    def new_job(self) -> Path:
        """The workbook of the next job."""
        self.count += 1
        self.job = f"K-{self.count}"
        sheets = job()
        sheets["Job"][1] = ["Job number", self.job]
        self.workbook = write_book(self.folder / "job.xlsx", sheets)
        return self.workbook

    def words(self, verb: str) -> list[str]:
        """The command as a person types it."""
        rest: dict[str, tuple[str, ...]] = {
            "issue": (str(self.book), str(self.workbook), "--out", str(self.out)),
            "accept": ("--job", self.job, *YES),
            "clock": (self.job, "--hours", "1.5", "--person", "Ann"),
            "close": (self.job,),
        }
        return [verb, *rest[verb], "--ledger", self.address]

    def prepare(self, verb: str) -> None:
        """A new job, with all that comes before a command. Raises RuntimeError where that fails."""
        self.new_job()
        for before in BEFORE[verb]:
            if run(self.words(before)):
                raise RuntimeError(f"{before} failed before {verb}")

    def entries(self) -> list[Entry]:
        """Everything that is recorded."""
        with open_ledger(self.address) as ledger:
            return ledger.entries()


def run(words: Sequence[str], quiet: bool = True) -> int:
    """A command in this process, in silence."""
    with open(os.devnull, "w", encoding="utf-8") as nowhere, contextlib.ExitStack() as stack:
        if quiet:
            stack.enter_context(contextlib.redirect_stdout(nowhere))
            stack.enter_context(contextlib.redirect_stderr(nowhere))
        return quotekit(list(words))


def child(words: Sequence[str], prepare: Callable[[], None] = lambda: None) -> int:
    """A child process that runs a command as a program of its own would, and its process number."""
    process = os.fork()
    if process:
        return process
    code = 70
    try:
        prepare()
        code = run(words)
    finally:
        os._exit(code)


def ended(process: int) -> bool:
    """Wait for a child; whether it ended by itself, not by the signal."""
    _, status = os.waitpid(process, 0)
    return not os.WIFSIGNALED(status)


def kill_by_clock(words: Sequence[str], seconds: float) -> bool:
    """Kill a command after a time; False where it had ended."""
    process = child(words)
    time.sleep(seconds)
    os.kill(process, signal.SIGKILL)
    return not ended(process)


def kill_at_step(words: Sequence[str], step: int) -> bool:
    """Kill a command at one of its own steps; False where it has fewer."""
    return not ended(child(words, lambda: _count_steps(lambda done: done == step and _die())))


def steps_of(words: Sequence[str]) -> int:
    """How many steps a command has."""
    reading, writing = os.pipe()
    os.set_inheritable(writing, True)

    def count() -> None:
        _count_steps(lambda done: os.write(writing, b"."))

    process = child(words, count)
    os.close(writing)
    steps = 0
    with os.fdopen(reading, "rb") as told:
        steps = len(told.read())
    if not ended(process):
        raise RuntimeError("the command did not end by itself")
    return steps


def _die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def _count_steps(each: Callable[[int], object]) -> None:
    """Call with 1, 2, 3 and on as the command deals with the disk and the database."""
    done = 0

    def step(*_: object) -> None:
        nonlocal done
        done += 1
        each(done)

    def audit(event: str, told: tuple[object, ...]) -> None:
        if event in WATCHED and (event != "open" or _to_write(told[2])):
            step()

    from sqlalchemy import event
    from sqlalchemy.engine import Engine

    for moment in ("before_cursor_execute", "after_cursor_execute", "begin", "commit", "rollback"):
        event.listen(Engine, moment, step)
    sys.addaudithook(audit)


def _to_write(flags: object) -> bool:
    return isinstance(flags, int) and bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))


def wrong_after_kill(shop: Shop) -> list[str]:
    """What may not be, whenever a command was killed."""
    with open_ledger(shop.address) as ledger:
        wrong = [f"check: {problem.place.cell}: {problem.message}" for problem in check_ledger(ledger).problems]
        entries = ledger.entries()
    recorded = {f"{entry.job}-{entry.version}" for entry in entries if entry.kind == "issued"}
    digests = {one.name: one.sha256 for one in _documents(entries)}
    for path in shop.out.glob("*.xlsx"):
        if path.name.rpartition(" ")[0] not in recorded:
            wrong.append(f"{path.name} is there without an entry")
        if not _whole(path):
            wrong.append(f"{path.name} is half a document")
        if path.name in digests and digests[path.name] != hashlib.sha256(path.read_bytes()).hexdigest():
            wrong.append(f"{path.name} is not what was recorded")
    wrong += [f"{name} is missing, though recorded as written" for name in digests if not (shop.out / name).is_file()]
    return wrong


def _documents(entries: Sequence[Entry]) -> list[NamedTuple]:
    return [one for entry in entries if entry.kind == "written" for one in entry.told(Written).documents]  # type: ignore[misc]


def _whole(path: Path) -> bool:
    try:
        with zipfile.ZipFile(path) as package:
            return package.testzip() is None
    except zipfile.BadZipFile:
        return False


def moment_of(before: Sequence[Entry], after: Sequence[Entry], shop: Shop) -> str:
    """What a killed command had done."""
    kinds = [entry.kind for entry in after[len(before) :]]
    if not kinds:
        return "nothing recorded"
    if kinds[0] == "issued" and len(kinds) == 1:
        stem = f"{after[-1].job}-{after[-1].version} "
        there = len([path for path in shop.out.iterdir() if path.name.startswith(stem)])
        return f"recorded, {there} of 2 documents"
    return "all recorded"


def wrong_when_repeated(shop: Shop, verb: str, before: Sequence[Entry], after: Sequence[Entry]) -> list[str]:
    """What may not be after the same command was run again."""
    code = run(shop.words(verb))
    wrong = [] if code == 0 else [f"{verb} run again ended with {code}"]
    now = shop.entries()
    unfinished = [entry.kind for entry in after[len(before) :]] == ["issued"]
    if verb == "issue":
        fresh = [entry for entry in now if entry.kind == "issued" and entry.seq > len(before)]
        finished = verb == "issue" and len(after) > len(before) and not unfinished
        if len(fresh) != (2 if finished else 1):
            wrong.append(f"{len(fresh)} versions after the command was run again")
        if unfinished and (now[-1].kind, len(now)) != ("written", len(after) + 1):
            wrong.append("what was recorded was not finished")
    elif sum(entry.kind == RECORDS[verb] and entry.job == shop.job for entry in now) != 1:
        wrong.append(f"it is not {RECORDS[verb]} once")
    wrong += wrong_after_kill(shop)
    for folder in (shop.out, shop.folder, Path(tempfile.gettempdir())):
        wrong += [f"{path.name} was left behind" for path in folder.glob(".quotekit-*")]
    wrong += [f"{path.name} was left behind" for path in Path(tempfile.gettempdir()).iterdir()]
    return wrong


def one_round(shop: Shop, verb: str, kill: Callable[[list[str]], bool]) -> tuple[bool, str, list[str]]:
    """Kill one command and run it again: whether it was killed, what it had done, what is wrong."""
    shop.prepare(verb)
    before = shop.entries()
    killed = kill(shop.words(verb))
    after = shop.entries()
    moment = moment_of(before, after, shop)
    wrong = wrong_after_kill(shop)
    wrong += wrong_when_repeated(shop, verb, before, after) if killed else []
    return killed, moment, wrong


def kill_many(address: str, folder: Path, kills: int, seed: int, verbs: Sequence[str] = tuple(BEFORE)) -> Report:
    """Kill commands until so many were killed."""
    draw = random.Random(seed)
    shop = Shop(address, folder)
    usual = tempfile.tempdir
    tempfile.tempdir = str(folder / "temporary")
    try:
        costs = {verb: _cost_of(shop, verb) for verb in verbs}
        commands: Counter[str] = Counter()
        moments: Counter[str] = Counter()
        wrong: list[str] = []
        ended_before = 0
        while commands.total() < kills:
            verb = draw.choice(list(verbs))
            kill = _draw_kill(draw, *costs[verb])
            killed, moment, found = one_round(shop, verb, kill)
            wrong += [f"kill {commands.total() + 1}, {verb}, {moment}: {line}" for line in found]
            ended_before += not killed
            commands[verb] += killed
            moments[f"{verb}: {moment}"] += killed
    finally:
        tempfile.tempdir = usual
    return Report(commands.total(), ended_before, dict(commands), dict(sorted(moments.items())), wrong)


def _draw_kill(draw: random.Random, seconds: float, steps: int) -> Callable[[list[str]], bool]:
    if draw.random() < 0.5:
        after = draw.uniform(0, seconds * 1.1)
        return lambda words: kill_by_clock(words, after)
    first = 1 if draw.random() < 0.5 else steps * 2 // 3
    step = draw.randint(first, steps)
    return lambda words: kill_at_step(words, step)


def _cost_of(shop: Shop, verb: str) -> tuple[float, int]:
    """How long a command takes in a child, and its steps; all that it loads is loaded before."""
    shop.prepare(verb)
    run(shop.words(verb))
    shop.prepare(verb)
    start = time.monotonic()
    ended(child(shop.words(verb)))
    seconds = time.monotonic() - start
    shop.prepare(verb)
    return seconds, steps_of(shop.words(verb))


def main() -> int:
    """Kill N commands and print the report."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("kills", metavar="N", type=int)
    parser.add_argument("seed", metavar="SEED", type=int)
    parser.add_argument("--postgresql", action="store_true", help="on a PostgreSQL server of its own")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="quotekit-killed-") as place, contextlib.ExitStack() as stack:
        folder = Path(place)
        address = str(folder / "shop ledger.db")
        if options.postgresql:
            address = stack.enter_context(running_server(safe=True)).new_database()
        report = kill_many(address, folder, options.kills, options.seed)
    print(json.dumps(report._asdict(), indent=1))
    return 1 if report.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
