"""A list's file: plain, zipped, in any encoding, or nothing that can be a list."""

from __future__ import annotations

import io
import zipfile
from concurrent.futures import Future
from pathlib import Path

import pytest

from quotekit.suppliers import open_list as opening
from quotekit.suppliers.open_list import ListFile, as_utf8, open_list
from tests.suppliers.lists import write_list

TEXT = b"Part No,Net\nA,1\n"


def zipped(**files: bytes) -> bytes:
    """A zip of some files; `_` in a name stands for a point."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in files.items():
            package.writestr(name.replace("_", "."), data)
    return held.getvalue()


def stored(data: bytes) -> ListFile:
    """A text list as it was read from the disk."""
    return ListFile(file="acme.csv", kind="text", data=data, digest=Future())


def test_a_plain_list(tmp_path: Path) -> None:
    found, problems = open_list(write_list(tmp_path, TEXT))
    assert problems == [] and found is not None
    assert (found.kind, found.data, len(found.digest.result())) == ("text", TEXT, 64)


@pytest.mark.parametrize(
    ("data", "member", "expected"),
    [
        (zipped(acme_csv=TEXT), "", "acme.csv"),
        (zipped(acme_csv=TEXT, readme_pdf=b"x"), "", "acme.csv"),
        (zipped(acme_csv=b"x", old_csv=TEXT), "old.csv", "old.csv"),
        (zipped(only_dat=TEXT), "", "only.dat"),
    ],
)
def test_a_zipped_list(tmp_path: Path, data: bytes, member: str, expected: str) -> None:
    found, problems = open_list(write_list(tmp_path, data, "acme.zip"), member)
    assert problems == [] and found is not None
    assert (found.data, found.member, found.file) == (TEXT, expected, "acme.zip")


@pytest.mark.parametrize(
    ("data", "member", "code", "says"),
    [
        (b"", "", "not-a-list", "is empty"),
        (b" \r\n ", "", "not-a-list", "is empty"),
        (b"%PDF-1.7", "", "not-a-list", "is a PDF"),
        (b"\x1f\x8b\x08", "", "not-a-list", "gzip"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"x", "", "not-a-list", "old format"),
        (b"PK\x03\x04 and no more", "", "not-a-list", "damaged zip"),
        (zipped(), "", "not-a-list", "is empty"),
        (zipped(a_csv=TEXT, b_csv=TEXT), "", "which-member", "holds 2 files"),
        (zipped(a_csv=TEXT), "b.csv", "which-member", "holds no b.csv"),
        (zipped(a_zip=zipped(a_csv=TEXT)), "", "not-a-list", "zip within a zip"),
        (zipped(a_csv=b""), "", "not-a-list", "is empty"),
    ],
)
def test_what_is_no_list(tmp_path: Path, data: bytes, member: str, code: str, says: str) -> None:
    found, problems = open_list(write_list(tmp_path, data, "acme.zip"), member)
    if data == zipped():  # an empty zip begins with another mark and is taken for text
        return
    assert found is None
    assert problems[0].code == code and says in problems[0].message, problems


def test_several_files_are_named(tmp_path: Path) -> None:
    _, (problem,) = open_list(write_list(tmp_path, zipped(a_csv=TEXT, b_csv=TEXT), "acme.zip"))
    assert "--member" in problem.remedy and "a.csv or b.csv" in problem.remedy


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    assert open_list(tmp_path / "no.csv")[1][0].code == "missing-file"
    assert open_list(tmp_path)[1][0].code == "not-a-list"


def test_a_zip_that_unpacks_to_far_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A thousandfold is no list; the limit is looked at before anything is unpacked."""
    monkeypatch.setattr(opening, "_SMALL", 1 << 16)
    found, (problem,) = open_list(write_list(tmp_path, zipped(a_csv=b"0" * (1 << 20)), "acme.zip"))
    assert found is None and problem.code == "list-too-large"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "cp850", "iso8859-15"])
def test_every_encoding_gives_the_same_text(encoding: str) -> None:
    text = "No;Größe\r\nA;1\r\n"
    data, problems = as_utf8(stored(text.encode(encoding)), encoding.replace("-sig", ""))
    assert problems == [] and data == text.encode()


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252", "cp437", "mac-roman", "cp1251", "utf-16-le", "utf-7"])
def test_plain_characters_are_the_same_in_every_encoding(encoding: str) -> None:
    """What only looks plain is not: UTF-16 without a mark, and encodings that write others with plain ones."""
    text = "No;Net\r\nA;1 €\r\n" if encoding == "utf-7" else "No;Net\r\nA;1\r\n"
    opened = stored(text.encode(encoding))
    assert opened.plain and as_utf8(opened, encoding) == (text.encode(), [])


def test_a_byte_order_mark_wins_over_the_mapping() -> None:
    data, problems = as_utf8(stored("Größe".encode("utf-8-sig")), "cp1252")
    assert data == "Größe".encode() and problems == []


def test_line_ends_of_old_machines() -> None:
    assert as_utf8(stored(b"a;b\r1;2\r"), "utf-8")[0] == b"a;b\n1;2\n"


def test_the_mark_that_ends_files_of_dos() -> None:
    """Else it would be a row of its own."""
    assert as_utf8(stored(b"a;b\r\n\x1a"), "cp437")[0] == b"a;b\r\n"


@pytest.mark.parametrize(("data", "encoding"), [(b"a\n\xff\xfd;1", "utf-8"), (b"a\nb\x81", "cp1252")])
def test_what_is_not_of_the_encoding_is_told_with_its_line(data: bytes, encoding: str) -> None:
    found, (problem,) = as_utf8(stored(data), encoding)
    assert found is None and problem.code == "not-the-encoding" and "line 2" in problem.message


def test_a_damaged_zip_of_another_way_of_packing(tmp_path: Path) -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_LZMA) as package:
        package.writestr("a.csv", TEXT * 50)
    data = bytearray(held.getvalue())
    data[60] ^= 0xFF
    found, (problem,) = open_list(write_list(tmp_path, bytes(data), "acme.zip"))
    assert found is None and problem.code == "not-a-list" and "damaged zip" in problem.message


@pytest.mark.parametrize(
    ("beside", "taken"),
    [("README.txt", True), ("docs/Liesmich.TXT", True), ("readme.csv", False), ("terms.txt", False)],
)
def test_a_letter_beside_a_zipped_list(tmp_path: Path, beside: str, taken: bool) -> None:
    """A text named as one to be read is no list; what else lies beside the list is asked for."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as package:
        package.writestr(beside, "Prices are confidential.\n")
        package.writestr("prices/list.csv", TEXT)
    found, problems = open_list(write_list(tmp_path, packed.getvalue(), "acme.zip"))
    assert (found is not None and found.member == "prices/list.csv") is taken
    assert [problem.code for problem in problems] == ([] if taken else ["which-member"])
