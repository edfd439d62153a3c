"""Changes made in a ledger behind quotekit's back, by somebody who may do anything with the database."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from typing import Any

Execute = Callable[..., Any]
"""A statement and its values, `?` for each."""

_TABLES = ("entries", "files", "entry_files")


@contextmanager
def changing(address: str) -> Iterator[Execute]:
    """Statements run with what forbids changes taken off, and put on again afterwards."""
    opened = _in_server(address) if "://" in address else _in_file(address)
    with opened as execute:
        yield execute


def change(address: str, *statements: str) -> None:
    """Run statements by hand."""
    with changing(address) as execute:
        for statement in statements:
            execute(statement)


@contextmanager
def _in_file(path: str) -> Iterator[Execute]:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        guards = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        yield connection.execute
        for _, sql in guards:
            connection.execute(sql)


@contextmanager
def _in_server(address: str) -> Iterator[Execute]:
    import psycopg

    with psycopg.connect(address, autocommit=True) as connection:
        for table in _TABLES:
            connection.execute(f"ALTER TABLE {table} DISABLE TRIGGER ALL")  # type: ignore[arg-type]
        yield lambda statement, *values: connection.execute(statement.replace("?", "%s"), *values)
        for table in _TABLES:
            connection.execute(f"ALTER TABLE {table} ENABLE TRIGGER ALL")  # type: ignore[arg-type]
