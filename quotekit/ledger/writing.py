"""One transaction that adds to a ledger: all of its entries and files, or none."""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable
from typing import TYPE_CHECKING

from quotekit.ledger.chain import START
from quotekit.ledger.end_note import End
from quotekit.ledger.rows import entry_of, files_in, letters, row_of, sealed_of
from quotekit.ledger.tables import ENTRIES, ENTRY_FILES, FILES
from quotekit.model.entries import Draft, Entry, EntryKind, KeptFile
from quotekit.model.story import job_key

if TYPE_CHECKING:
    from sqlalchemy import Connection


class Writing:
    """What may be added within the transaction; nothing can be changed."""

    def __init__(self, connection: Connection, now: Callable[[], str]) -> None:
        self._connection = connection
        self._now = now
        self.end: End | None = None
        """The last entry that was added."""

    def keep_file(self, name: str, data: bytes) -> KeptFile:
        """Keep the bytes of a file, once however often they come."""
        from sqlalchemy import select

        digest = hashlib.sha256(data).hexdigest()
        known = self._connection.execute(select(FILES.c.size).where(FILES.c.sha256 == digest)).first()
        if known is None:
            row = {"sha256": digest, "name": letters(name), "size": len(data), "packed": zlib.compress(data, 6)}
            self._connection.execute(FILES.insert().values(row))
        return KeptFile(name=name, sha256=digest)

    def append(self, draft: Draft) -> Entry:
        """Add an entry at the end. Raises what the database raises for a number that is taken."""
        from sqlalchemy import select

        last = self._connection.execute(
            select(ENTRIES.c.seq, ENTRIES.c.hash).order_by(ENTRIES.c.seq.desc()).limit(1)
        ).first()
        seq, before = (1, START) if last is None else (last.seq + 1, last.hash)
        row = row_of(sealed_of(draft, seq=seq, at=self._now(), before=before))
        self._connection.execute(ENTRIES.insert().values(row))
        kept = sorted({file.sha256 for file in files_in(draft.body)})
        if kept:
            self._connection.execute(ENTRY_FILES.insert(), [{"seq": seq, "sha256": digest} for digest in kept])
        self.end = End(seq, row["hash"])
        return entry_of(row)

    def hash_at(self, seq: int) -> str | None:
        """The hash of an entry; None where there is none."""
        from sqlalchemy import select

        return self._connection.execute(select(ENTRIES.c.hash).where(ENTRIES.c.seq == seq)).scalar()


def next_number(connection: Connection, kind: EntryKind) -> int:
    """The running number after the last of a kind: 1, 2, 3 and on."""
    from sqlalchemy import func, select

    last = connection.execute(select(func.max(ENTRIES.c.number)).where(ENTRIES.c.kind == kind)).scalar()
    return int(last or 0) + 1


def next_version(connection: Connection, job: str) -> int:
    """The version after the last issued of a job."""
    from sqlalchemy import func, select

    issued = (ENTRIES.c.kind == "issued") & (ENTRIES.c.job_key == job_key(job))
    last = connection.execute(select(func.max(ENTRIES.c.version)).where(issued)).scalar()
    return int(last or 0) + 1
