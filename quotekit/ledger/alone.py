"""One command at a time decides and writes: a lock that ends with the process that holds it, however it ends.

A file ledger has a small file beside it that the system locks; a server has a lock of its own for each connection.
Waiting is bounded: then a person is told who holds it up, and nothing was recorded.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.ledger.fault import LedgerFault, busy, disk_fault, fault, in_plain_words

if TYPE_CHECKING:
    from sqlalchemy import Connection

PATIENCE = 60.0
"""Seconds: over a hundred quotes of the worked example, one after the other."""

_SERVER_LOCK = 7_110_427_251
"""A number of this program's own among the locks of a database."""


@contextmanager
def alone_in_file(path: Path, patience: float | None = None) -> Iterator[None]:
    """Hold the lock beside a file ledger. Raises LedgerFault after the patience."""
    from filelock import FileLock, Timeout

    patience = PATIENCE if patience is None else patience
    lock, start = FileLock(str(path.with_name(f"{path.name}-lock")), timeout=0), time.monotonic()
    try:
        while True:
            with suppress(Timeout):
                lock.acquire()
                break
            waited = time.monotonic() - start
            if waited >= patience:
                raise busy(str(path), patience)
            time.sleep(min(next_try(waited), patience - waited))
    except OSError as raised:
        raise disk_fault(str(path), raised) from raised
    except NotImplementedError:
        remedy = "Keep the ledger on a disk of this computer, or on a database server."
        raise fault(str(path), "ledger-folder", "This disk can't keep two commands apart.", remedy) from None
    try:
        yield
    finally:
        lock.release()


def next_try(waited: float) -> float:
    """Seconds until the lock of a file is asked for again: who has waited longer asks more often, so none starves.

    >>> next_try(0), next_try(9)
    (0.1, 0.01)
    """
    return max(0.1 / (1 + waited), 0.002)


@contextmanager
def alone_on_server(connection: Connection, shown: str, patience: float | None = None) -> Iterator[None]:
    """Hold the lock of a database for this connection. Raises LedgerFault after the patience."""
    from sqlalchemy import text

    patience = PATIENCE if patience is None else patience
    with in_plain_words(shown), connection.begin():
        connection.execute(text(f"SET LOCAL lock_timeout = '{int(patience * 1000)}ms'"))
        connection.execute(text(f"SELECT pg_advisory_lock({_SERVER_LOCK})"))
    try:
        yield
    finally:
        if not connection.invalidated and not connection.closed:
            # a connection that can't even let go is gone, and its lock with it: what was recorded stays recorded
            with suppress(LedgerFault), in_plain_words(shown), connection.begin():
                connection.execute(text(f"SELECT pg_advisory_unlock({_SERVER_LOCK})"))
