"""A file ledger falsified in every way plain SQL and a hand on the file allow: the check must find each.

    python -m tests.ledger.falsified N SEED

makes a small ledger, changes it behind quotekit's back in a drawn way, and checks it. What SQLite itself tells of its
contents (`iterdump`) is the referee: where that differs from before, the check must find something, or the ledger must
be refused. Three ways are drawn too that nothing within the ledger's own files can show, and the check must not claim
to: an entry added with its right hash (it is what recording does), the end cut off with the note beside it, and all
made anew with the note. It prints one JSON object and ends with 1 where anything was missed or claimed.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import random
import shutil
import sqlite3
import sys
import tempfile
import zlib
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from quotekit.ledger.backup import back_up
from quotekit.ledger.check import check_ledger
from quotekit.ledger.end_note import note_beside
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.drafts import add, noted, season

SEALED = ("seq", "at", "day", "who", "why", "kind", "job", "version", "number", "body", "before")
TEXTS = ("at", "day", "who", "why", "kind", "job", "job_key", "body", "before", "hash")
Way = Callable[[sqlite3.Connection, random.Random, Path], None]


class Report(NamedTuple):
    """How often each way was found, and what was missed."""

    found: dict[str, int]
    without_effect: dict[str, int]
    missed: list[str]


def make(path: Path) -> None:
    """A ledger of eight entries and two files, and a backup of it when it had six."""
    with open_ledger(path) as ledger:
        season(ledger)
        back_up(ledger, path.with_name("older.db"))
        add(ledger, noted("after the backup"))


def _entry(base: sqlite3.Connection, draw: random.Random) -> int:
    return int(draw.choice([seq for (seq,) in base.execute("SELECT seq FROM entries")]))


def _hash(base: sqlite3.Connection, seq: int) -> str:
    """The hash of an entry, worked out from its row by the words of the manual alone."""
    (row,) = base.execute(f"SELECT {', '.join(SEALED)} FROM entries WHERE seq = ?", (seq,)).fetchall()
    return hashlib.sha256(json.dumps(list(row), ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()


def _other(value: object, draw: random.Random) -> object:
    """Another value, near or far, of the same kind or not."""
    if isinstance(value, str) and value and draw.random() < 0.6:
        place = draw.randrange(len(value))
        letter = draw.choice("abc019 ")
        return draw.choice((value[:place] + letter + value[place + 1 :], value + letter, value[:-1]))
    return draw.choice(("x", 0, 7, -1, b"\x00", 1.5, "60.00", (value or 0) if isinstance(value, int) else "2026-01-01"))


def change_a_cell(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """One value of one entry."""
    seq, name = _entry(base, draw), draw.choice((*TEXTS, "version", "number"))
    (value,) = base.execute(f"SELECT {name} FROM entries WHERE seq = ?", (seq,)).fetchone()
    base.execute(f"UPDATE entries SET {name} = ? WHERE seq = ?", (_other(value, draw), seq))


def empty_a_number(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A version or a number taken off."""
    base.execute(f"UPDATE entries SET {draw.choice(('version', 'number'))} = NULL WHERE seq IN (1, 4)")


