"""The ledger a command works with, and who records what on which day."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quotekit.cli.typed_day import typed_day

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Draft, EntryKind

VARIABLE = "QUOTEKIT_LEDGER"
ENDING = " ledger.db"


class Facts(NamedTuple):
    """Who records, why, and on which day it happened."""

    day: date
    who: str
    why: str

    def draft(
        self, kind: EntryKind, body: object, *, job: str = "", version: int | None = None, number: int | None = None
    ) -> Draft:
        """An entry that is to be made of it; of no job unless one is given."""
        from quotekit.model.entries import Draft

        return Draft(
            kind=kind, job=job, body=body, day=self.day, who=self.who, why=self.why, version=version, number=number
        )


def add_ledger_options(parser: argparse.ArgumentParser, *, records: bool = True) -> None:
    """Options of every command that reads the ledger, and of those that record in it."""
    parser.add_argument(
        "--ledger",
        metavar="PATH_OR_URL",
        help="the ledger: a file, or postgresql://user@server/database "
        f"(default: {VARIABLE}, else the one in the folder)",
    )
    parser.add_argument("--json", action="store_true", help="print the result as one JSON object")
    if records:
        parser.add_argument("--recorded-by", metavar="NAME", default="", help="who records it (default: login name)")
        parser.add_argument("--because", metavar="TEXT", default="", help="why, kept with the record")
        parser.add_argument(
            "--on", metavar="DATE", type=typed_day, help="the day it happened, as 2026-11-25 (default: today)"
        )


def facts_of(options: argparse.Namespace) -> Facts:
    """Who, why and when, as typed or by default."""
    return Facts(day=options.on or date.today(), who=options.recorded_by.strip() or _login_name(), why=options.because)


@contextmanager
def opened_ledger(
    options: argparse.Namespace, beside: Path | None = None, *, book: Path | None = None, create: bool = False
) -> Iterator[Ledger]:
    """The ledger that was named, else the one beside the shop book, else the only one in the folder.

    Raises LedgerFault where there is none, or several, or it can't be used. `create` makes one on first use.
    """
    from quotekit.ledger.open_ledger import open_ledger

    with open_ledger(ledger_address(options.ledger, beside, book=book), create=create) as ledger:
        yield ledger


def ledger_address(named: str | None, beside: Path | None = None, *, book: Path | None = None) -> str | Path:
    """Where the ledger is: as named, by the environment, of the shop book, or the only one of a folder."""
    given = named or os.environ.get(VARIABLE, "").strip()
    if given:
        return given
    if book is not None:
        return book.with_name(f"{book.stem}{ENDING}")
    folders = dict.fromkeys([*([beside] if beside is not None else []), Path()])
    found = [path for folder in folders for path in sorted(folder.glob(f"*{ENDING}"))]
    if len({path.resolve() for path in found}) == 1:
        return found[0]
    from quotekit.ledger.fault import fault

    names = ", ".join(str(path) for path in found)
    message = f"There are several ledgers here: {names}." if found else "There is no ledger in this folder."
    made = "" if found else "`quotekit issue` makes one beside the shop book. "
    remedy = f"{made}Say which one with --ledger, or set {VARIABLE}."
    raise fault(str(beside or Path.cwd()), "which-ledger", message, remedy)


@contextmanager
def ledger_of_book(options: argparse.Namespace, book: Path, *, create: bool) -> Iterator[Ledger | None]:
    """The ledger in which changes of a shop book are recorded: as named, of the book, else the only one of a folder.

    Without `create` there may be none. Raises LedgerFault where there are several, or it can't be used.
    """
    from quotekit.ledger.fault import LedgerFault
    from quotekit.ledger.open_ledger import open_ledger

    try:
        ledger = open_ledger(address_of_book(options, book), create=create)
    except LedgerFault as raised:
        if create or raised.problem.code != "ledger-missing":
            raise
        yield None
        return
    with ledger:
        yield ledger


def address_of_book(options: argparse.Namespace, book: Path) -> str | Path:
    """Where that ledger is, or where the first one is made: beside the shop book."""
    own = book.with_name(f"{book.stem}{ENDING}")
    if options.ledger or os.environ.get(VARIABLE, "").strip():
        return ledger_address(options.ledger, book.parent)
    others = [path for folder in (book.parent, Path()) for path in folder.glob(f"*{ENDING}")]
    return own if own.is_file() or not others else ledger_address(None, book.parent)


def _login_name() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "unknown"
