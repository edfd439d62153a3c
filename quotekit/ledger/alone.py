"""One command at a time decides and writes: a lock that ends with the process that holds it, however it ends.

A file ledger has a small file beside it that the system locks; a server has a lock of its own for each connection.
Waiting is bounded: then a person is told who holds it up, and nothing was recorded.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.ledger.fault import LedgerFault, busy, disk_fault, fault, in_plain_words

if TYPE_CHECKING:
    from filelock import FileLock
    from sqlalchemy import Connection

PATIENCE = 60.0
"""Seconds: over a hundred quotes of the worked example, one after the other."""

_SERVER_LOCK = 7_110_427_251
"""A number of this program's own among the locks of a database."""


@contextmanager
def alone_in_file(path: Path, patience: float | None = None) -> Iterator[None]:
    """Hold the lock beside a file ledger. Raises LedgerFault after the patience."""
    from filelock import Timeout

    patience = PATIENCE if patience is None else patience
    lock, start = _lock_beside(path), time.monotonic()
    try:
        while True:
            with suppress(Timeout):
                lock.acquire()
                break
            waited = time.monotonic() - start
            if waited >= patience:
                raise busy(str(path), patience)
            time.sleep(min(next_try(waited), patience - waited))
    except (OSError, NotImplementedError) as raised:
        raise _no_lock(path, raised) from raised
    try:
        yield
    finally:
        lock.release()


def _lock_beside(path: Path) -> FileLock:
    """The system's lock of the file beside a ledger, the same for who comes by a link; never one of another kind."""
    import inspect

    from filelock import FileLock

    real = path.resolve()
    known = inspect.signature(FileLock.__init__).parameters
    settings: dict[str, Any] = {"fallback_to_soft": False} if "fallback_to_soft" in known else {}
    return FileLock(str(real.with_name(f"{real.name}-lock")), timeout=0, **settings)


def _no_lock(path: Path, raised: OSError | NotImplementedError) -> LedgerFault:
    """A disk without locks, as some on a network, or one that refuses."""
    without = (errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL)
    if isinstance(raised, OSError) and raised.errno not in without:
        return disk_fault(str(path), raised)
    remedy = "Keep the ledger on a disk of this computer, or on a database server."
    return fault(str(path), "ledger-folder", "This disk can't keep two commands apart.", remedy)


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
