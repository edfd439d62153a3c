"""A zip with one member changed: every other byte that is not a size or a place stays."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Callable, Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.in_place.raw_package import with_members
from quotekit.workbook.package import BadPackage
from tests.in_place import awkward
from tests.in_place.compare import collateral, local_extra
from tests.workbook import raw_workbooks as raw

PARTS = {"a.txt": b"first" * 40, "b.txt": b"second", "c/d.bin": bytes(range(256)) * 9}
FORMS: tuple[Callable[[Mapping[str, bytes]], bytes], ...] = (
    raw.packed,
    awkward.described,
    awkward.described_wide,
    awkward.wide,
    awkward.wide_ending,
    awkward.shuffled,
)


def read(data: bytes) -> dict[str, bytes]:
    """Every member, its sum checked by zipfile."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


@pytest.mark.parametrize("pack", FORMS, ids=lambda pack: pack.__name__)
@pytest.mark.parametrize("name", PARTS)
@pytest.mark.parametrize("content", [b"", b"x", b"another content, longer than before " * 90], ids=["", "x", "long"])
def test_one_member(pack: Callable[[Mapping[str, bytes]], bytes], name: str, content: bytes) -> None:
    """In every way that sizes can be told."""
    before = pack(PARTS)
    after = with_members(before, {name: content})
    assert read(after) == PARTS | {name: content}
    assert collateral(before, after, [], []) == [f"bytes of {name}"]
    back = with_members(after, {name: PARTS[name]})
    assert collateral(before, back, [], []) in ([], [f"bytes of {name}"])
    assert read(back) == PARTS


@pytest.mark.parametrize("pack", FORMS, ids=lambda pack: pack.__name__)
def test_nothing_changed(pack: Callable[[Mapping[str, bytes]], bytes]) -> None:
    before = pack(PARTS)
    assert with_members(before, {}) == before


def test_heads_and_descriptors_tell_the_truth() -> None:
    """A reader that goes from front to back finds the sizes where they stood, in the form they had."""
    for pack in FORMS:
        data = with_members(pack(PARTS), {"a.txt": b"other"})
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            info = package.getinfo("a.txt")
        head = data[info.header_offset : info.header_offset + 30]
        flags, total, packed, size = struct.unpack_from("<H", head, 6) + struct.unpack_from("<III", head, 14)
        begin = info.header_offset + 30 + len("a.txt") + len(local_extra(data, info))
        if flags & 8:
            behind = data[begin + info.compress_size :]
            assert behind[:4] == b"PK\x07\x08"
            form = "<IQQ" if pack is awkward.described_wide else "<III"
            assert struct.unpack_from(form, behind, 4) == (info.CRC, info.compress_size, 5)
        elif size == 0xFFFFFFFF:
            wide = local_extra(data, info).partition(b"\x01\x00\x10\x00")[2]
            assert struct.unpack_from("<QQ", wide) == (5, info.compress_size)
            assert total == info.CRC
        else:
            assert (total, packed, size) == (info.CRC, info.compress_size, 5)


@given(
    st.dictionaries(st.text("abcdef/", min_size=1, max_size=9), st.binary(max_size=300), min_size=1, max_size=6),
    st.binary(max_size=300),
    st.sampled_from(FORMS),
)
def test_any_members(parts: dict[str, bytes], content: bytes, pack: Callable[[Mapping[str, bytes]], bytes]) -> None:
    """Whatever they hold, also what looks like the end of a zip."""
    parts = {name.strip("/") or "a": data + b"PK\x05\x06" for name, data in parts.items()}
    name = next(iter(parts))
    after = with_members(pack(parts), {name: content})
    assert read(after) == parts | {name: content}
    assert collateral(pack(parts), after, [], []) in ([], [f"bytes of {name}"])


def damaged() -> dict[str, bytes]:
    """Zips that are put together in ways that are not followed, by what is odd."""
    plain, wide = raw.packed(PARTS), awkward.wide_ending(PARTS)
    tail = plain.rfind(b"PK\x05\x06")

    def patched(at: int, form: str, *values: int) -> bytes:
        return plain[:at] + struct.pack(form, *values) + plain[at + struct.calcsize(form) :]

    start = struct.unpack_from("<I", plain, tail + 16)[0]
    return {
        "no zip": b"no zip at all, only some words",
        "cut": plain[:-30],
        "bytes behind it": plain + b"more",
        "bytes before it": b"MZ" + plain,
        "two disks": patched(tail + 4, "<H", 1),
        "counts differ": patched(tail + 8, "<H", 2),
        "directory elsewhere": patched(tail + 16, "<I", start + 1),
        "an entry that is none": patched(start, "<I", 0),
        "two members at one place": patched(start + 46 + 5 + 42, "<I", 0),
        "longer than there is room": patched(start + 20, "<I", 10_000_000),
        "no finder of the wide ending": wide.replace(b"PK\x06\x07", b"XX\x06\x07"),
        "no wide ending": wide.replace(b"PK\x06\x06", b"XX\x06\x06"),
        "another way of packing": patched(8, "<H", 12),
    }


@pytest.mark.parametrize("what", damaged())
def test_odd_zips_are_refused(what: str) -> None:
    """Nothing is guessed about where a member lies."""
    with pytest.raises(BadPackage) as refused:
        with_members(damaged()[what], {"a.txt": b"new"})
    assert refused.value.code == "broken-workbook"


def test_a_member_that_is_not_there() -> None:
    with pytest.raises(BadPackage):
        with_members(raw.packed(PARTS), {"gone": b""})
