"""Entries as rows and back; which files a body names; what any database can keep."""

from __future__ import annotations

import hashlib
import zlib
from dataclasses import replace

import pytest

from quotekit.ledger.chain import START
from quotekit.ledger.rows import entry_of, files_in, letters, row_of, sealed_in, sealed_of, unpacked
from quotekit.model.entries import Issued, KeptFile, Noted
from tests.ledger.drafts import issued, noted

FILE = KeptFile(name="job.xlsx", sha256="ab" * 32)
PHOTO = KeptFile(name="left.jpg", sha256="cd" * 32)


def test_a_draft_as_a_row_and_back() -> None:
    row = row_of(sealed_of(issued(FILE, job=" A-7 ", version=2, number=5), seq=3, at="now", before=START))
    entry = entry_of(row)
    assert (entry.seq, entry.at, entry.kind, entry.job) == (3, "now", "issued", "A-7")
    assert (entry.version, entry.number, entry.before, entry.hash) == (2, 5, START, row["hash"])
    assert entry.told(Issued) == issued(FILE, version=2).body


def test_the_key_of_a_job_is_beside_what_is_sealed() -> None:
    row = row_of(sealed_of(noted(job="A  7"), seq=1, at="now", before=START))
    assert (row["job"], row["job_key"]) == ("A  7", "a 7")
    assert sealed_in(row) == sealed_of(noted(job="A  7"), seq=1, at="now", before=START)


def test_files_are_found_however_deep() -> None:
    body = replace(issued(FILE).body, photos=(PHOTO,))  # type: ignore[type-var]
    assert list(files_in(body)) == [FILE, FILE, PHOTO, FILE]
    assert list(files_in({"a": [(PHOTO,)], "b": "text"})) == [PHOTO]
    assert list(files_in(Noted(text="no file"))) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [("Ärger €", "Ärger €"), ("a\0b", "ab"), ("x\udce4y", "x\\udce4y"), ("", ""), ("日本", "日本")],
)
def test_letters_any_database_keeps(text: str, expected: str) -> None:
    assert letters(text) == expected


@pytest.mark.parametrize("data", [b"", b"abc", bytes(10_000)])
def test_bytes_are_unpacked_and_held_against_their_digest(data: bytes) -> None:
    digest = hashlib.sha256(data).hexdigest()
    assert unpacked(zlib.compress(data), digest) == data
    assert unpacked(zlib.compress(data + b"."), digest) is None


@pytest.mark.parametrize("packed", [b"rubbish", b"", "a text", None, 7])
def test_what_is_not_packed_is_none(packed: object) -> None:
    assert unpacked(packed, hashlib.sha256(b"abc").hexdigest()) is None
