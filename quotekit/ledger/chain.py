"""Each entry seals the one before: a later change of any of them breaks the chain.

The hash of an entry is the SHA-256 of a JSON list of everything it holds and of the hash before it. The body is text
as stored, so that no other way of writing the same JSON can stand in for it. The first entry follows 64 zeros.
Whoever can write the database can also work the chain out again; it finds what was changed by hand or by mishap, and
compared with a backup or a noted last hash also what was made anew.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any, NamedTuple

START = "0" * 64


class Sealed(NamedTuple):
    """An entry as stored, everything that its hash seals."""

    seq: int
    at: str
    day: str
    who: str
    why: str
    kind: str
    job: str
    version: int | None
    number: int | None
    body: str
    before: str


def hash_of(entry: Sealed) -> str:
    """The hash of an entry, in hexadecimal digits."""
    return hashlib.sha256(canonical_json(list(entry)).encode()).hexdigest()


def canonical_json(value: Any) -> str:
    """JSON with sorted keys and no spaces, letters as they are: one text for one value."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
