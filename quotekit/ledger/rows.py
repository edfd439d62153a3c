"""Entries as rows of the database, and back."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from types import NoneType
from typing import Any, cast

from quotekit.ledger.chain import Sealed, canonical_json, hash_of
from quotekit.model.entries import Draft, Entry, EntryKind, KeptFile
from quotekit.model.record_json import UnreadableRecord, to_json
from quotekit.model.story import job_key


def sealed_of(draft: Draft, *, seq: int, at: str, before: str) -> Sealed:
    """A draft with its place in the ledger."""
    return Sealed(
        seq=seq,
        at=at,
        day=draft.day.isoformat(),
        who=letters(draft.who),
        why=letters(draft.why),
        kind=draft.kind,
        job=letters(draft.job.strip()),
        version=draft.version,
        number=draft.number,
        body=letters(canonical_json(to_json(draft.body))),
        before=before,
    )


def row_of(sealed: Sealed) -> dict[str, Any]:
    """The row to be written, with its hash."""
    return {**sealed._asdict(), "job_key": job_key(sealed.job), "hash": hash_of(sealed)}


def sealed_in(row: Mapping[str, Any]) -> Sealed:
    """What a row's hash seals, as it stands now."""
    return Sealed(**{name: row[name] for name in Sealed._fields})


def entry_of(row: Mapping[str, Any]) -> Entry:
    """A row as an entry. Raises UnreadableRecord where it no longer is one."""
    try:
        day, body = date.fromisoformat(row["day"]), json.loads(row["body"])
    except (TypeError, ValueError) as raised:
        raise UnreadableRecord(f"entry {row['seq']} was changed since it was written") from raised
    return Entry(
        seq=row["seq"],
        at=row["at"],
        day=day,
        who=row["who"],
        why=row["why"],
        kind=cast(EntryKind, row["kind"]),
        job=row["job"],
        version=row["version"],
        number=row["number"],
        body=body,
        hash=row["hash"],
        before=row["before"],
    )


_PLAIN = (str, bytes, int, Decimal, date, NoneType)
"""What holds nothing further: most of what a body tells."""


def files_in(value: object) -> Iterator[KeptFile]:
    """Every kept file that a body names, however deep."""
    if isinstance(value, KeptFile):
        yield value
        return
    for one in _held(value):
        if not isinstance(one, _PLAIN):
            yield from files_in(one)


def _held(value: object) -> Iterable[object]:
    """What a record, a group or a list holds."""
    if isinstance(value, _PLAIN):
        return ()
    if isinstance(value, Mapping):
        return value.values()
    if isinstance(value, Sequence):
        return value
    if is_dataclass(value) and not isinstance(value, type):
        return [getattr(value, field.name) for field in fields(value)]
    return ()


def unpacked(packed: object, sha256: str) -> bytes | None:
    """The bytes of a kept file; None where they are not what their digest says."""
    packing = zlib.decompressobj()
    try:
        data = packing.decompress(packed) if isinstance(packed, bytes) else b""
    except zlib.error:
        return None
    if not packing.eof or packing.unused_data:
        return None
    return data if hashlib.sha256(data).hexdigest() == sha256 else None


def letters(text: str) -> str:
    """Text that any database keeps: half letters of a file name in another coding are spelled out."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8").replace("\0", "")
