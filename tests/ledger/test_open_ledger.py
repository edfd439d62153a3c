"""A ledger is made on first use, brought up to date with a backup first, and refused where it can't be used."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Connection, text

from quotekit.ledger import migrations
from quotekit.ledger.check import check_ledger
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.migrations import ALL, Migration, newest, number_of
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.drafts import add, noted, season
from tests.ledger.postgres import Server


def refusal(address: str | Path, **options: object) -> tuple[str, str, str]:
    """Code, message and remedy of the problem with which a ledger is refused."""
    with pytest.raises(LedgerFault) as refused:
        open_ledger(address, **options)  # type: ignore[arg-type]
    problem = refused.value.problem
    assert problem.place.file and problem.remedy.endswith(".")
    return problem.code, problem.message, problem.remedy


def number(address: str | Path) -> int:
    """The number at which a ledger stands."""
    with open_ledger(address, as_it_is=True) as ledger, ledger.snapshot():
        return number_of(ledger.raw_connection())


def test_it_is_made_on_first_use(address: str) -> None:
    with open_ledger(address) as ledger:
        assert ledger.entries() == []
    assert number(address) == newest() == 1


def test_a_file_ledger_is_in_its_safest_everyday_setting(tmp_path: Path) -> None:
    """Write-ahead log: readers do not wait. Every commit on the disk. Foreign keys on. A bounded wait."""
    with open_ledger(tmp_path / "l.db") as ledger, ledger.snapshot():
        connection = ledger.raw_connection()
        names = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in names]
    assert found == ["wal", 2, 1, 10_000]


def test_a_server_ledger_waits_for_a_lock_so_long_and_no_longer(server: Server) -> None:
    with open_ledger(server.empty_database()) as ledger, ledger.snapshot():
        assert ledger.raw_connection().exec_driver_sql("SHOW lock_timeout").scalar() == "10s"


def test_what_the_first_migration_makes_is_never_edited(tmp_path: Path) -> None:
    """Ledgers of years ago were made by it; a change of tables is a migration of its own.

    When this fails, undo the change of `tables.py` or freeze what the first migration makes, and add the next one.
    """
    with open_ledger(tmp_path / "l.db", migrations=ALL[:1]):
        pass
    with closing(sqlite3.connect(tmp_path / "l.db")) as connection:
        made = {
            name: [row[0] for row in connection.execute("SELECT name FROM pragma_table_info(?) ORDER BY cid", (name,))]
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        }
        guards = connection.execute("SELECT count(*) FROM sqlite_master WHERE type = 'trigger'").fetchone()
    sealed = ["seq", "at", "day", "who", "why", "kind", "job", "job_key", "version", "number", "body", "before", "hash"]
    assert made == {
        "entries": sealed,
        "files": ["sha256", "name", "size", "packed"],
        "entry_files": ["seq", "sha256"],
        "migrations": ["number", "name", "at"],
    }
    assert guards == (6,)


# migrations


def _add_column(connection: Connection) -> None:
    connection.execute(text("ALTER TABLE files ADD COLUMN kind TEXT NOT NULL DEFAULT ''"))


SECOND = Migration(2, "a kind for files", _add_column)


def columns(address: str | Path) -> set[str]:
    """The columns of the table of files."""
    from sqlalchemy import inspect

    with open_ledger(address, as_it_is=True, migrations=(*ALL, SECOND)) as ledger:
        return {column["name"] for column in inspect(ledger.raw_connection()).get_columns("files")}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder a person works in: there the backup of a server's ledger goes."""
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    return tmp_path / "work"


def backups(address: str, folder: Path) -> list[Path]:
    """The backups made before a migration."""
    return sorted((folder if "://" in address else Path(address).parent).glob("* before *.db"))


def test_a_later_migration_comes_after_a_backup(address: str, folder: Path) -> None:
    """Everything is still there, and the backup is a ledger of before."""
    with open_ledger(address) as ledger:
        season(ledger)
        entries = ledger.entries()
    with open_ledger(address, migrations=(*ALL, SECOND)) as ledger:
        assert ledger.entries() == entries
    assert "kind" in columns(address)
    (backup,) = backups(address, folder)
    assert backup.name.endswith(" before 2 (1).db")
    with open_ledger(backup) as before:
        assert before.entries() == entries
        assert check_ledger(before).problems == []
    assert "kind" not in columns(backup)


