"""Outcomes that are kept for another run, one after the other in a file that only grows.

A frame is a mark, the length and the checksum of what follows, the key (what the outcome hangs on), and the packed
outcome. A run that is killed leaves at most one torn frame at the end: whatever does not read as a whole frame ends
what is known, and is written over.

    b"QK1\\0" | length of the rest, 4 bytes | CRC-32 of the rest, 4 bytes | key, 32 bytes | packed outcome
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from typing import NamedTuple

_MARK = b"QK1\0"
_HEAD = struct.Struct(">4sII")
_KEY = 32
HEAD_BYTES = _HEAD.size
FRAME_BYTES = HEAD_BYTES + _KEY
"""What a frame adds to the packed outcome."""
NOT_KEPT = bytes(_KEY)
"""The key of what is told now and worked out again by another run."""
OF_FOLDER = b"folder".ljust(_KEY, b"\0")
"""The key of what tells the folder of jobs from another of the same name."""


class Head(NamedTuple):
    """The start of a frame: how long the rest is, and its checksum."""

    length: int
    checksum: int


def key_of(*hangs_on: str) -> bytes:
    """The key of an outcome: a digest of everything it hangs on; no two lists of texts give the same.

    >>> key_of("a", "bc") == key_of("ab", "c")
    False
    """
    told = hashlib.sha256()
    for text in hangs_on:
        data = text.encode("utf-8", "surrogatepass")
        told.update(len(data).to_bytes(8, "big") + data)
    return told.digest()


def frame(key: bytes, packed: bytes) -> bytes:
    """One outcome as it is kept."""
    rest = key + packed
    return _HEAD.pack(_MARK, len(rest), zlib.crc32(rest)) + rest


def read_head(data: bytes) -> Head | None:
    """The start of a frame; None where there is none."""
    if len(data) < HEAD_BYTES:
        return None
    mark, length, checksum = _HEAD.unpack(data[:HEAD_BYTES])
    return Head(length, checksum) if mark == _MARK and length > _KEY else None


def read_rest(head: Head, rest: bytes) -> tuple[bytes, bytes] | None:
    """Key and packed outcome of what follows a head; None where it is not whole."""
    if len(rest) != head.length or zlib.crc32(rest) != head.checksum:
        return None
    return rest[:_KEY], rest[_KEY:]
