"""The zip around a workbook, changed member by member: all that is not changed keeps its bytes and its order.

A zip is a row of members, each with a head of its own, and a directory at the end that lists them with their places.
Here a changed member keeps its head, its time, its extra fields and the way its sizes are told (in the head, in a
descriptor behind it, in fields of 64 bits); only sizes, sum and places are new.
Source: PKWARE APPNOTE, sections 4.3 and 4.5 (from memory; checked against zipfile).
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from quotekit.workbook.package import BadPackage

_LOCAL, _LISTED, _END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"
_END_64, _FINDER_64 = b"PK\x06\x06", b"PK\x06\x07"
_DESCRIPTOR = b"PK\x07\x08"
_HEAD, _ENTRY, _LAST = 30, 46, 22
_MAX_32, _MAX_16 = 0xFFFFFFFF, 0xFFFF
_NAME_UTF_8, _FIRST_DAY = 0x800, 0x21
_WITH_DESCRIPTOR, _STORED, _DEFLATED = 0x8, 0, 8


@dataclass(kw_only=True)
class _Member:
    """One entry of the directory, and where its member lies; `listed` is the entry as bytes."""

    name: bytes
    listed: bytes
    start: int
    packed: int
    size: int
    end: int = 0


@dataclass(kw_only=True)
class _Directory:
    """Where the directory and what ends it lie."""

    start: int
    end: int
    count: int
    tail: int
    end_64: int = -1


def with_members(data: bytes, changed: Mapping[str, bytes], added: Mapping[str, bytes] | None = None) -> bytes:
    """The package with other content in some members, by their exact names, and with new ones behind the others.

    All else stays. Raises BadPackage.
    """
    directory = _directory(data)
    members = _members(data, directory)
    wanted = {name.encode(): content for name, content in changed.items()}
    missing = wanted.keys() - {member.name for member in members}
    if missing:
        raise _damaged()
    in_place = sorted(members, key=lambda member: member.start)
    pieces, places, position = [data[: in_place[0].start]], {}, in_place[0].start
    listed: dict[int, bytes] = {}
    for member in in_place:
        places[member.start] = position
        piece = data[member.start : member.end]
        entry = member.listed
        if member.name in wanted:
            piece, entry = _changed(piece, member, wanted[member.name])
        listed[member.start] = _placed(entry, position)
        pieces.append(piece)
        position += len(piece)
    listing = [listed[member.start] for member in members]
    for name, content in (added or {}).items():
        piece, entry = _new(name.encode(), content)
        listing.append(_placed(entry, position))
        pieces.append(piece)
        position += len(piece)
    entries = b"".join(listing)
    directory.count = len(listing)
    pieces += [entries, _ending(data, directory, position, len(entries))]
    return b"".join(pieces)


def _directory(data: bytes) -> _Directory:
    tail = data.rfind(_END, max(0, len(data) - _LAST - _MAX_16))
    if tail < 0 or tail + _LAST > len(data):
        raise _damaged()
    disk, first, here, count, size, start, words = struct.unpack_from("<HHHHIIH", data, tail + 4)
    if disk or first or here != count or tail + _LAST + words != len(data):
        raise _damaged()
    found = _Directory(start=start, end=start + size, count=count, tail=tail)
    if _MAX_32 in (size, start) or count == _MAX_16 or data[tail - 20 : tail - 16] == _FINDER_64:
        found = _directory_64(data, tail)
    if found.end != (found.tail if found.end_64 < 0 else found.end_64):
        raise _damaged()
    return found


def _directory_64(data: bytes, tail: int) -> _Directory:
    if data[tail - 20 : tail - 16] != _FINDER_64:
        raise _damaged()
    (end_64,) = struct.unpack_from("<Q", data, tail - 12)
    if data[end_64 : end_64 + 4] != _END_64 or end_64 + 56 > tail:
        raise _damaged()
    here, count, size, start = struct.unpack_from("<QQQQ", data, end_64 + 24)
    if here != count:
        raise _damaged()
    return _Directory(start=start, end=start + size, count=count, tail=tail, end_64=end_64)


def _members(data: bytes, directory: _Directory) -> list[_Member]:
    """The members as listed, each with its stretch of the file, which reaches to the next or to the directory."""
    found, at = [], directory.start
    for _ in range(directory.count):
        if data[at : at + 4] != _LISTED:
            raise _damaged()
        name, extra, words = struct.unpack_from("<HHH", data, at + 28)
        end = at + _ENTRY + name + extra + words
        found.append(_member(data[at:end], name, extra))
        at = end
    if at > directory.end or not found:
        raise _damaged()
    found[-1].listed += data[at : directory.end]
    in_place = sorted(found, key=lambda member: member.start)
    for member, following in zip(in_place, [*(one.start for one in in_place[1:]), directory.start], strict=True):
        member.end = following
        if data[member.start : member.start + 4] != _LOCAL or member.start + _HEAD + member.packed > following:
            raise _damaged()
    return found


def _member(entry: bytes, name: int, extra: int) -> _Member:
    packed, size = struct.unpack_from("<II", entry, 20)
    (start,) = struct.unpack_from("<I", entry, 42)
    numbers = [size, packed, start]
    for at in _wide_fields(entry[_ENTRY + name : _ENTRY + name + extra]):
        wide = iter(struct.unpack_from(f"<{at[1] // 8}Q", entry, _ENTRY + name + at[0]))
        numbers = [next(wide, number) if number == _MAX_32 else number for number in numbers]
    size, packed, start = numbers
    return _Member(name=entry[_ENTRY : _ENTRY + name], listed=entry, start=start, packed=packed, size=size)


def _wide_fields(extra: bytes) -> Iterator[tuple[int, int]]:
    """Where the field of 64-bit sizes begins in extra fields, and its length."""
    at = 0
    while at + 4 <= len(extra):
        kind, length = struct.unpack_from("<HH", extra, at)
        if kind == 1:
            yield at + 4, length
            return
        at += 4 + length


def _changed(piece: bytes, member: _Member, content: bytes) -> tuple[bytes, bytes]:
    """The stretch and the entry of a member with another content."""
    flags, method = struct.unpack_from("<HH", piece, 6)
    name, extra = struct.unpack_from("<HH", piece, 26)
    begin = _HEAD + name + extra
    rest = piece[begin + member.packed :]
    packed = _packed(content, method)
    total = zlib.crc32(content)
    if max(len(content), len(packed)) >= _MAX_32:
        raise BadPackage("too-large", "a part of the workbook would be larger than 4 GB", "Save only what is used.")
    head = bytearray(piece[:begin])
    if flags & _WITH_DESCRIPTOR:
        rest = _described(rest, member, (total, len(packed), len(content)))
    if not flags & _WITH_DESCRIPTOR or struct.unpack_from("<I", head, 14)[0]:
        _resize(head, 14, _HEAD + name, extra, (total, len(packed), len(content)))
    entry = bytearray(member.listed)
    listed_name, listed_extra = struct.unpack_from("<HH", entry, 28)
    _resize(entry, 16, _ENTRY + listed_name, listed_extra, (total, len(packed), len(content)))
    return bytes(head) + packed + rest, bytes(entry)


def _new(name: bytes, content: bytes) -> tuple[bytes, bytes]:
    """A member that was not there, and its entry, its place still to be told; its time is the first a zip knows."""
    packed = _packed(content, _DEFLATED)
    flags = 0 if name.isascii() else _NAME_UTF_8
    told = (20, flags, _DEFLATED, 0, _FIRST_DAY, zlib.crc32(content), len(packed), len(content), len(name), 0)
    head = _LOCAL + struct.pack("<HHHHHIIIHH", *told) + name
    entry = _LISTED + struct.pack("<HHHHHHIIIHHHHHII", 20, *told, 0, 0, 0, 0, 0) + name
    return head + packed, entry


def _packed(content: bytes, method: int) -> bytes:
    if method == _STORED:
        return content
    if method != _DEFLATED:
        raise _damaged()
    press = zlib.compressobj(6, zlib.DEFLATED, -15)
    return press.compress(content) + press.flush()


def _described(rest: bytes, member: _Member, told: tuple[int, int, int]) -> bytes:
    """What follows the packed bytes, with a new descriptor in the form of the old one."""
    start = 4 if rest[:4] == _DESCRIPTOR else 0
    known = (struct.unpack_from("<I", member.listed, 16)[0], member.packed, member.size)
    for form in ("<III", "<IQQ"):
        end = start + struct.calcsize(form)
        if len(rest) >= end and struct.unpack_from(form, rest, start) == known:
            return rest[:start] + struct.pack(form, *told) + rest[end:]
    raise _damaged()


def _resize(head: bytearray, at: int, extra_at: int, extra: int, told: tuple[int, int, int]) -> None:
    """Write sum and sizes where a head tells them; in its field of 64 bits where it points there."""
    total, packed, size = told
    struct.pack_into("<I", head, at, total)
    wide = next(_wide_fields(bytes(head[extra_at : extra_at + extra])), None)
    place = extra_at + wide[0] if wide else -1
    for offset, number in ((at + 8, size), (at + 4, packed)):
        if wide and struct.unpack_from("<I", head, offset)[0] == _MAX_32:
            struct.pack_into("<Q", head, place, number)
            place += 8
        else:
            struct.pack_into("<I", head, offset, number)


def _placed(entry: bytes, position: int) -> bytes:
    """An entry that says where its member begins now."""
    changed = bytearray(entry)
    size, packed = struct.unpack_from("<I", entry, 24)[0], struct.unpack_from("<I", entry, 20)[0]
    if struct.unpack_from("<I", entry, 42)[0] != _MAX_32:
        struct.pack_into("<I", changed, 42, position)
        return bytes(changed)
    name, extra = struct.unpack_from("<HH", entry, 28)
    begin = _ENTRY + name
    wide = next(_wide_fields(entry[begin : begin + extra]), None)
    if wide is None:
        raise _damaged()
    struct.pack_into("<Q", changed, begin + wide[0] + 8 * ((size == _MAX_32) + (packed == _MAX_32)), position)
    return bytes(changed)


def _ending(data: bytes, directory: _Directory, start: int, size: int) -> bytes:
    """What ends the file, with the directory's new place."""
    last = bytearray(data[directory.tail :])
    before = bytearray()
    if directory.end_64 >= 0:
        before = bytearray(data[directory.end_64 : directory.tail])
        struct.pack_into("<QQQQ", before, 24, directory.count, directory.count, size, start)
        struct.pack_into("<Q", before, len(before) - 12, start + size)
    for form, at, number, most in (
        ("<H", 8, directory.count, _MAX_16),
        ("<H", 10, directory.count, _MAX_16),
        ("<I", 12, size, _MAX_32),
        ("<I", 16, start, _MAX_32),
    ):
        if struct.unpack_from(form, last, at)[0] != most:
            struct.pack_into(form, last, at, number)
    return bytes(before + last)


def _damaged() -> BadPackage:
    return BadPackage("broken-workbook", "the package is put together in an unusual way")
