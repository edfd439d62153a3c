"""One command at a time decides and writes: a lock that ends with the process that holds it, however it ends.

A file ledger has a small file beside it that the system locks; a server has a lock of its own for each connection.
Waiting is bounded: then a person is told who holds it up, and nothing was recorded.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.ledger.fault import busy, disk_fault, in_plain_words

if TYPE_CHECKING:
    from sqlalchemy import Connection

PATIENCE = 30.0
"""Seconds."""

_SERVER_LOCK = 7_110_427_251
"""A number of this program's own among the locks of a database."""


@contextmanager
def alone_in_file(path: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the lock beside a file ledger. Raises LedgerFault after the patience."""
    from filelock import FileLock, Timeout

    lock = FileLock(str(path.with_name(f"{path.name}-lock")), timeout=patience, poll_interval=0.01)
    try:
        lock.acquire()
    except Timeout:
        raise busy(str(path), patience) from None
    except OSError as raised:
        raise disk_fault(str(path), raised) from raised
    try:
        yield
    finally:
        lock.release()


@contextmanager
def alone_on_server(connection: Connection, shown: str, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the lock of a database for this connection. Raises LedgerFault after the patience."""
    from sqlalchemy import text

    with in_plain_words(shown), connection.begin():
        connection.execute(text(f"SET LOCAL lock_timeout = '{int(patience * 1000)}ms'"))
        connection.execute(text(f"SELECT pg_advisory_lock({_SERVER_LOCK})"))
    try:
        yield
    finally:
        if not connection.invalidated and not connection.closed:
            with in_plain_words(shown), connection.begin():
                connection.execute(text(f"SELECT pg_advisory_unlock({_SERVER_LOCK})"))
