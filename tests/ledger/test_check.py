"""`quotekit ledger check` finds each kind of later change, and nothing where there is none."""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Select

from quotekit.ledger.backup import back_up
from quotekit.ledger.chain import START, hash_of
from quotekit.ledger.check import MOST_TOLD, check_against, check_ledger
from quotekit.ledger.connect import adding
from quotekit.ledger.each_story import each_story
from quotekit.ledger.end_note import note_beside
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.open_ledger import open_ledger
from quotekit.ledger.rows import sealed_in
from quotekit.ledger.tables import ENTRIES
from tests.ledger.by_hand import change, changing
from tests.ledger.drafts import add, add_issued, noted, season


@pytest.fixture
def kept(address: str) -> str:
    """The address of a ledger of seven entries."""
    with open_ledger(address) as ledger:
        season(ledger)
    return address


def found(address: str) -> list[str]:
    """What a check finds, each with where."""
    with open_ledger(address) as ledger:
        problems = check_ledger(ledger).problems
    assert {problem.code for problem in problems} <= {"ledger-changed"}
    assert all("--against" in problem.remedy for problem in problems)
    return [f"{problem.place.cell}: {problem.message}" for problem in problems]


def test_a_ledger_as_it_was_written(kept: str) -> None:
    with open_ledger(kept) as ledger:
        checked = check_ledger(ledger)
        last = ledger.entries()[-1]
    assert (checked.entries, checked.files, checked.problems) == (7, 2, [])
    assert checked.last_hash == last.hash


def test_an_empty_ledger(address: str) -> None:
    with open_ledger(address) as ledger:
        checked = check_ledger(ledger)
    assert (checked.entries, checked.files, checked.last_hash, checked.problems) == (0, 0, START, [])


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("at", "'2020-01-01T00:00:00.000000Z'"),
        ("day", "'2020-01-01'"),
        ("who", "'Somebody'"),
        ("why", "'no reason'"),
        ("kind", "'noted'"),
        ("version", "3"),
        ("number", "3"),
        ("body", '\'{"amount":"61.00","purpose":"deposit","how":"cash"}\''),
        ("body", "body || ' '"),
    ],
)
def test_a_changed_field(kept: str, field: str, value: str) -> None:
    """Any of them, were it by one sign: what an entry says is sealed whole."""
    change(kept, f"UPDATE entries SET {field} = {value} WHERE seq = 5")
    assert "entry 5: It was changed after it was written." in found(kept)


def test_a_changed_job(kept: str) -> None:
    change(kept, "UPDATE entries SET job = '118', job_key = '118' WHERE seq = 5")
    assert found(kept) == ["entry 5: It was changed after it was written."]


def test_an_entry_filed_under_another_job(kept: str) -> None:
    """The key by which it is found is not sealed: it must be that of the job."""
    change(kept, "UPDATE entries SET job_key = '118' WHERE seq = 5")
    assert found(kept) == ["entry 5: It is filed under another job than its own."]


@pytest.mark.parametrize(("field", "seq"), [("hash", 5), ("before", 6)])
def test_a_broken_link_of_the_chain(kept: str, field: str, seq: int) -> None:
    change(kept, f"UPDATE entries SET {field} = '{'0' * 64}' WHERE seq = {seq}")
    assert "entry 6: It does not follow the entry before: one of the two was changed or taken out." in found(kept)


def test_a_removed_entry(kept: str) -> None:
    change(kept, "DELETE FROM entries WHERE seq = 5")
    assert found(kept) == [
        "entry 6: Entry 5 is missing before it.",
        "entry 6: It does not follow the entry before: one of the two was changed or taken out.",
    ]


def test_a_removed_entry_with_the_others_moved_up(kept: str) -> None:
    change(kept, "DELETE FROM entries WHERE seq = 5", "UPDATE entries SET seq = 5 WHERE seq = 6")
    assert "entry 5: It was changed after it was written." in found(kept)


def test_a_removed_first_entry(kept: str) -> None:
    change(kept, "DELETE FROM entry_files WHERE seq = 1", "DELETE FROM entries WHERE seq = 1")
    assert "entry 2: Entry 1 is missing before it." in found(kept)


