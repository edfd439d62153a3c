"""One watch of a folder at a time: a lock that ends with the process that holds it, however it ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.problems import Problem

LOCK = ".quotekit watching"


@contextmanager
def watch_lock(folder: Path) -> Iterator[Problem | None]:
    """Hold the folder for as long as the block lasts; where it can't be held, why not."""
    from quotekit.ledger.alone import alone_in_file
    from quotekit.ledger.fault import LedgerFault

    held = alone_in_file(folder / LOCK, patience=0)
    try:
        held.__enter__()
    except LedgerFault as fault:
        yield _refused(folder, fault)
        return
    try:
        yield None
    finally:
        held.__exit__(None, None, None)


def _refused(folder: Path, fault: Exception) -> Problem:
    """The lock's complaint in the words of a watch."""
    from quotekit.ledger.fault import LedgerFault
    from quotekit.problems import Place, error

    place, code = Place(str(folder)), fault.problem.code if isinstance(fault, LedgerFault) else ""
    if code == "ledger-busy":
        return error(place, "watched-already", "Another quotekit is watching this folder.", "End that one first.")
    if code == "ledger-folder":
        message = "This disk can't keep two watches of one folder apart."
        return error(place, "watch-folder", message, "Watch a folder on a disk of this computer.")
    said = getattr(fault.__cause__, "strerror", None) or str(fault)
    message = f"Nothing can be written in this folder, and what is priced is written there: {said}."
    return error(place, "watch-folder", message, "Make the folder writable, or copy the jobs to one that is.")
