"""The file as a package: what is refused before one byte of a sheet is looked at."""

from __future__ import annotations

import io
import os
import warnings
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from quotekit.workbook import package as package_module
from quotekit.workbook.package import BadPackage, open_package
from tests.workbook.raw_workbooks import BOOK, SHEET, codes, number, one_cell, packed, parts, read, values, write

OLE = bytes.fromhex("d0cf11e0a1b11ae1")
GOOD = packed(parts(one_cell("<v>5</v>")))


def refused(path: Path) -> str:
    """The one code a file is refused with; the place is the file and the message names no folder."""
    found, problems = open_package(path)
    assert found is None and len(problems) == 1
    assert problems[0].place.file == path.name and str(path.parent) not in problems[0].message
    return codes(problems)[0][0]


def ods() -> bytes:
    """An OpenDocument sheet: a package too, but of another kind."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        package.writestr("content.xml", "<office:document-content xmlns:office='urn:x'/>")
    return held.getvalue()


def with_flag(bit: int) -> bytes:
    """The good workbook with a flag bit set in each header, as an encrypted zip has."""
    data = bytearray(GOOD)
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.find(mark)
        while at >= 0:
            data[at + offset] |= bit
            at = data.find(mark, at + 4)
    return bytes(data)


def with_part(*names: str) -> bytes:
    """The good workbook with more parts, whose names are written as they are."""
    held = io.BytesIO(GOOD)
    with warnings.catch_warnings(), zipfile.ZipFile(held, "a") as package:
        warnings.simplefilter("ignore")
        for name in names:
            info = zipfile.ZipInfo("x")
            info.filename = name
            package.writestr(info, b"<a/>")
    return held.getvalue()


def lying(says: int, holds: int) -> bytes:
    """A workbook whose sheet says it unpacks to one size, and unpacks to another."""
    data = bytearray(packed({**parts(), SHEET: b" " * holds}))
    for mark, offset in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        at = data.find(mark)
        while at >= 0:
            if data[at + offset : at + offset + 4] == holds.to_bytes(4, "little"):
                data[at + offset : at + offset + 4] = says.to_bytes(4, "little")
            at = data.find(mark, at + 4)
    return bytes(data)


NOT_A_WORKBOOK: dict[str, bytes] = {
    "an empty file": b"",
    "text renamed": b"Part;Cost\nBELT;21.40\n",
    "a zip of something else": packed({"readme.txt": "hello"}),
    "an empty zip": packed({}),
    "an OpenDocument sheet": ods(),
    "an old .xls": OLE + bytes(600) + "Workbook".encode("utf-16-le"),
    "only the beginning of a workbook": GOOD[: len(GOOD) // 2],
    "a workbook without its list of content types": packed({k: v for k, v in parts().items() if "Types" not in k}),
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(100),
    "a zip that ends at once": b"PK\x05\x06" + bytes(18),
    "markup": b"<html><table><tr><td>5</td></tr></table></html>",
}


@pytest.mark.parametrize("data", NOT_A_WORKBOOK.values(), ids=NOT_A_WORKBOOK)
def test_what_is_no_workbook_is_said_to_be_none(tmp_path: Path, data: bytes) -> None:
    """Shops rename files: the content decides, never the ending."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(data)
    assert refused(path) == "not-a-workbook"


def test_a_missing_file_a_folder_and_a_name_that_cannot_be(tmp_path: Path) -> None:
    """Typing slips on the command line are answered, not raised."""
    assert refused(tmp_path / "prices.xlsx") == "missing-file"
    assert refused(tmp_path / "no such folder" / "prices.xlsx") == "missing-file"
    assert refused(tmp_path) == "not-a-workbook"
    assert refused(tmp_path / ("x" * 300)) in ("unreadable-file", "missing-file")
    assert refused(tmp_path / "a\0b.xlsx") in ("unreadable-file", "missing-file")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
def test_a_pipe_or_a_device_is_not_waited_for(tmp_path: Path) -> None:
    """Reading a pipe that nobody writes to would never end."""
    pipe = tmp_path / "prices.xlsx"
    os.mkfifo(pipe)
    assert refused(pipe) == "not-a-workbook"


@pytest.mark.parametrize(
    "data",
    [OLE + bytes(512) + "EncryptedPackage".encode("utf-16-le") + bytes(64), with_flag(0x1)],
    ids=["a workbook saved with a password", "a zip with a password"],
)
def test_a_password_is_told_apart_from_damage(tmp_path: Path, data: bytes) -> None:
    """The owner can mend this one at once, so it gets words of its own."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(data)
    assert refused(path) == "encrypted"


UNSAFE = [
    ("xl/../../evil.xml",),
    ("../evil.xml",),
    ("..",),
    ("/etc/evil.xml",),
    ("xl\\worksheets\\sheet1.xml",),
    ("C:\\evil.xml",),
    (SHEET,),
    (SHEET.upper(),),
    ("xl/a.xml", "xl/A.xml"),
    ("xl/media/a.png", "xl/media/a.png"),
]


@pytest.mark.parametrize("names", UNSAFE, ids=[" + ".join(names) for names in UNSAFE])
def test_part_names_that_climb_or_hide_another_part(tmp_path: Path, names: tuple[str, ...]) -> None:
    """Two parts of one name are read differently by different programs: the owner sees one, we price the other."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(with_part(*names))
    assert refused(path) == "bad-part-name"


