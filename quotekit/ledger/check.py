"""Whether a ledger is as it was written: the chain of its entries, their numbers, and the files they name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from quotekit.ledger.as_made import not_as_made
from quotekit.ledger.chain import START, hash_of
from quotekit.ledger.end_note import End, note_beside, read_ends
from quotekit.ledger.rows import entry_of, files_in, letters, sealed_in, unpacked
from quotekit.ledger.tables import ENTRIES, ENTRY_FILES, FILES
from quotekit.model.record_json import UnreadableRecord
from quotekit.model.story import KINDS, job_key
from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger

MOST_TOLD = 100
_FIELDS: dict[str, tuple[type, ...]] = {
    "seq": (int,),
    **dict.fromkeys(("at", "day", "who", "why", "kind", "job", "job_key", "body", "before", "hash"), (str,)),
    **dict.fromkeys(("version", "number"), (int, type(None))),
}
"""What each field holds: SQLite keeps anything in any column."""


class Checked(NamedTuple):
    """What was gone through, and what is wrong."""

    entries: int
    files: int
    last_hash: str
    problems: list[Problem]
    noted: int | None = None
    """The last entry of which the note beside a file ledger tells, where there is one: it is there."""


def check_ledger(ledger: Ledger, known_hash: str = "") -> Checked:
    """Go through everything: each change since it was written is a problem with its entry.

    `known_hash` is that of an entry which must be there: all of it, or how it begins.
    """
    told, path = _Told(ledger.address.shown), ledger.address.path
    ends = [] if path is None else read_ends(path)  # before the moment that is looked at: it may only lag behind
    state = _Chain(told, ends, known_hash.casefold())
    with ledger.snapshot():
        for row in ledger.each_row(_all_entries()):
            state.take(row)
        files = _check_files(ledger, state, told)
        _check_links(ledger, state, told)
        _check_database(ledger, told)
    noted = _check_ends(state, told, "" if path is None else note_beside(path).name)
    return Checked(entries=state.count, files=files, last_hash=state.before, problems=told.problems, noted=noted)


def check_against(ledger: Ledger, backup: Ledger) -> list[Problem]:
    """That the ledger goes on from a backup: each entry of the backup is in it, unchanged."""
    told = _Told(ledger.address.shown)
    here = {row["seq"]: row["hash"] for row in ledger.each_row(_hashes())}
    for row in backup.each_row(_hashes()):
        if row["seq"] not in here:
            told.add(f"entry {row['seq']}", "It is in the backup and no longer here.")
        elif here[row["seq"]] != row["hash"]:
            told.add(f"entry {row['seq']}", "It is not the one in the backup.")
    return told.problems


def _all_entries() -> Any:
    return ENTRIES.select().order_by(ENTRIES.c.seq)


def _hashes() -> Any:
    from sqlalchemy import select

    return select(ENTRIES.c.seq, ENTRIES.c.hash).order_by(ENTRIES.c.seq)


class _Told:
    """Problems found, the first hundred in full."""

    def __init__(self, shown: str) -> None:
        self.shown = shown
        self.problems: list[Problem] = []
        self.more = 0

    def add(self, where: str, message: str, more: str = "") -> None:
        if len(self.problems) >= MOST_TOLD:
            self.more += 1
            return
        remedy = f"Compare with the latest backup: `quotekit ledger check --against BACKUP`.{more}"
        self.problems.append(error(Place(self.shown, cell=where), "ledger-changed", message, remedy))


class _Chain:
    """Entries in their order, each compared with the one before."""

    def __init__(self, told: _Told, ends: Sequence[End], known_hash: str) -> None:
        self.told, self.ends, self.known_hash = told, frozenset(ends), known_hash
        self.ends_here: set[End] = set()
        self.known_here = False
        self.count = 0
        self.before = START
        self.named: dict[str, int] = {}
        self.names: dict[str, set[str]] = {}
        self.links: set[tuple[int, str]] = set()
        self._last: dict[tuple[str, str], int] = {}

    def take(self, row: dict[str, Any]) -> None:
        self.count += 1
        where = f"entry {row['seq']}"
        self._compare_with_known(row)
        if not all(isinstance(row[name], kinds) for name, kinds in _FIELDS.items()):
            self.told.add(where, "It was changed after it was written: a text or a number is none any more.")
            self.before = row["hash"]
            return
        if row["seq"] != self.count:
            self.told.add(where, f"Entry {self.count} is missing before it.")
            self.count = row["seq"]
        if row["before"] != self.before:
            self.told.add(where, "It does not follow the entry before: one of the two was changed or taken out.")
        if hash_of(sealed_in(row)) != row["hash"]:
            self.told.add(where, "It was changed after it was written.")
        if row["job_key"] != job_key(row["job"]):
            self.told.add(where, "It is filed under another job than its own.")
        self.before = row["hash"]
        self._numbers(row, where)
        self._body(row, where)

    def _compare_with_known(self, row: dict[str, Any]) -> None:
        self.ends_here |= {End(row["seq"], row["hash"])} & self.ends
        if self.known_hash and isinstance(row["hash"], str):
            self.known_here |= row["hash"].startswith(self.known_hash)

    def _numbers(self, row: dict[str, Any], where: str) -> None:
        """Running numbers of a kind, and versions of a job, go up by one."""
        counted = [("number", row["kind"], row["number"])]
        counted += [("version", row["job_key"], row["version"])] if row["kind"] == "issued" else []
        for what, group, value in counted:
            if not isinstance(value, int):
                continue  # not numbered; or changed, which its hash has told
            last = self._last.get((what, group), 0)
            if value != last + 1:
                self.told.add(where, f"Its {what} is {value}; the one before was {last or 'none'}.")
            self._last[what, group] = value

    def _body(self, row: dict[str, Any], where: str) -> None:
        try:
            body = entry_of(row).told(KINDS[row["kind"]])
        except (UnreadableRecord, KeyError, ValueError) as raised:
            self.told.add(where, f"It can't be read: {raised}.")
            return
        for file in files_in(body):
            self.named.setdefault(file.sha256, row["seq"])
            self.names.setdefault(file.sha256, set()).add(letters(file.name))
            self.links.add((row["seq"], file.sha256))


def _check_files(ledger: Ledger, state: _Chain, told: _Told) -> int:
    """Each kept file against its digest, and against the entries that name it."""
    kept: set[str] = set()
    for row in ledger.each_row(FILES.select()):
        digest, data = row["sha256"], unpacked(row["packed"], row["sha256"])
        kept.add(digest)
        if data is None or len(data) != row["size"]:
            told.add(f"file {digest[:12]}", f"{row['name']} was changed after it was kept.")
        if row["name"] not in state.names.get(digest, ()):
            told.add(f"file {digest[:12]}", f"No entry names it {row['name']}.")
    for digest, seq in sorted(state.named.items()):
        if digest not in kept:
            told.add(f"entry {seq}", f"The file {digest[:12]} it names is missing.")
    return len(kept)


def _check_ends(state: _Chain, told: _Told, note: str) -> int | None:
    """What was last once, as noted beside the ledger or by a person, must still be there."""
    for end in sorted(state.ends - state.ends_here):
        why = "was made anew" if end.seq <= state.count else "is gone: cut off, or an older copy was put back"
        more = f" If you put back a backup yourself, move the file {note} away."
        told.add(f"entry {end.seq}", f"The note beside the ledger tells of this entry; it {why}.", more)
    if state.known_hash and not state.known_here:
        told.add("last entry", f"No entry has the hash {state.known_hash}: it was cut off, or all was made anew.")
    return max((end.seq for end in state.ends_here), default=None)


def _check_links(ledger: Ledger, state: _Chain, told: _Told) -> None:
    there = {(row["seq"], row["sha256"]) for row in ledger.each_row(ENTRY_FILES.select())}
    for seq, digest in sorted(there ^ state.links, key=str):
        told.add(f"entry {seq}", f"Its tie to the file {digest[:12]} was changed.")


def _check_database(ledger: Ledger, told: _Told) -> None:
    """Tables and what forbids changes, and SQLite's own look at its pages and keys."""
    connection = ledger.raw_connection()
    for difference in not_as_made(connection):
        told.add("database", difference)
    if ledger.address.path is None:
        return
    for answer in _answers(connection.exec_driver_sql("PRAGMA integrity_check").scalars()):
        told.add("database", f"SQLite finds it damaged: {answer}.")
    if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        told.add("database", "A row names one that is not there.")


def _answers(lines: Any) -> Iterator[str]:
    yield from (str(line) for line in lines if line != "ok")
