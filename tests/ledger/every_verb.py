"""Every command that records or reads, while the disk or the database fails it at one of its steps.

    python -m tests.ledger.every_verb [--steps 6] [--seed 1] [--on file|server|both] [--verbs issue,pay]

lives the worked example through every verb once, on a file and on a server, and keeps what the shop looked like before
each command. Then each command runs again and again from there, in a child process, with a fault at a drawn step:

disk      the system refuses to open, make or rename a file, as a full or a read-only disk does
size      no file may grow beyond a limit, so that SQLite itself is refused in the middle of a transaction
server    the server ends the connection before or after a statement, or while it is asked to keep

Each time: the command ends with 3 and one clear problem (or the fault was of no account, and it ends as usual); no
traceback, no password; the ledger's check finds nothing; of what it records the first entries are there, or none; run
again it ends well with the entries and the documents of an undisturbed run. It prints what is wrong and ends with 1.
"""

from __future__ import annotations

import argparse
import contextlib
import errno
import importlib.util
import json
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, NamedTuple

from quotekit.cli.main import main as quotekit
from quotekit.ledger.check import check_ledger
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.changed_file import Unchanged
from quotekit.model.entries import Entry
from tests.ledger import killed
from tests.ledger.postgres import Server, running_server

ROOT = Path(__file__).parents[2]
SECRET = "q8-Zeta-41x"
BOOK = "shop book.xlsx"
MOST = 3
"""Times that a verb of the story is tried."""


class Step(NamedTuple):
    """A command of the story; `before` is done by hand just before it."""

    words: tuple[str, ...]
    before: Callable[[Path], None] | None = None

    @property
    def verb(self) -> str:
        """The command's first word."""
        return self.words[0]


def _yes(job: str, *more: str) -> tuple[str, ...]:
    who = ("--by", "phone", "--who", "Dale Okafor", "--phone", "555-0188", "--note", "yes", "--at", "2026-11-20 13:30")
    return ("accept", "--job", job, *more, *who)