def test_harmless_names_with_dots_are_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(with_part("xl/media/belt..cover.png", "xl/...xml", "docProps/größe.xml"))
    found, problems = open_package(path)
    assert found is not None and problems == []


def bomb() -> bytes:
    """A part of 100 MB that packs to about 100 KB."""
    return packed({**parts(), "xl/media/blank.bin": bytes(100 << 20)})


TOO_LARGE: dict[str, Callable[[], bytes]] = {
    "a part that packs a thousand to one": bomb,
    "more parts than any workbook has": lambda: packed(parts() | {f"xl/x{i}.xml": "" for i in range(2_001)}),
}


@pytest.mark.parametrize("make", TOO_LARGE.values(), ids=TOO_LARGE)
def test_packages_that_would_fill_the_memory(tmp_path: Path, make: Callable[[], bytes]) -> None:
    """1.5 MB can unpack to 624 MB and take the reading library 3.5 GB: refused from the headers alone."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(make())
    assert refused(path) == "too-large"


def test_many_parts_that_are_too_large_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each part may be within its limit and all of them far beyond it."""
    monkeypatch.setattr(package_module, "MOST_UNPACKED", 10_000)
    path = write(tmp_path, parts() | {f"xl/media/{i}.bin": bytes(3_000) for i in range(4)})
    assert refused(path) == "too-large"


def test_a_file_that_is_too_large_is_not_even_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(package_module, "MOST_FILE_BYTES", 100)
    path = tmp_path / "prices.xlsx"
    path.write_bytes(GOOD)
    assert refused(path) == "too-large"


def test_a_part_that_lies_about_its_size_stops_at_what_it_says(tmp_path: Path) -> None:
    """A header can say 1 KB where 100 MB follow: unpacking stops there, not at the end."""
    path = tmp_path / "prices.xlsx"
    path.write_bytes(lying(1_000, 100 << 20))
    found, problems = open_package(path)
    assert found is not None and problems == []
    with pytest.raises(BadPackage) as caught:
        found.read(SHEET)
    assert caught.value.code == "too-large"


def test_a_part_shorter_than_it_says_is_damaged(tmp_path: Path) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(lying(3_000, 2_000))
    found, _problems = open_package(path)
    assert found is not None
    with pytest.raises(BadPackage, match="damaged"):
        found.read(SHEET)


def test_a_changed_byte_in_a_stored_part_is_damage(tmp_path: Path) -> None:
    """A price altered on a bad disk still unpacks; only the checksum tells."""
    path = tmp_path / "prices.xlsx"
    whole = packed(parts(one_cell("<v>1234</v>")), zipfile.ZIP_STORED)
    path.write_bytes(whole.replace(b"<v>1234</v>", b"<v>9234</v>"))
    found, _problems = open_package(path)
    assert found is not None
    with pytest.raises(BadPackage, match="damaged"):
        found.read(SHEET)


def test_a_missing_part_and_a_packing_no_workbook_uses(tmp_path: Path) -> None:
    found, _problems = open_package(write(tmp_path, parts()))
    assert found is not None
    with pytest.raises(BadPackage, match="lacks its part"):
        found.read("xl/nothing.xml")
    path = tmp_path / "packed.xlsx"
    path.write_bytes(packed(parts(), zipfile.ZIP_BZIP2))
    other, _problems = open_package(path)
    assert other is not None
    with pytest.raises(BadPackage, match="packed in a way"):
        other.read(SHEET)


def test_what_is_read_is_what_was_packed(tmp_path: Path) -> None:
    """Stored and packed members give the same bytes, and the hash is of the file."""
    for compression in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        held = parts(one_cell("<v>5</v>"))
        path = tmp_path / "prices.xlsx"
        path.write_bytes(packed(held, compression))
        found, problems = open_package(path)
        assert found is not None and problems == []
        assert found.read(SHEET) == str(held[SHEET]).encode() and found.read(BOOK) == str(held[BOOK]).encode()
        assert len(found.sha256) == 64


def test_a_large_honest_sheet_passes_the_limits(tmp_path: Path) -> None:
    """Thousands of equal rows pack very small; the limits must not stop them."""
    rows = "".join(f'<row r="{i}">{number(f"A{i}")}{number(f"B{i}")}</row>' for i in range(1, 8_001))
    grid, problems = read(tmp_path, rows)
    assert problems == [] and len(values(grid)) == 16_000