def test_swapped_entries(kept: str) -> None:
    moves = ("seq = 99 WHERE seq = 5", "seq = 5 WHERE seq = 6", "seq = 6 WHERE seq = 99")
    change(kept, *(f"UPDATE entries SET {move}" for move in moves))
    places = [line.partition(":")[0] for line in found(kept)]
    assert {"entry 5", "entry 6"} <= set(places)


def test_an_entry_put_between(kept: str) -> None:
    columns = ", ".join(column.name for column in ENTRIES.columns if column.name not in ("seq", "hash"))
    make_room = [f"UPDATE entries SET seq = {seq + 1} WHERE seq = {seq}" for seq in (7, 6, 5)]
    copy = f"INSERT INTO entries (seq, hash, {columns}) SELECT 5, '{'1' * 64}', {columns} FROM entries WHERE seq = 3"
    change(kept, *make_room, copy)
    assert "entry 5: It was changed after it was written." in found(kept)


def test_changed_bytes_of_a_file(kept: str) -> None:
    """Packed as they should be, of the right length, and yet others."""
    other = b"the forst workbook"
    digest = hashlib.sha256(b"the first workbook").hexdigest()
    with changing(kept) as execute:
        execute("UPDATE files SET packed = ? WHERE sha256 = ?", (zlib.compress(other), digest))
    assert found(kept) == [f"file {digest[:12]}: job.xlsx was changed after it was kept."]


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE files SET packed = ? WHERE size = 18", "job.xlsx was changed after it was kept."),
        ("UPDATE files SET size = 17 WHERE size = 18", "job.xlsx was changed after it was kept."),
        ("UPDATE files SET name = 'x' WHERE size = 18", "No entry names it x."),
    ],
)
def test_a_changed_file(kept: str, statement: str, words: str) -> None:
    with changing(kept) as execute:
        execute(statement, *([(b"rubbish",)] if "?" in statement else []))
    (line,) = found(kept)
    assert line.startswith("file ") and line.endswith(words)


def test_a_removed_file(kept: str) -> None:
    digest = hashlib.sha256(b"the first workbook").hexdigest()
    change(kept, f"DELETE FROM entry_files WHERE sha256 = '{digest}'", f"DELETE FROM files WHERE sha256 = '{digest}'")
    assert found(kept) == [
        f"entry 1: The file {digest[:12]} it names is missing.",
        f"entry 1: Its tie to the file {digest[:12]} was changed.",
    ]


def test_a_file_that_no_entry_names(kept: str) -> None:
    data = b"slipped in"
    digest = hashlib.sha256(data).hexdigest()
    with changing(kept) as execute:
        execute("INSERT INTO files VALUES (?, 'new.xlsx', 10, ?)", (digest, zlib.compress(data)))
    assert found(kept) == [f"file {digest[:12]}: No entry names it new.xlsx."]


@pytest.mark.parametrize("statement", ["DELETE FROM entry_files WHERE seq = 4", "UPDATE entry_files SET seq = 3"])
def test_a_changed_tie_between_entry_and_file(kept: str, statement: str) -> None:
    change(kept, f"{statement} {'WHERE seq = 4' if 'UPDATE' in statement else ''}")
    assert "entry 4" in {line.partition(":")[0] for line in found(kept)}
    assert all("Its tie to the file" in line for line in found(kept))


def test_a_guard_that_was_taken_off(kept: str) -> None:
    """Whoever leaves the door open is found out before he comes in."""
    from sqlalchemy import text

    with open_ledger(kept) as ledger:
        connection = ledger.raw_connection()
        with connection.begin():
            server = connection.dialect.name == "postgresql"
            connection.execute(
                text("ALTER TABLE files DISABLE TRIGGER files_unchanged" if server else "DROP TRIGGER files_no_delete")
            )
    assert found(kept) == ["database: What forbids changes was taken off (files)."]


def test_all_changes_are_told_up_to_a_hundred(address: str) -> None:
    with open_ledger(address) as ledger:
        add(ledger, *(noted() for _ in range(MOST_TOLD + 20)))
    change(address, "UPDATE entries SET who = 'Somebody'")
    assert len(found(address)) == MOST_TOLD


