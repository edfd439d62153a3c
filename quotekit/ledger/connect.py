"""A connection to a ledger's database: SQLite in its safest everyday setting, or PostgreSQL.

SQLite: write-ahead log, every commit on the disk before it counts, foreign keys on. Transactions are begun in so many
words, since the driver's own would leave the making of tables outside.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from quotekit.ledger.address import Address
from quotekit.ledger.fault import fault, in_plain_words

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

WAIT_SECONDS = 10


def connect(address: Address) -> Connection:
    """An open connection. Raises LedgerFault where there can be none."""
    engine = _engine(address)
    with in_plain_words(address.shown):
        return engine.connect()


@contextmanager
def adding(connection: Connection) -> Iterator[Connection]:
    """A transaction that writes: SQLite takes its lock at once, not half way."""
    try:
        with connection.execution_options(begin_with="BEGIN IMMEDIATE").begin():
            yield connection
    finally:
        connection.execution_options(begin_with="BEGIN")


def _engine(address: Address) -> Engine:
    from sqlalchemy import create_engine, event
    from sqlalchemy.pool import NullPool

    if address.kind == "server":
        try:
            import psycopg  # noqa: F401
        except ImportError:
            remedy = "Install it with: pip install 'quotekit[postgresql]'."
            raise fault(address.shown, "ledger-driver", "The driver for PostgreSQL is missing.", remedy) from None
        settings = {name: value for name, value in _patience().items() if name not in address.url.query}
        engine = create_engine(address.url, poolclass=NullPool, connect_args=settings)
        event.listen(engine, "connect", _set_up_server)
        return engine
    engine = create_engine(address.url, poolclass=NullPool, connect_args={"timeout": WAIT_SECONDS})
    event.listen(engine, "connect", _set_up_file)
    event.listen(engine, "begin", _begin_file)
    return engine


def _patience() -> dict[str, int]:
    """A server that went away without a word is noticed within a minute, not within hours."""
    alive = {"keepalives_idle": 10, "keepalives_interval": 5, "keepalives_count": 3}
    return {"connect_timeout": WAIT_SECONDS, "tcp_user_timeout": 30_000, **alive}


def _set_up_server(raw: Any, _: object) -> None:
    raw.execute(f"SET lock_timeout = '{WAIT_SECONDS}s'")
    raw.commit()


def _set_up_file(raw: Any, _: object) -> None:
    raw.isolation_level = None
    for setting in ("foreign_keys = ON", "synchronous = FULL", f"busy_timeout = {WAIT_SECONDS * 1000}"):
        raw.execute(f"PRAGMA {setting}")


def _begin_file(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get("begin_with", "BEGIN"))
