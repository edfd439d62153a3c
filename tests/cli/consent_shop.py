"""A shop with a ledger in which job 117 is issued, and its commands run as a person would; made once, then copied.

Two options: good (Put right) and better (Put right and prevent). BELT-NEW is offered with good and inside better,
BUSHING-OFFER@right with both. The quote is of 2026-11-20 and holds until 2026-12-20. A change adds one-off lines.
"""

from __future__ import annotations

import atexit
import contextlib
import io
import json
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import openpyxl
from openpyxl.workbook import Workbook

from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Entry
from tests.problem_catalogue.workbooks import BOOK, Rows, write
from tests.workbook.returned import job_rows, type_in

_AS_IT_IS: dict[str, dict[str, list[str]]] = {"merge": {}, "hide": {}}
LEDGER, BOOK_FILE, JOB_FILE = "shop ledger.db", "shop book.xlsx", "job 117.xlsx"
RULE = ("10%", "25", "the lesser")
"""Call over percent, over amount, which."""
YES = ("accept", "--job", "117", "--tier", "good", "--by", "phone", "--who", "A. Lindqvist", "--phone", "555 0100",
       "--note", "go ahead", "--on", "2026-11-23", "--at", "14:05")  # fmt: skip


@dataclass(frozen=True)
class Ran:
    """What a command said."""

    code: int
    json: dict[str, Any]
    out: str
    err: str

    @property
    def codes(self) -> list[str]:
        """Codes of its problems."""
        return [problem["code"] for problem in self.json["problems"]]

    @property
    def messages(self) -> str:
        """What its problems say."""
        return "\n".join(f"{problem['message']} {problem['remedy']}" for problem in self.json["problems"])


@dataclass(frozen=True)
class Shop:
    """A folder with a shop book, a job and a ledger."""

    folder: Path

    @property
    def ledger(self) -> Path:
        """Where the ledger is."""
        return self.folder / LEDGER

    def run(self, *words: str | Path) -> Ran:
        """A command with --json and this ledger."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main([*map(str, words), "--ledger", str(self.ledger), "--json"])
        return Ran(code, json.loads(out.getvalue()) if out.getvalue() else {}, out.getvalue(), err.getvalue())

    def say(self, *words: str | Path) -> Ran:
        """A command as a person reads it."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main([*map(str, words), "--ledger", str(self.ledger)])
        return Ran(code, {}, out.getvalue(), err.getvalue())

    def entries(self, *kinds: str) -> list[Entry]:
        """What the ledger holds of some kinds."""
        with open_ledger(self.ledger) as ledger:
            return list(ledger.entries(kinds=kinds))  # type: ignore[arg-type]

    def issue(self, *words: str) -> Ran:
        """Issue the job as it is."""
        return self.run("issue", self.folder / BOOK_FILE, self.folder / JOB_FILE, "--on", "2026-11-20", *words)

    def accept(self, *changes: str) -> Ran:
        """The yes by phone to good, with words put in place of others or added: `--tier better`."""
        words = list(YES)
        for option, value in zip(changes[::2], changes[1::2], strict=True):
            if option in words:
                words[words.index(option) + 1] = value
            else:
                words += [option, value]
        return self.run(*words)

    def revise(self, *words: str | Path, book: str = BOOK_FILE) -> Ran:
        """Hold the job against what was agreed."""
        return self.run("revise", self.folder / book, self.folder / JOB_FILE, "--on", "2026-11-25", *words)

    def change_job(self, *one_off: Sequence[Any], **fields: Any) -> None:
        """Add one-off lines and fields to the job workbook."""
        rows = job_rows()
        rows["One-off"] += [list(line) for line in one_off]
        rows["Job"] += [[name.replace("_", " "), value] for name, value in fields.items()]
        write(self.folder / JOB_FILE, rows, _AS_IT_IS)

    def change_findings(self, *findings: Sequence[Any]) -> None:
        """Add findings to the job workbook."""
        rows = job_rows()
        rows["Findings"] += [list(line) for line in findings]
        write(self.folder / JOB_FILE, rows, _AS_IT_IS)

    def write_book(self, name: str = BOOK_FILE, **cells: Any) -> None:
        """The shop book again, with a labour rate or settings of its own."""
        write(self.folder / name, book_rows(**cells), _AS_IT_IS)

    def returned(self, sent: str, typed: dict[str, object], name: str = "returned.xlsx") -> Path:
        """A document as the customer sends it back, with something typed."""
        book: Workbook = openpyxl.load_workbook(self.folder / sent)
        type_in(book, typed)
        book.save(self.folder / name)
        return self.folder / name


WELDING = ["Weld the bracket", "labour", 0.2, "", "", "", "", "", "", "", ""]
MORE_WELDING = ["Weld the frame", "labour", 1, "", "", "", "", "", "", "", ""]
PLATE = ["Bracket plate", "part", 1, 12.5, "", "", "", "NORTH", 2, "", ""]


def book_rows(rate: float = 82, rule: tuple[str, str, str] = RULE, **settings: Any) -> dict[str, Rows]:
    """The sheets of the shop book."""
    rows = {sheet: [list(row) for row in of_sheet] for sheet, of_sheet in BOOK.items()}
    rows["Labour rates"][1][2] = rate
    known = {
        "Call the customer when over percent": rule[0],
        "Call the customer when over amount": float(rule[1]),
        "Call when over": rule[2],
        **{name.replace("_", " "): value for name, value in settings.items()},
    }
    kept = [row for row in rows["Shop"] if row[0] not in known]
    rows["Shop"] = [*kept, *([name, value] for name, value in known.items())]
    return rows


@cache
def _issued() -> Path:
    folder = Path(mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    shop = Shop(folder)
    shop.write_book()
    shop.change_job()
    ran = shop.issue()
    assert ran.code == 0, ran.err
    return folder


@cache
def _agreed() -> Path:
    folder = Path(mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    shop = copied(_issued(), folder / "shop")
    ran = shop.accept("--extra", "BELT-NEW")
    assert ran.code == 0, ran.err
    return shop.folder


def copied(source: Path, target: Path) -> Shop:
    """A copy of a shop."""
    shutil.copytree(source, target)
    return Shop(target)


def issued_shop(folder: Path) -> Shop:
    """Job 117 is issued."""
    return copied(_issued(), folder / "shop")


def agreed_shop(folder: Path) -> Shop:
    """Job 117 is issued, and good with BELT-NEW agreed to on 2026-11-23."""
    return copied(_agreed(), folder / "shop")