@pytest.mark.parametrize("field", ["who", "body", "job", "day"])
def test_bytes_in_place_of_a_text(tmp_path: Path, field: str) -> None:
    """SQLite keeps anything in any column; a check must still come to its end."""
    path = str(tmp_path / "shop ledger.db")
    with open_ledger(path) as ledger:
        season(ledger)
    change(path, f"UPDATE entries SET {field} = x'00ff' WHERE seq = 5")
    assert any(line.startswith("entry 5: It was changed") for line in found(path))


@pytest.mark.parametrize("field", ["number", "version"])
@pytest.mark.parametrize("value", ["'one'", "x'00'", "1.5", "9e999"])
def test_what_is_no_number_in_place_of_one(tmp_path: Path, field: str, value: str) -> None:
    path = str(tmp_path / "shop ledger.db")
    with open_ledger(path) as ledger:
        season(ledger)
    change(path, f"UPDATE entries SET {field} = {value} WHERE seq = 1")
    assert "entry 1: It was changed after it was written: a text or a number is none any more." in found(path)


@pytest.mark.parametrize("statement", ["UPDATE entry_files SET seq = 'x' WHERE seq = 4", "UPDATE files SET size = 'x'"])
def test_a_text_in_place_of_a_number_elsewhere(tmp_path: Path, statement: str) -> None:
    path = str(tmp_path / "shop ledger.db")
    with open_ledger(path) as ledger:
        season(ledger)
    change(path, statement)
    assert found(path)


@pytest.mark.parametrize("field", ["day", "body"])
def test_what_can_no_longer_be_read_is_no_fault_of_quotekit(tmp_path: Path, field: str) -> None:
    """Every command that reads it says so."""
    path = str(tmp_path / "shop ledger.db")
    with open_ledger(path) as ledger:
        season(ledger)
    change(path, f"UPDATE entries SET {field} = x'00ff' WHERE seq = 1")
    with open_ledger(path) as ledger:
        for read in (ledger.entries, lambda: ledger.story("117"), lambda: list(each_story(ledger))):
            with pytest.raises(LedgerFault) as refused:
                read()
            assert refused.value.problem.code == "ledger-unreadable"


@pytest.mark.parametrize("value", ["'a text'", "x''", "zeroblob(20)"])
def test_a_packed_file_that_is_none(tmp_path: Path, value: str) -> None:
    path = str(tmp_path / "shop ledger.db")
    with open_ledger(path) as ledger:
        season(ledger)
    change(path, f"UPDATE files SET packed = {value} WHERE size = 18")
    assert [line.endswith("job.xlsx was changed after it was kept.") for line in found(path)] == [True]


# tables and what forbids changes


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE migrations SET name = 'other'", "The numbers of its migrations were changed."),
        ("DROP INDEX entries_version", "is not as it was made."),
        ("DROP INDEX entries_job", "is not as it was made."),
    ],
)
def test_tables_that_were_changed(kept: str, statement: str, words: str) -> None:
    """Without an index that forbids doubles two counters could give one number twice."""
    change(kept, statement)
    (line,) = found(kept)
    assert line.startswith("database: ") and line.endswith(words)


@pytest.mark.parametrize("number", [0, 2])
def test_a_changed_number_of_the_ledger(kept: str, number: int) -> None:
    """It is refused as a newer one, or as none; nothing is made or changed in it."""
    change(kept, f"UPDATE migrations SET number = {number}")
    with pytest.raises(LedgerFault) as refused:
        open_ledger(kept)
    assert refused.value.problem.code == ("ledger-newer" if number else "ledger-damaged")


def test_a_guard_that_does_nothing(kept: str) -> None:
    """It bears the right name and lets every change pass."""
    change_as_owner(
        kept,
        [
            "DROP TRIGGER entries_no_update",
            "CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries BEGIN SELECT 1; END",
        ],
        ["CREATE OR REPLACE FUNCTION never_changed() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NULL; END $$"],
    )
    tables = ["entries", "files", "entry_files"] if "://" in kept else ["entries"]
    assert found(kept) == [f"database: What forbids changes was taken off ({name})." for name in tables]


