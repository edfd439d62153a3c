"""A copy of a ledger while it is in use: a file that is a ledger itself, whatever the ledger is kept in."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.ledger.fault import disk_fault, fault, in_plain_words
from quotekit.ledger.hidden_folder import hidden_folder, keep_on_disk

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger

_AT_ONCE = 500
"""Rows copied in one go from a server."""


def back_up(ledger: Ledger, target: Path) -> None:
    """Copy the ledger to a new file, which appears when it is whole. Raises LedgerFault; never writes over a file."""
    if target.exists():
        remedy = "Give another name: nothing is ever written over a backup."
        raise fault(str(target), "output-exists", "The file exists already.", remedy)
    try:
        with hidden_folder(target.parent) as hidden:
            unfinished = hidden / target.name
            if ledger.address.path is not None:
                _copy_file(ledger, unfinished)
            else:
                _copy_rows(ledger, unfinished)
            keep_on_disk(unfinished)
            os.replace(unfinished, target)
    except OSError as raised:
        raise disk_fault(str(target.parent), raised) from raised


def _copy_file(ledger: Ledger, copy: Path) -> None:
    """SQLite's own copy of a database in use; without the write-ahead log, so that it is one file."""
    with in_plain_words(ledger.address.shown):
        source = ledger.raw_connection().connection.driver_connection
    if not isinstance(source, sqlite3.Connection):
        raise TypeError("a file ledger is opened with the standard driver")
    with in_plain_words(str(copy.parent.parent)), closing(sqlite3.connect(copy)) as target:
        source.backup(target)
        target.execute("PRAGMA journal_mode = DELETE")
    ledger.raw_connection().rollback()


def _copy_rows(ledger: Ledger, copy: Path) -> None:
    """Every row of every table, as they stand in one moment; of an older ledger, the tables it has."""
    from sqlalchemy import MetaData, select

    from quotekit.ledger.address import read_address
    from quotekit.ledger.connect import adding, connect
    from quotekit.ledger.migrations import ALL, number_of

    source, there = ledger.raw_connection(), MetaData()
    target, here = connect(read_address(copy)), MetaData()
    try:
        with ledger.snapshot(), in_plain_words(str(copy.parent.parent)), adding(target):
            for migration in ALL[: number_of(source)]:
                migration.apply(target)
            here.reflect(target)
            there.reflect(source, only=list(here.tables))
            for table in here.sorted_tables:
                query = select(there.tables[table.name]).execution_options(yield_per=_AT_ONCE)
                rows = source.execute(query).mappings()
                while some := [dict(row) for row in islice(rows, _AT_ONCE)]:
                    target.execute(table.insert(), some)
    finally:
        target.close()
