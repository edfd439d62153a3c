"""A shop whose ledger holds a season, written without going through every command, and its commands run in process."""

from __future__ import annotations

import atexit
import contextlib
import io
import json
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import openpyxl

from quotekit.cli.main import main
from tests.cli import small_shop
from tests.pricing.review.stories import AJob, a_job, numbered
from tests.review.in_ledger import write_ledger
from tests.review.season import YEAR

LEDGER, BOOK = "shop ledger.db", "shop book.xlsx"
PROPOSALS = f"proposed times {YEAR.last.isoformat()}.xlsx"
REVIEW = f"review {YEAR.first.isoformat()} to {YEAR.last.isoformat()}.xlsx"
DAYS = ("--from", YEAR.first.isoformat(), "--to", YEAR.last.isoformat())


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


def late_season() -> list[AJob]:
    """Twelve jobs whose belt took half as long again, and whose seal took as long as timed; one quote is open."""
    jobs = [
        a_job(
            f"J{n}",
            work="BELTING 0.4; SEALING 0.3",
            hours=f"BELTING {hours}; SEALING 0.3",
            closed_on=YEAR.first + timedelta(days=20 * n),
        )
        for n, hours in enumerate(["0.55", "0.6", "0.65"] * 4, start=1)
    ]
    waiting = a_job("Q1", hours=None, accepted_on=None, issued_on=YEAR.last - timedelta(days=3))
    return [*jobs, waiting]


def a_shop(folder: Path, jobs: Sequence[AJob] | None = None) -> Path:
    """A folder with a shop book and a ledger."""
    small_shop.write_book(folder / BOOK, small_shop.shop_book())
    write_ledger(folder / LEDGER, numbered(late_season() if jobs is None else jobs))
    return folder


@cache
def _reviewed() -> Path:
    folder = Path(mkdtemp())
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    ran = run(a_shop(folder), "review", *DAYS, "--book", folder / BOOK)
    assert ran.code == 0, ran.err
    return folder


def reviewed_shop(folder: Path) -> Path:
    """A shop whose season was reviewed: proposed times lie beside its book."""
    return Path(shutil.copytree(_reviewed(), folder / "shop"))


def run(folder: Path, *words: str | Path) -> Ran:
    """A command with --json and the shop's ledger."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([*map(str, words), "--ledger", str(folder / LEDGER), "--json"])
    return Ran(code, json.loads(out.getvalue()) if out.getvalue() else {}, out.getvalue(), err.getvalue())


def ticked(folder: Path, *codes: str, new: float | None = None, file: str = PROPOSALS) -> Path:
    """The proposals with Yes beside some codes, and a new value typed over where one is given."""
    path = folder / file
    book = openpyxl.load_workbook(path)
    page = book["Proposals"]
    for row in page.iter_rows():
        if row[2].value in codes:
            row[0].value = "Yes"
            row[5].value = row[5].value if new is None else new
    book.save(path)
    return path
