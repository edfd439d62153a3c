"""The shop's ledger: entries are read by job, kind and day, and added at the end; nothing in it is ever changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from quotekit.ledger.address import Address
from quotekit.ledger.alone import alone_in_file, alone_on_server
from quotekit.ledger.connect import adding
from quotekit.ledger.end_note import End, no_longer_fit, note_end, read_ends
from quotekit.ledger.fault import LedgerFault, after_recording, fault, in_plain_words, unfinished, unsure
from quotekit.ledger.rows import entry_of, unpacked
from quotekit.ledger.tables import ENTRIES, FILES
from quotekit.ledger.writing import Writing, next_number, next_version
from quotekit.model.entries import Entry, EntryKind
from quotekit.model.record_json import UnreadableRecord
from quotekit.model.story import Story, job_key, story_of

if TYPE_CHECKING:
    from sqlalchemy import Connection, Select


def utc_now() -> str:
    """The time of an entry, to the microsecond."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


class Ledger:
    """An open ledger, used by one thread; `with open_ledger(...)` closes it."""

    def __init__(self, connection: Connection, address: Address, now: Callable[[], str] = utc_now) -> None:
        self.address = address
        self._connection = connection
        self._now = now
        self._added = False
        """Whether this command has recorded something already."""

    def __enter__(self) -> Ledger:
        return self

    def __exit__(self, kind: object, raised: BaseException | None, trace: object) -> None:
        self._connection.close()
        self._connection.engine.dispose()
        if self._added and isinstance(raised, LedgerFault):
            raise after_recording(raised) from raised

    def alone(self) -> AbstractContextManager[None]:
        """Hold the ledger for this command: others wait. Raises LedgerFault where one holds it too long."""
        if self.address.path is not None:
            return alone_in_file(self.address.path)
        return alone_on_server(self._connection, self.address.shown)

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """One transaction that adds; an exception inside leaves the ledger as it was."""
        asked, lost = False, list[End]()
        try:
            with in_plain_words(self.address.shown), adding(self._connection) as connection:
                if self.address.path is None:
                    connection.exec_driver_sql(f"LOCK TABLE {ENTRIES.name} IN SHARE ROW EXCLUSIVE MODE")
                writing = Writing(connection, self._now)
                yield writing
                if self.address.path is not None:
                    lost = no_longer_fit(read_ends(self.address.path), writing.hash_at)
                asked = True
        except LedgerFault as raised:
            if asked and raised.problem.code == "ledger-gone":
                raise unsure(raised, before=self._added) from raised
            if self._added:
                raise unfinished(raised) from raised
            raise
        self._added = self._added or writing.end is not None
        if self.address.path is not None and writing.end is not None:
            note_end(self.address.path, lost, writing.end)

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """What is read inside is of one moment, while others go on writing."""
        with in_plain_words(self.address.shown), self._connection.begin():
            if self.address.path is None:
                self._connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield

    def entries(
        self,
        job: str | None = None,
        kinds: Sequence[EntryKind] = (),
        first: date | None = None,
        last: date | None = None,
    ) -> list[Entry]:
        """Entries in their order, of a job, of kinds, from a day to a day (both included)."""
        from sqlalchemy import select

        query = select(ENTRIES).order_by(ENTRIES.c.seq)
        if job is not None:
            query = query.where(ENTRIES.c.job_key == job_key(job))
        if kinds:
            query = query.where(ENTRIES.c.kind.in_(kinds))
        if first is not None:
            query = query.where(ENTRIES.c.day >= first.isoformat())
        if last is not None:
            query = query.where(ENTRIES.c.day <= last.isoformat())
        with self.readable(job or ""):
            return [entry_of(row) for row in self._rows(query)]

    def story(self, job: str) -> Story:
        """What happened to a job. Raises LedgerFault where an entry can't be read."""
        return self.story_told(job, self.entries(job))

    def story_told(self, job: str, entries: Sequence[Entry]) -> Story:
        """What happened to a job, by its entries. Raises LedgerFault where one can't be read."""
        with self.readable(job):
            return story_of(job, entries)

    @contextmanager
    def readable(self, job: str = "") -> Iterator[None]:
        """Turns an entry that can't be read, of a job or of any, into a LedgerFault."""
        try:
            yield
        except (UnreadableRecord, KeyError) as raised:
            remedy = "It was written by a newer quotekit, or changed since: run `quotekit ledger check`."
            of_job = f" of job {job}" if job else ""
            raise fault(self.address.shown, "ledger-unreadable", f"An entry{of_job}: {raised}.", remedy) from raised

    def jobs(self) -> tuple[str, ...]:
        """Every job number with a quote, in the order of their first."""
        from sqlalchemy import func, select

        seq = func.min(ENTRIES.c.seq)
        query = select(func.min(ENTRIES.c.job).label("job")).where(ENTRIES.c.kind == "issued")
        return tuple(row["job"] for row in self._rows(query.group_by(ENTRIES.c.job_key).order_by(seq)))

    def last_seq(self, *jobs: str) -> int:
        """Place of the last entry there is, or of the last of these jobs ("" is what belongs to no job); 0 for none."""
        from sqlalchemy import func, select

        query = select(func.max(ENTRIES.c.seq).label("last"))
        if jobs:
            query = query.where(ENTRIES.c.job_key.in_([job_key(job) for job in jobs]))
        return int(self._rows(query)[0]["last"] or 0)

    def next_number(self, kind: EntryKind) -> int:
        """The running number that comes next among the entries of a kind; it holds while this command is alone."""
        with in_plain_words(self.address.shown), self._reading() as connection:
            return next_number(connection, kind)

    def next_version(self, job: str) -> int:
        """The version that comes next of a job; it holds while this command is alone."""
        with in_plain_words(self.address.shown), self._reading() as connection:
            return next_version(connection, job)

    def file(self, sha256: str) -> bytes:
        """The bytes of a kept file. Raises LedgerFault where it is not there or no longer what it was."""
        from sqlalchemy import select

        rows = self._rows(select(FILES.c.packed).where(FILES.c.sha256 == sha256))
        data = unpacked(rows[0]["packed"], sha256) if rows else None
        if data is None:
            message = f"A file it keeps ({sha256[:12]}) is missing or was changed."
            raise fault(self.address.shown, "ledger-file-lost", message, "Put back the latest backup of the ledger.")
        return data

    def each_row(self, query: Select[Any]) -> Iterator[dict[str, Any]]:
        """Rows one by one, for what goes through the whole ledger."""
        with in_plain_words(self.address.shown), self._reading() as connection:
            for row in connection.execute(query.execution_options(yield_per=500)).mappings():
                yield dict(row)

    def raw_connection(self) -> Connection:
        """The connection, for backup, check and migrations."""
        return self._connection

    def _rows(self, query: Select[Any]) -> list[dict[str, Any]]:
        with in_plain_words(self.address.shown), self._reading() as connection:
            return [dict(row) for row in connection.execute(query).mappings()]

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        """The transaction that is open already, or one of its own."""
        if self._connection.in_transaction():
            yield self._connection
            return
        with self._connection.begin():
            yield self._connection