def change_with_own_hash(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A change with the entry's hash made to fit, and no other."""
    seq = _entry(base, draw)
    base.execute("UPDATE entries SET who = who || 'x' WHERE seq = ?", (seq,))
    base.execute("UPDATE entries SET hash = ? WHERE seq = ?", (_hash(base, seq), seq))


def make_anew_from(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A change with every hash after it made to fit."""
    first = _entry(base, draw)
    base.execute("UPDATE entries SET why = 'another' WHERE seq = ?", (first,))
    _seal_from(base, first)


def _seal_from(base: sqlite3.Connection, first: int) -> None:
    for (seq,) in base.execute("SELECT seq FROM entries WHERE seq >= ? ORDER BY seq", (first,)).fetchall():
        before = base.execute("SELECT hash FROM entries WHERE seq < ? ORDER BY seq DESC LIMIT 1", (seq,)).fetchone()
        base.execute("UPDATE entries SET before = ? WHERE seq = ?", (before[0] if before else "0" * 64, seq))
        base.execute("UPDATE entries SET hash = ? WHERE seq = ?", (_hash(base, seq), seq))


def remove(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """Any entry, with its ties."""
    seq = _entry(base, draw)
    base.execute("DELETE FROM entry_files WHERE seq = ?", (seq,))
    base.execute("DELETE FROM entries WHERE seq = ?", (seq,))


def remove_and_close_up(base: sqlite3.Connection, draw: random.Random, path: Path) -> None:
    """Any entry, the later ones moved up and sealed again."""
    seq = _entry(base, draw)
    base.execute("DELETE FROM entry_files WHERE seq = ?", (seq,))
    base.execute("DELETE FROM entries WHERE seq = ?", (seq,))
    for (later,) in base.execute("SELECT seq FROM entries WHERE seq > ? ORDER BY seq", (seq,)).fetchall():
        base.execute("UPDATE entry_files SET seq = ? WHERE seq = ?", (later - 1, later))
        base.execute("UPDATE entries SET seq = ? WHERE seq = ?", (later - 1, later))
    _seal_from(base, seq)


def cut_off(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """The end, with its ties and the files that nothing names any more."""
    first = draw.randint(1, 8)
    base.execute("DELETE FROM entry_files WHERE seq >= ?", (first,))
    base.execute("DELETE FROM entries WHERE seq >= ?", (first,))
    base.execute("DELETE FROM files WHERE sha256 NOT IN (SELECT sha256 FROM entry_files)")


def swap(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """Two entries change places."""
    one, two = draw.sample(range(1, 9), 2)
    for now, then in ((one, 99), (two, one), (99, two)):
        base.execute("UPDATE entries SET seq = ? WHERE seq = ?", (then, now))


def renumber(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A gap, or all moved on."""
    first = _entry(base, draw)
    for seq in range(8, first - 1, -1):
        base.execute("UPDATE entries SET seq = ? WHERE seq = ?", (seq + 1, seq))


def insert(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A copy of an entry at the end, with some hash."""
    names = "at, day, who, why, kind, job, job_key, version, body, before"
    base.execute(
        f"INSERT INTO entries (seq, hash, {names}) SELECT ?, ?, {names} FROM entries WHERE seq = ?",
        (draw.choice((0, 9, 20, -3)), "f" * 64, draw.choice((2, 3, 5))),
    )


def change_a_file(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """Its bytes, name, size, digest, or all of it."""
    digest, packed = draw.choice(base.execute("SELECT sha256, packed FROM files").fetchall())
    data = bytearray(zlib.decompress(packed))
    data[draw.randrange(len(data))] ^= 1 << draw.randrange(8)
    values = {"name": "other.xlsx", "size": len(data) + 1, "sha256": hashlib.sha256(data).hexdigest()}
    other = (zlib.compress(bytes(data)), packed[:-1], b"", packed + b"x")
    name, value = draw.choice([*values.items(), *(("packed", one) for one in other)])
    base.execute(f"UPDATE files SET {name} = ? WHERE sha256 = ?", (value, digest))


def take_a_file(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """A file gone, a tie gone, both, or one more of either."""
    (digest,) = draw.choice(base.execute("SELECT sha256 FROM files").fetchall())
    ways = (
        ["DELETE FROM files WHERE sha256 = :file"],
        ["DELETE FROM entry_files WHERE sha256 = :file"],
        ["DELETE FROM entry_files WHERE sha256 = :file", "DELETE FROM files WHERE sha256 = :file"],
        ["INSERT INTO entry_files VALUES (3, :file)"],
        ["UPDATE entry_files SET seq = 5 WHERE sha256 = :file"],
        ["INSERT INTO files VALUES ('00', 'slipped in', 0, x'')"],
    )
    for statement in draw.choice(ways):
        base.execute(statement, {"file": digest})


def change_the_tables(base: sqlite3.Connection, draw: random.Random, _: Path) -> None:
    """What forbids changes and doubles, and the numbers of the migrations."""
    guard = draw.choice([name for (name,) in base.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")])
    table, _, doing = guard.partition("_no_")
    idle = f"CREATE TRIGGER {guard} BEFORE {doing.upper()} ON {table} BEGIN SELECT 1; END"
    ways = (
        [f"DROP TRIGGER {guard}"],
        [f"DROP TRIGGER {guard}", idle],
        [f"DROP TRIGGER {guard}", idle.replace(" BEGIN", " WHEN 0 BEGIN")],
        ["CREATE TRIGGER quiet AFTER INSERT ON entries BEGIN SELECT 1; END"],
        ["DROP INDEX entries_version"],
        ["DROP INDEX entries_kind", "CREATE INDEX entries_kind ON entries (kind)"],
        ["ALTER TABLE entries ADD COLUMN more TEXT"],
        ["ALTER TABLE entry_files RENAME TO ties"],
        ["UPDATE migrations SET number = 2"],
        ["UPDATE migrations SET number = 0"],
        ["UPDATE migrations SET name = 'x'"],
        ["DELETE FROM migrations"],
        ["INSERT INTO migrations VALUES (0, 'x', 'y')"],
        ["DROP TABLE files"],
    )
    for statement in draw.choice(ways):
        base.execute(statement)


_OF_ENTRIES: tuple[Way, ...] = (change_a_cell, empty_a_number, change_with_own_hash, make_anew_from)
_OF_ORDER: tuple[Way, ...] = (remove, remove_and_close_up, cut_off, swap, renumber, insert)
_OF_THE_REST: tuple[Way, ...] = (change_a_file, take_a_file, change_the_tables)
WAYS: dict[str, Way] = {way.__name__: way for way in (*_OF_ENTRIES, *_OF_ORDER, *_OF_THE_REST)}
BY_HAND = (
    "cut the file short",
    "change bytes of the file",
    "put an older backup in its place",
    "empty it",
    "remove it",
)


def by_hand(way: str, path: Path, draw: random.Random) -> None:
    """What needs no SQL."""
    data = bytearray(path.read_bytes())
    if way == "cut the file short":
        path.write_bytes(data[: draw.randrange(len(data))])
    elif way == "change bytes of the file":
        start = draw.randrange(len(data) - 100)
        data[start : start + 100] = draw.randbytes(100)
        path.write_bytes(data)
    elif way == "put an older backup in its place":
        shutil.copy(path.with_name("older.db"), path)
    else:
        path.unlink()
        if way == "empty it":
            path.touch()


def with_sql(way: Way, path: Path, draw: random.Random) -> None:
    """A change with what forbids it taken off, and put on again where it is still to be."""
    with closing(sqlite3.connect(path, isolation_level=None)) as base:
        guards = base.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        if way is not change_the_tables:
            for name, _ in guards:
                base.execute(f"DROP TRIGGER {name}")
        with contextlib.suppress(sqlite3.IntegrityError):  # where the tables forbid it nothing, or less, is changed
            way(base, draw, path)
        if way is not change_the_tables:
            for _, sql in guards:
                base.execute(sql)
        base.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def contents(path: Path) -> list[str] | None:
    """What SQLite tells of the file; None where it can't read it."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as base:
            return sorted(base.iterdump())
    except (sqlite3.Error, UnicodeDecodeError):
        return None


def told(path: Path) -> tuple[bool, int | None]:
    """Whether the check finds anything, or the ledger is refused; and up to where it says that nothing was cut off."""
    try:
        with open_ledger(path, create=False) as ledger:
            checked = check_ledger(ledger)
    except LedgerFault:
        return True, None
    return bool(checked.problems), checked.noted


def falsify(rounds: int, seed: int, folder: Path) -> Report:
    """Draw so many ways, each on a fresh copy."""
    draw = random.Random(seed)
    original = folder / "original" / "shop ledger.db"
    original.parent.mkdir()
    make(original)
    was = contents(original)
    found: Counter[str] = Counter()
    idle: Counter[str] = Counter()
    missed = []
    for number in range(rounds):
        shop = folder / "shop"
        shutil.rmtree(shop, ignore_errors=True)
        shutil.copytree(original.parent, shop)
        path, way = shop / original.name, draw.choice((*WAYS, *BY_HAND))
        state = draw.getstate()
        with_sql(WAYS[way], path, draw) if way in WAYS else by_hand(way, path, draw)
        same = contents(path) == was
        if told(path)[0]:
            found[way] += 1
        elif same:
            idle[way] += 1
        else:
            missed.append(f"round {number} of seed {seed}, {way}: {hash(state)}")
    missed += _claimed(original, folder / "unseen")
    return Report(dict(found), dict(idle), missed)


def _claimed(original: Path, folder: Path) -> list[str]:
    """What can't be seen must not be found, and it must be said that the end is not known."""
    wrong = []
    for place, way in enumerate((cut_off, make_anew_from)):
        shutil.copytree(original.parent, folder / str(place))
        path = folder / str(place) / original.name
        note_beside(path).unlink()
        with_sql(way, path, random.Random(1))
        if told(path) != (False, None):
            wrong.append(f"{way.__name__}, with the note taken away: {told(path)}")
    return wrong


def main() -> int:
    """Falsify N times and print the report."""
    with tempfile.TemporaryDirectory(prefix="quotekit-falsified-") as place:
        report = falsify(int(sys.argv[1]), int(sys.argv[2]), Path(place))
    print(json.dumps(report._asdict(), indent=1))
    return 1 if report.missed else 0


if __name__ == "__main__":
    sys.exit(main())
