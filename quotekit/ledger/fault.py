"""What keeps a ledger from being used, as a problem: the library's own words never reach a person."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    from sqlalchemy.exc import SQLAlchemyError


class LedgerFault(Exception):
    """A ledger that can't be used as asked; nothing was recorded by the step that raised it."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def fault(shown: str, code: str, message: str, remedy: str) -> LedgerFault:
    """The exception for a ledger by the name a person knows it by."""
    return LedgerFault(error(Place(shown), code, message, remedy))


@contextmanager
def in_plain_words(shown: str) -> Iterator[None]:
    """Turns what the database library raises into a LedgerFault."""
    from sqlalchemy.exc import SQLAlchemyError

    try:
        yield
    except SQLAlchemyError as raised:
        raise _of(shown, raised) from raised


def busy(shown: str, seconds: float) -> LedgerFault:
    """Another command holds the ledger."""
    message = f"Another command has been using the ledger for more than {seconds:.0f} seconds."
    return fault(shown, "ledger-busy", message, "Wait for it to end and run this again. Nothing was recorded.")


def _of(shown: str, raised: SQLAlchemyError) -> LedgerFault:
    said = " ".join(str(getattr(raised, "orig", None) or raised).split())
    for words, code, message, remedy in _KNOWN:
        if any(word in said.casefold() for word in words):
            return fault(shown, code, message.format(said=said[:200]), remedy)
    remedy = "Run `quotekit ledger check`; if it finds nothing, run this again."
    return fault(shown, "ledger-refused", f"The ledger refused it: {said[:200]}.", remedy)


_AGAIN = "Nothing was recorded by this step: run it again."
_KNOWN: tuple[tuple[tuple[str, ...], str, str, str], ...] = (
    (
        ("database is locked", "lock timeout", "could not obtain lock", "database table is locked"),
        "ledger-busy",
        "Another program is using the ledger and did not let go in time.",
        f"Wait for it to end. {_AGAIN}",
    ),
    (
        ("disk is full", "no space left", "disk i/o error"),
        "ledger-disk",
        "The disk with the ledger is full or does not work.",
        f"Free some space. {_AGAIN}",
    ),
    (
        ("readonly database", "read-only", "permission denied for", "must be owner"),
        "ledger-read-only",
        "The ledger can be read, not written.",
        "Change the permission of its file and folder, or give another ledger with --ledger.",
    ),
    (
        ("unable to open database file",),
        "ledger-folder",
        "The ledger can't be opened or made there.",
        "Check that the folder exists and that you may write in it.",
    ),
    (
        ("file is not a database", "malformed", "file is encrypted"),
        "ledger-damaged",
        "The file is no ledger, or it is damaged.",
        "Check the name; if it is right, put back the latest backup.",
    ),
    (
        ("password authentication failed", "no password supplied", "role ", "does not exist"),
        "ledger-login",
        "The database server refused: {said}.",
        "Check the user, the password and the name of the database in the address.",
    ),
    (
        (
            "connection refused", "could not connect", "connection failed", "server closed", "terminating connection",
            "connection is lost", "connection is closed", "timeout expired", "could not translate", "failed to resolve",
            "connection is bad", "ssl syscall", "the database system is", "consuming input failed",
        ),
        "ledger-gone",
        "The database server does not answer.",
        f"Check that it runs and that the network holds. {_AGAIN}",
    ),
)  # fmt: skip
"""Words of SQLite and PostgreSQL, and what they mean for a person; the first that fits."""


def disk_fault(shown: str, raised: OSError) -> LedgerFault:
    """The disk's complaint about the file beside a ledger that keeps commands apart."""
    if raised.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        words = next(entry for entry in _KNOWN if entry[1] == "ledger-read-only")
    elif raised.errno in (errno.ENOSPC, errno.EDQUOT):
        words = next(entry for entry in _KNOWN if entry[1] == "ledger-disk")
    else:
        words = next(entry for entry in _KNOWN if entry[1] == "ledger-folder")
    return fault(shown, words[1], words[2], words[3])