def _example() -> Any:
    """The life of the worked example, as the examples tell it: its helpers type into workbooks."""
    spec = importlib.util.spec_from_file_location("whole_life", ROOT / "examples" / "whole_life.py")
    if spec is None or spec.loader is None:
        raise FileNotFoundError("examples/whole_life.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _one_more(folder: Path) -> None:
    life = _example()
    finding = {"Finding": "BELT-AUGER-BAD", "Note": "Seen once the cover was off"}
    life.Shop(folder).add_row(life.JOBS["2611-02"], "Findings", finding)


def _story() -> list[Step]:
    files = _example().JOBS
    return [
        *(Step(("issue", BOOK, files[job], "--on", "2026-11-10")) for job in ("2611-02", "2611-03", "2611-05")),
        Step(("issue", BOOK, files["2611-06"], "--on", "2026-11-10")),
        Step(_yes("2611-02", "--tier", "good")),
        Step(_yes("2611-03", "--tier", "good")),
        Step(_yes("2611-05", "--tier", "best")),
        Step(("decline", "2611-06", "--reason", "price", "--on", "2026-11-18")),
        Step(("pay", "2611-02", "100", "--how", "card", "--on", "2026-11-18")),
        Step(("order", "2611-02", "2611-03", "--on", "2026-11-18")),
        Step(("receive", "1", "--all", "--on", "2026-11-20")),
        Step(("shelf", "--put", "BELT-AUGER", "4", "--cost", "3.20", "--on", "2026-11-20")),
        Step(("revise", BOOK, files["2611-02"], "--on", "2026-11-20"), _one_more),
        Step(_yes("2611-02")),
        Step(("work-order", "2611-02", "--on", "2026-11-24")),
        Step(("clock", "2611-03", "--hours", "2.5", "--person", "Ann", "--on", "2026-11-25")),
        Step(("close", "2611-03", "--on", "2026-11-25")),
        Step(("bill", "2611-03", "--on", "2026-11-27")),
        Step(("comeback", "2611-05", "--of", "2611-03", "--cause", "workmanship", "--on", "2026-11-28")),
        Step(("jobs",)),
        Step(("review", "--from", "2026-11-01", "--to", "2026-11-30", "--book", BOOK, "--out", "reviews")),
        Step(("ledger", "check")),
        Step(("ledger", "backup", "copy.db")),
        Step(("ledger", "export", "everything")),
    ]


def _season(folder: Path, address: str) -> list[Step]:
    """Another shop, whose season proposes a time: what is left is to take it over."""
    from tests.cli import season_shop, small_shop
    from tests.pricing.review.stories import numbered
    from tests.review.in_ledger import write_ledger

    small_shop.write_book(folder / season_shop.BOOK, small_shop.shop_book())
    write_ledger(address, numbered(season_shop.late_season()))  # type: ignore[arg-type]
    _run(folder, ("review", *season_shop.DAYS, "--book", BOOK, "--out", ".", "--ledger", address))
    season_shop.ticked(folder, "BELTING")
    over = ("take-over", season_shop.PROPOSALS, season_shop.BOOK, "--on", "2026-11-28")
    return [
        Step(over),
        Step((*over, "--in-place")),
        Step(("take-over", "--undo", season_shop.BOOK, "--on", "2026-11-28")),
    ]


def _run(folder: Path, words: Sequence[str]) -> int:
    """A command in a folder, in silence."""
    with contextlib.chdir(folder):
        return killed.run(words)


class Place:
    """Where a ledger and its shop are, kept before each command and put back."""

    def __init__(self, folder: Path, server: Server | None) -> None:
        self.folder, self.server = folder / "shop", server
        self._kept, self._count = folder / "kept", 0
        self.folder.mkdir(parents=True)
        self._kept.mkdir()
        self.address = "shop book ledger.db"
        if server is not None:
            self._sql(f"DROP DATABASE IF EXISTS work_{os.getpid()} WITH (FORCE)", f"CREATE DATABASE work_{os.getpid()}")
            self.address = server.url(f"work_{os.getpid()}", password=SECRET)

    def keep(self) -> int:
        """Keep what there is; its number."""
        self._count += 1
        shutil.copytree(self.folder, self._kept / str(self._count))
        if self.server is not None:
            name = f"kept_{os.getpid()}_{self._count}"
            self._sql(f"DROP DATABASE IF EXISTS {name}", f"CREATE DATABASE {name} TEMPLATE work_{os.getpid()}")
        return self._count

    def put_back(self, number: int) -> None:
        """What there was."""
        shutil.rmtree(self.folder)
        shutil.copytree(self._kept / str(number), self.folder)
        if self.server is not None:
            work, name = f"work_{os.getpid()}", f"kept_{os.getpid()}_{number}"
            self._sql(f"DROP DATABASE {work} WITH (FORCE)", f"CREATE DATABASE {work} TEMPLATE {name}")

    def entries(self) -> list[Entry]:
        """Everything that is recorded."""
        with contextlib.chdir(self.folder):
            if self.server is None and not Path(self.address).exists():
                return []
            with open_ledger(self.address) as ledger:
                return ledger.entries()

    def wrong(self) -> list[str]:
        """What the check of the ledger finds."""
        with contextlib.chdir(self.folder):
            if self.server is None and not Path(self.address).exists():
                return []
            with open_ledger(self.address) as ledger:
                return [f"check: {one.place.cell}: {one.message}" for one in check_ledger(ledger).problems]

    def documents(self) -> set[str]:
        """Names of what is in the folder, with hidden ones, without the ledger's own files."""
        own = Path("shop book ledger.db").name
        found = (path.relative_to(self.folder).as_posix() for path in self.folder.rglob("*"))
        return {name for name in found if not name.startswith(own)}

    def end_connections(self) -> None:
        """As an administrator, or a router, would."""
        if self.server is not None:
            self._sql(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'work_{os.getppid()}'")

    def _sql(self, *statements: str) -> None:
        import psycopg

        if self.server is None:
            return
        with psycopg.connect(self.server.url("postgres", password=SECRET), autocommit=True) as connection:
            for statement in statements:
                connection.execute(statement)  # type: ignore[arg-type]


class Said(NamedTuple):
    """How a command in a child ended."""

    code: int
    out: str
    err: str


def in_child(place: Place, words: Sequence[str], prepare: Callable[[], None]) -> Said:
    """Run a command in a child process; its screen is a pipe, which no disk can fail."""
    (read_out, out), (read_err, err) = os.pipe(), os.pipe()
    process = os.fork()
    if not process:
        code = 70
        try:
            os.chdir(place.folder)
            os.dup2(out, 1)
            os.dup2(err, 2)
            sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
            sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
            prepare()
            code = quotekit([*words, "--ledger", place.address, "--json"])
            sys.stdout.flush()
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(code)
    os.close(out)
    os.close(err)
    with ThreadPoolExecutor() as pool:
        texts = pool.map(_all_of, (read_out, read_err))
        said_out, said_err = texts
    _, status = os.waitpid(process, 0)
    return Said(os.waitstatus_to_exitcode(status), said_out, said_err)


def _all_of(pipe: int) -> str:
    with os.fdopen(pipe, encoding="utf-8", errors="replace") as file:
        return file.read()


def _refuse_at(step: int, number: int) -> Callable[[], None]:
    """The system refuses the step-th of its dealings with files."""

    def at(done: int) -> None:
        if done == step:
            raise OSError(number, os.strerror(number), "a file")

    return lambda: _audit(at)


def _audit(each: Callable[[int], None]) -> None:
    done = 0

    def hook(event: str, told: tuple[object, ...]) -> None:
        nonlocal done
        if event in killed.WATCHED and event != "shutil.rmtree" and (event != "open" or killed._to_write(told[2])):
            done += 1
            each(done)

    sys.addaudithook(hook)


def _limit(size: int) -> Callable[[], None]:
    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    return limit


def _listen(each: Callable[[int], None]) -> None:
    from sqlalchemy import event
    from sqlalchemy.engine import Engine

    done = 0

    def step(*_: object) -> None:
        nonlocal done
        done += 1
        each(done)

    for moment in ("before_cursor_execute", "after_cursor_execute", "commit"):
        event.listen(Engine, moment, step)


def _cut_at(place: Place, step: int) -> Callable[[], None]:
    """The server ends the connection at the step-th dealing with it, once."""
    return lambda: _listen(lambda done: place.end_connections() if done == step else None)


def _steps(place: Place, words: Sequence[str], count: Callable[[Callable[[int], None]], None]) -> int:
    """How many steps a command has."""
    reading, writing = os.pipe()
    in_child(place, words, lambda: count(lambda _: os.write(writing, b".") and None))
    os.close(writing)
    with os.fdopen(reading, "rb") as told:
        return len(told.read())


class Reference(NamedTuple):
    """What an undisturbed run leaves."""

    kinds: tuple[str, ...]
    documents: set[str]


def _faults(place: Place, number: int, step: Step, wanted: int, draw: random.Random) -> Iterator[tuple[str, Any]]:
    """Faults at drawn steps of a command, the last third of them more often."""
    if place.server is not None:
        steps = _steps(place, step.words, _listen)
        place.put_back(number)
        yield from ((f"server, step {at} of {steps}", _cut_at(place, at)) for at in _drawn(steps, wanted, draw))
        return
    steps = _steps(place, step.words, _audit)
    place.put_back(number)
    for at in _drawn(steps, wanted, draw):
        refusal = draw.choice((errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO))
        yield f"disk, step {at} of {steps}, {errno.errorcode[refusal]}", _refuse_at(at, refusal)
    for size in sorted({0, *(draw.randrange(1, 60) * 1024 for _ in range(wanted // 2))}):
        yield f"size, {size} bytes", _limit(size)


def _drawn(steps: int, wanted: int, draw: random.Random) -> list[int]:
    late = [draw.randint(steps * 2 // 3 + 1, steps) for _ in range(wanted // 2)] if steps > 1 else []
    early = [draw.randint(1, steps) for _ in range(wanted - len(late))] if steps else []
    return sorted({*early, *late})


def wrong_with(place: Place, step: Step, reference: Reference, prepare: Callable[[], None]) -> list[str]:
    """Run a command with a fault and again without: what may not be."""
    before = place.entries()
    said = in_child(place, step.words, prepare)
    wrong = [] if said.code in (0, 3) else [f"it ended with {said.code}: {said.err[-300:]}"]
    wrong += [
        f"{word} is shown" for word in ("Traceback", "sqlalche.me", SECRET, "psycopg.") if word in said.out + said.err
    ]
    problems = []
    if said.code == 3:
        with contextlib.suppress(ValueError):
            problems = [one for one in json.loads(said.out)["problems"] if one["severity"] == "error"]
        if not said.out.strip():
            wrong.append("no JSON")
        elif not problems or not all(one["message"] and one["remedy"] for one in problems):
            wrong.append(f"no clear problem: {said.out[-300:]}")
        wrong += [
            f"{one['code']}: {one['message']}"
            for one in problems
            if one["code"] in ("quotekit-fault", "ledger-refused")
        ]
    wrong += place.wrong()
    after = place.entries()
    kinds = _kinds(after[len(before) :])
    if after[: len(before)] != before or kinds != reference.kinds[: len(kinds)]:
        wrong.append(f"recorded {kinds}, not a beginning of {reference.kinds}")
    if said.code == 0 and kinds != reference.kinds:
        wrong.append(f"it ended with 0 and recorded {kinds}")
    text = " ".join(one["message"] + one["remedy"] for one in problems)
    whole = bool(reference.kinds) and kinds == reference.kinds
    if whole and said.code == 3 and not any(word in text for word in ("may have been", "may be, or", "It is recorded")):
        wrong.append(f"all is recorded, and it says: {text}")
    if kinds and "Nothing was recorded" in text:
        wrong.append(f"{kinds} is recorded, and it says: {text}")
    if said.code == 3 and not (whole and step.verb != "issue"):
        wrong += _wrong_again(place, step, reference, len(before))
    return [f"{line} [{said.err.strip()[:200]}]" for line in wrong]


def _kinds(entries: Sequence[Entry]) -> tuple[str, ...]:
    """Kinds of entries; a change that was begun and is told never to have been made is none."""
    never = {one.told(Unchanged).of for one in entries if one.kind == "unchanged"}
    return tuple(one.kind for one in entries if one.kind != "unchanged" and one.seq not in never)


def _wrong_again(place: Place, step: Step, reference: Reference, before: int) -> list[str]:
    again = in_child(place, step.words, lambda: None)
    if again.code:
        return [f"run again it ended with {again.code}: {again.err[-300:]}"]
    wrong = [f"afterwards, {line}" for line in place.wrong()]
    kinds = _kinds(place.entries()[before:])
    if kinds != reference.kinds:
        wrong.append(f"run again there is {kinds}, not {reference.kinds}")
    if place.documents() != reference.documents:
        wrong.append(f"run again the documents differ: {sorted(place.documents() ^ reference.documents)}")
    return wrong


def live(place: Place, story: Sequence[Step], options: argparse.Namespace, told: Counter[str]) -> Iterator[str]:
    """Each command with faults, then once undisturbed: what is wrong."""
    draw = random.Random(options.seed)
    where = "server" if place.server is not None else "file"
    tried: Counter[str] = Counter()
    for step in story:
        if step.before is not None:
            step.before(place.folder)
        number, before = place.keep(), len(place.entries())
        said = in_child(place, step.words, lambda: None)
        if said.code:
            yield f"{where}, {step.words}: undisturbed it ended with {said.code}: {said.err[-500:]}"
            return
        new = tuple(entry.kind for entry in place.entries()[before:])
        reference = Reference(new, place.documents())
        tried[step.verb] += 1
        if tried[step.verb] > MOST or (options.verbs and step.verb not in options.verbs.split(",")):
            continue
        done = place.keep()
        place.put_back(number)
        for name, fault in _faults(place, number, step, options.steps, draw):
            place.put_back(number)
            told[step.verb] += 1
            yield from (f"{where}, {step.verb}, {name}: {line}" for line in wrong_with(place, step, reference, fault))
        place.put_back(done)


def main() -> int:
    """Live the story on both databases and print what is wrong."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--steps", type=int, default=6, help="faults of a kind for each command")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--on", choices=("file", "server", "both"), default="both")
    parser.add_argument("--verbs", default="", help="only these, with commas between")
    options = parser.parse_args()
    told: Counter[str] = Counter()
    count = 0
    with tempfile.TemporaryDirectory(prefix="quotekit-every-") as folder, contextlib.ExitStack() as stack:
        servers: list[Server | None] = [None] if options.on != "server" else []
        if options.on != "file":
            running = stack.enter_context(running_server(safe=True))
            _change_password(running)
            servers.append(running)
        (Path(folder) / "temporary").mkdir()
        tempfile.tempdir = str(Path(folder) / "temporary")
        for server in servers:
            for which in ("life", "season"):
                place = Place(Path(folder) / f"{which} {server is not None}", server)
                if which == "life":
                    shutil.rmtree(place.folder)
                    killed.run(["new", str(place.folder), "--demo"])
                steps = _story() if which == "life" else _season(place.folder, _whole(place))
                for line in live(place, steps, options, told):
                    count += 1
                    print(line, flush=True)
    print(json.dumps({"faults": told.total(), "commands": dict(told), "wrong": count}))
    return 1 if count else 0


def _whole(place: Place) -> str:
    return place.address if place.server is not None else str(place.folder / place.address)


def _change_password(server: Server) -> None:
    import psycopg

    with psycopg.connect(server.url("postgres"), autocommit=True) as connection:
        connection.execute(f"ALTER USER quotekit PASSWORD '{SECRET}'")  # type: ignore[arg-type]


if __name__ == "__main__":
    sys.exit(main())
