"""A copy of a ledger while it is in use: a file that is a ledger itself, whatever the ledger is kept in."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.ledger.fault import disk_fault, fault, in_plain_words

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger

_AT_ONCE = 500
"""Rows copied in one go from a server."""


def back_up(ledger: Ledger, target: Path) -> None:
    """Copy the ledger to a new file, which appears when it is whole. Raises LedgerFault; never writes over a file."""
    if target.exists():
        remedy = "Give another name: nothing is ever written over a backup."
        raise fault(str(target), "output-exists", "The file exists already.", remedy)
    with _beside(target) as unfinished:
        if ledger.address.path is not None:
            _copy_file(ledger, unfinished)
        else:
            _copy_rows(ledger, unfinished)
        os.replace(unfinished, target)


@contextmanager
def _beside(target: Path) -> Iterator[Path]:
    """A hidden folder beside the target, gone afterwards."""
    try:
        with tempfile.TemporaryDirectory(prefix=".quotekit-", dir=target.parent) as hidden:
            yield Path(hidden) / target.name
    except OSError as raised:
        raise disk_fault(str(target.parent), raised) from raised


def _copy_file(ledger: Ledger, copy: Path) -> None:
    """SQLite's own copy of a database in use; without the write-ahead log, so that it is one file."""
    with in_plain_words(ledger.address.shown):
        source = ledger.raw_connection().connection.driver_connection
    if not isinstance(source, sqlite3.Connection):
        raise TypeError("a file ledger is opened with the standard driver")
    target = sqlite3.connect(copy)
    try:
        source.backup(target)
        target.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as raised:
        raise fault(str(copy), "ledger-disk", f"The copy could not be made: {raised}.", "Free some space.") from raised
    finally:
        target.close()
        ledger.raw_connection().rollback()


def _copy_rows(ledger: Ledger, copy: Path) -> None:
    """Every row of every table, as they stand in one moment."""
    from sqlalchemy import select

    from quotekit.ledger.address import read_address
    from quotekit.ledger.connect import adding, connect
    from quotekit.ledger.migrations import ALL, number_of
    from quotekit.ledger.tables import METADATA

    target = connect(read_address(copy))
    source = ledger.raw_connection()
    try:
        with in_plain_words(ledger.address.shown), source.begin(), adding(target):
            source.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            for migration in ALL[: number_of(source)]:
                migration.apply(target)
            for table in METADATA.sorted_tables:
                found = iter(source.execute(select(table).execution_options(yield_per=_AT_ONCE)).mappings())
                while rows := [dict(row) for row in islice(found, _AT_ONCE)]:
                    target.execute(table.insert(), rows)
    finally:
        target.close()