def test_a_new_ledger_needs_no_backup(address: str, folder: Path) -> None:
    with open_ledger(address, migrations=(*ALL, SECOND)):
        pass
    assert backups(address, folder) == []
    assert "kind" in columns(address)


def test_each_migration_is_a_transaction_of_its_own(address: str, folder: Path) -> None:
    """The second is done; of the third, which fails half way, nothing is left; without the third all goes on."""
    with open_ledger(address) as ledger:
        season(ledger)
        entries = ledger.entries()
    assert refusal(address, migrations=(*ALL, SECOND, Migration(3, "fails", _fail_half_way)))[0] == "ledger-refused"
    with open_ledger(address, migrations=(*ALL, SECOND)) as ledger:
        assert number_of_open(ledger) == 2
        assert "half" not in table_names(ledger)
        assert ledger.entries() == entries
    assert len(backups(address, folder)) == 1


def _fail_half_way(connection: Connection) -> None:
    connection.execute(text("CREATE TABLE half (done INTEGER)"))
    connection.execute(text("SELECT * FROM a_table_that_is_not_there"))


def number_of_open(ledger: Ledger) -> int:
    """The number of an open ledger."""
    with ledger.snapshot():
        return number_of(ledger.raw_connection())


def table_names(ledger: Ledger) -> list[str]:
    """Every table of an open ledger."""
    from sqlalchemy import inspect

    return list(inspect(ledger.raw_connection()).get_table_names())


def test_a_migration_that_fails_can_be_tried_again(address: str, folder: Path) -> None:
    """Each try with a backup under a name of its own: none is written over."""
    with open_ledger(address) as ledger:
        season(ledger)
    for _ in range(2):
        refusal(address, migrations=(*ALL, Migration(2, "fails", _fail_half_way)))
    with open_ledger(address, migrations=(*ALL, SECOND)) as ledger:
        assert number_of_open(ledger) == 2
    assert len(backups(address, folder)) == 3