def test_a_guard_of_some_rows_only(kept: str) -> None:
    change_as_owner(
        kept,
        [
            "DROP TRIGGER files_no_delete",
            "CREATE TRIGGER files_no_delete BEFORE DELETE ON files WHEN old.size > 1000 "
            "BEGIN SELECT RAISE(ABORT, 'rows of files are never changed'); END",
        ],
        [
            "DROP TRIGGER files_unchanged ON files",
            "CREATE TRIGGER files_unchanged BEFORE UPDATE ON files EXECUTE FUNCTION never_changed()",
        ],
    )
    assert found(kept) == ["database: What forbids changes was taken off (files)."]


def test_a_trigger_that_was_added(kept: str) -> None:
    """It could write what nobody recorded, each time something is."""
    change_as_owner(
        kept,
        ["CREATE TRIGGER quiet AFTER INSERT ON entries BEGIN SELECT 1; END"],
        [
            "CREATE FUNCTION quiet() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$",
            "CREATE TRIGGER quiet AFTER INSERT ON entries EXECUTE FUNCTION quiet()",
        ],
    )
    assert found(kept) == ["database: A trigger was added (quiet)."]


def change_as_owner(address: str, in_file: list[str], on_server: list[str]) -> None:
    """Statements of each database, with what forbids changes left as it is."""
    with open_ledger(address) as ledger, adding(ledger.raw_connection()) as connection:
        for statement in on_server if "://" in address else in_file:
            connection.exec_driver_sql(statement)


# against a backup


def forget_note(address: str) -> None:
    """Take away the note of the last entry beside a file ledger."""
    if "://" not in address:
        note_beside(Path(address)).unlink()


def test_what_a_chain_alone_cannot_show(kept: str, tmp_path: Path) -> None:
    """The last entry taken away, the chain holds; the backup knows better."""
    with open_ledger(kept) as ledger:
        back_up(ledger, tmp_path / "backup.db")
    change(kept, "DELETE FROM entries WHERE seq = 7")
    forget_note(kept)
    assert found(kept) == []
    assert against(kept, tmp_path / "backup.db") == ["entry 7: It is in the backup and no longer here."]


def test_a_chain_made_anew(kept: str, tmp_path: Path) -> None:
    """Somebody who knows how hashes are made changes an amount and every hash after it."""
    with open_ledger(kept) as ledger:
        back_up(ledger, tmp_path / "backup.db")
        rows = list(ledger.each_row(ENTRIES.select().order_by(ENTRIES.c.seq)))
    before = START
    with changing(kept) as execute:
        for row in rows:
            body = row["body"].replace('"60.00"', '"10.00"')
            made = hash_of(sealed_in({**row, "body": body, "before": before}))
            execute("UPDATE entries SET body = ?, before = ?, hash = ? WHERE seq = ?", (body, before, made, row["seq"]))
            before = made
    forget_note(kept)
    assert found(kept) == []
    assert against(kept, tmp_path / "backup.db") == [
        f"entry {seq}: It is not the one in the backup." for seq in (5, 6, 7)
    ]


def test_a_ledger_that_went_on(kept: str, tmp_path: Path) -> None:
    with open_ledger(kept) as ledger:
        back_up(ledger, tmp_path / "backup.db")
        add(ledger, noted("later"))
    assert against(kept, tmp_path / "backup.db") == []


def against(address: str, backup: Path) -> list[str]:
    """What differs from a backup."""
    with open_ledger(address) as ledger, open_ledger(backup, as_it_is=True) as other:
        return [f"{problem.place.cell}: {problem.message}" for problem in check_against(ledger, other)]


def test_a_check_while_others_write(kept: str) -> None:
    """It looks at one moment: an entry that is added meanwhile is no change."""
    with open_ledger(kept) as ledger, open_ledger(kept) as other:
        real = ledger.each_row

        def each_row(query: Select[Any]) -> Iterator[dict[str, Any]]:
            add_issued(other, f"job {len(other.entries())}".encode(), job="119")
            return real(query)

        ledger.each_row = each_row  # type: ignore[method-assign]
        checked = check_ledger(ledger)
        assert len(other.entries()) == 10
    assert checked.problems == []
    assert checked.entries in (7, 8)
