"""A ledger of years ago, made by its own statements and not by today's program: read, checked, brought up to date.

`version_1.json` holds the statements and the rows of a ledger of number 1, in the words of each database. It is never
made anew: when a test here fails, today's program no longer reads what shops have.
"""

from __future__ import annotations

import base64
import contextlib
import json
import os
import signal
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, text

from quotekit.ledger.check import check_ledger
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.migrations import ALL, Migration
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.drafts import add, noted

OLD: dict[str, Any] = json.loads((Path(__file__).parent / "version_1.json").read_text(encoding="utf-8"))
NEXT = len(ALL) + 1


def _add_column(connection: Connection) -> None:
    connection.execute(text("ALTER TABLE files ADD COLUMN kind TEXT NOT NULL DEFAULT ''"))


LATER = (*ALL, Migration(NEXT, "a kind for files", _add_column))


@pytest.fixture
def old(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The old ledger on either database; the commands run in a folder of the test's own."""
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    with _execute(address) as execute:
        for statement in OLD["statements"]["postgresql" if "://" in address else "sqlite"]:
            execute(statement)
        for table, rows in OLD["rows"].items():
            for row in rows:
                values = [base64.b64decode(value) if name == "packed" else value for name, value in row.items()]
                execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(values))})", values)
    return address


@contextlib.contextmanager
def _execute(address: str) -> Iterator[Any]:
    """Statements to a database, in no words of quotekit's."""
    if "://" not in address:
        with contextlib.closing(sqlite3.connect(address, isolation_level=None)) as base:
            base.execute("PRAGMA journal_mode = WAL")
            yield base.execute
        return
    import psycopg

    with psycopg.connect(address, autocommit=True) as server:

        def execute(statement: str, values: Any = None) -> None:
            server.execute(statement if values is None else statement.replace("?", "%s"), values)  # type: ignore[arg-type]

        yield execute


def hashes() -> list[str]:
    """Of every entry of the old ledger."""
    return [row["hash"] for row in OLD["rows"]["entries"]]


def backups(address: str) -> list[Path]:
    """Copies made before a migration."""
    return sorted((Path.cwd() if "://" in address else Path(address).parent).glob("* before *.db"))


def test_it_is_read_and_found_unchanged(old: str) -> None:
    """Also its tables and what forbids changes: today's program makes them in the same words."""
    with open_ledger(old) as ledger:
        checked = check_ledger(ledger)
        assert [entry.hash for entry in ledger.entries()] == hashes()
        assert ledger.story("117").payments == 60
    assert (checked.entries, checked.files, checked.problems) == (7, 2, [])
    assert len(backups(old)) == len(ALL[1:])


def test_it_is_brought_up_to_date(old: str) -> None:
    """After a backup that is the old ledger itself; then it goes on."""
    with open_ledger(old, migrations=LATER) as ledger:
        assert [entry.hash for entry in ledger.entries()] == hashes()
        add(ledger, noted("the first of the new program"))
        assert len(ledger.entries()) == 8
    (copy,) = backups(old)
    with open_ledger(copy, create=False) as before:
        assert check_ledger(before).problems == []
        assert [entry.hash for entry in before.entries()] == hashes()


@pytest.mark.parametrize("moment", ["before", "half way", "after"])
def test_killed_while_it_is_brought_up_to_date(old: str, moment: str) -> None:
    """As by a power cut: the old ledger stands as it was, its backup opens, and the next command does it."""

    def die(connection: Connection) -> None:
        if moment != "before":
            _add_column(connection)
        if moment == "after":
            connection.execute(text(f"INSERT INTO migrations VALUES ({NEXT}, 'a kind for files', 'now')"))
        os.kill(os.getpid(), signal.SIGKILL)

    process = os.fork()
    if not process:
        with contextlib.suppress(BaseException):
            open_ledger(old, migrations=(*ALL, Migration(NEXT, "a kind for files", die)))
        os._exit(0)
    assert os.WIFSIGNALED(os.waitpid(process, 0)[1])
    with open_ledger(old) as ledger:
        assert check_ledger(ledger).problems == []
        assert [entry.hash for entry in ledger.entries()] == hashes()
    (copy,) = backups(old)
    with open_ledger(copy, create=False, as_it_is=True) as before:
        assert check_ledger(before).problems == []
    with open_ledger(old, migrations=LATER) as ledger:
        assert [entry.hash for entry in ledger.entries()] == hashes()
    with pytest.raises(LedgerFault) as refused:
        open_ledger(old)
    assert refused.value.problem.code == "ledger-newer"
    assert len(backups(old)) == 2