def test_without_room_for_the_backup_nothing_is_changed(
    address: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_ledger(address) as ledger:
        season(ledger)

    def full(*_: object, **__: object) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("quotekit.ledger.hidden_folder.tempfile.mkdtemp", full)
    assert refusal(address, migrations=(*ALL, SECOND))[0] == "ledger-disk"
    assert number(address) == 1
    assert "kind" not in columns(address)


def test_two_commands_bring_it_up_to_date_once(address: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second finds it done when its turn comes."""
    with open_ledger(address) as ledger:
        season(ledger)
    real, opened = Ledger.alone, []

    def alone(self: Ledger) -> object:
        if not opened:
            opened.append(True)
            with open_ledger(address, migrations=(*ALL, SECOND)):
                pass
        return real(self)

    monkeypatch.setattr(Ledger, "alone", alone)
    with open_ledger(address, migrations=(*ALL, SECOND)) as ledger:
        assert number_of_open(ledger) == 2
    assert len(backups(address, folder)) == 1


# refused


def test_a_ledger_of_a_newer_quotekit(address: str, folder: Path) -> None:
    with open_ledger(address, migrations=(*ALL, SECOND)):
        pass
    code, message, remedy = refusal(address)
    assert code == "ledger-newer"
    assert message == "This ledger was written by a newer quotekit (number 2; this one knows 1)."
    assert "Nothing was changed" in remedy


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (lambda path: path.mkdir(), "ledger-folder"),
        (lambda path: path.write_bytes(b"PK\x03\x04 a workbook" * 100), "ledger-damaged"),
        (lambda path: path.write_text("notes of the shop"), "ledger-damaged"),
    ],
)
def test_what_is_no_ledger_is_left_as_it_is(tmp_path: Path, make: object, code: str) -> None:
    path = tmp_path / "shop ledger.db"
    make(path)  # type: ignore[operator]
    before = path.read_bytes() if path.is_file() else b""
    assert refusal(path)[0] == code
    assert (path.read_bytes() if path.is_file() else b"") == before


def test_the_database_of_another_program(tmp_path: Path) -> None:
    """An address book that happens to be SQLite gets no tables of ours."""
    path = tmp_path / "addresses.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE people (name TEXT)")
        connection.execute("CREATE TABLE migrations (id INTEGER, migration TEXT)")
        connection.commit()
    before = path.read_bytes()
    code, message, _ = refusal(path)
    assert (code, message) == ("ledger-damaged", "This is no ledger: it holds the tables migrations, people.")
    assert path.read_bytes() == before


def test_a_server_may_hold_other_tables_but_not_under_our_names(server: Server) -> None:
    import psycopg

    address = server.empty_database()
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute("CREATE TABLE people (name TEXT)")
    with open_ledger(address) as ledger:
        add(ledger, noted())
    address = server.empty_database()
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute("CREATE TABLE files (name TEXT)")
    assert refusal(address)[:2] == ("ledger-damaged", "This is no ledger: it holds the tables files.")


def test_a_file_that_lost_its_middle(tmp_path: Path) -> None:
    """A disk that lost a block: told as damaged, by opening or by the check, never as a fault of quotekit."""
    path = tmp_path / "l.db"
    with open_ledger(path) as ledger:
        season(ledger)
        add(ledger, *(noted("x" * 500) for _ in range(100)))
    data = bytearray(path.read_bytes())
    data[4096:-4096] = bytes(len(data) - 8192)
    path.write_bytes(data)
    with pytest.raises(LedgerFault) as refused, open_ledger(path) as ledger:
        found = check_ledger(ledger).problems
        assert found
        raise LedgerFault(found[0])
    assert refused.value.problem.code in ("ledger-damaged", "ledger-changed")


def test_a_missing_ledger_is_made_only_where_it_may(tmp_path: Path) -> None:
    """A wrong name in `quotekit jobs` makes no empty ledger."""
    code, _, remedy = refusal(tmp_path / "l.db", create=False)
    assert (code, list(tmp_path.iterdir())) == ("ledger-missing", [])
    assert "--ledger" in remedy


def test_a_command_that_only_reads_makes_no_tables(address: str) -> None:
    """Nor in an empty database, such as one of a mistyped name, nor in an empty file."""
    if "://" not in address:
        Path(address).touch()
    for _ in range(2):
        code, message, remedy = refusal(address, create=False)
        assert code == "ledger-missing"
        assert message == ("There is no ledger in this database." if "://" in address else "There is no such ledger.")
        assert "`quotekit issue`" in remedy
    with open_ledger(address) as ledger:
        assert ledger.entries() == []


def test_what_is_neither_file_nor_folder(tmp_path: Path) -> None:
    """A pipe would wait for ever."""
    os.mkfifo(tmp_path / "l.db")
    assert refusal(tmp_path / "l.db")[:2] == ("ledger-folder", "What is there is no file.")


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    code, message, _ = refusal(tmp_path / "none" / "l.db")
    assert (code, message) == ("ledger-folder", f"There is no folder {tmp_path / 'none'}.")


def test_an_older_backup_is_read_as_it_is(tmp_path: Path) -> None:
    """`--against BACKUP` never changes the backup."""
    path = tmp_path / "backup.db"
    with open_ledger(path) as ledger:
        season(ledger)
    before = path.read_bytes()
    with open_ledger(path, as_it_is=True, migrations=(*ALL, SECOND)) as ledger:
        assert len(ledger.entries()) == 7
    assert path.read_bytes() == before


@pytest.mark.parametrize("address", [""])
def test_an_empty_file_is_no_backup(tmp_path: Path, address: str) -> None:
    path = tmp_path / "backup.db"
    path.write_text(address)
    assert refusal(path, as_it_is=True)[:2] == ("ledger-damaged", "This is no ledger.")


def test_numbers_of_migrations_go_up_by_one() -> None:
    assert [migration.number for migration in ALL] == list(range(1, len(ALL) + 1))
    assert len({migration.name for migration in ALL}) == len(ALL)
    assert migrations.newest() == len(ALL)
