"""Whether a workbook is whole: what a reader meets while a program or a network is still at it."""

from __future__ import annotations

import os
import random
import zipfile
from pathlib import Path

import pytest

from quotekit.cli import whole_file
from quotekit.cli.whole_file import is_whole
from tests.cli.small_shop import job, shop_book, write_book


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return write_book(tmp_path / "book.xlsx", shop_book())


def test_a_workbook_is_whole(book: Path) -> None:
    assert is_whole(book)


@pytest.mark.parametrize("share", [0, 0.001, 0.3, 0.9, 0.999])
def test_the_beginning_of_one_is_not(book: Path, share: float) -> None:
    data = book.read_bytes()
    book.write_bytes(data[: int(len(data) * share)])
    assert not is_whole(book)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_a_new_one_grown_over_a_larger_old_one_is_not(book: Path, share: float, tmp_path: Path) -> None:
    """Written in place without emptying the file: the old end is there all the while."""
    new = write_book(tmp_path / "job.xlsx", job()).read_bytes()
    old = book.read_bytes()
    assert len(old) > len(new)
    part = int(len(new) * share)
    book.write_bytes(new[:part] + old[part:])
    assert zipfile.is_zipfile(book)
    assert not is_whole(book)


def test_room_made_before_it_is_filled(book: Path) -> None:
    """As copies over a network do: the size is that of the whole at once."""
    size = book.stat().st_size
    book.write_bytes(b"")
    os.truncate(book, size)
    assert not is_whole(book)


def test_one_letter_that_is_another_is_seen(book: Path) -> None:
    """Wherever in what is packed."""
    data = book.read_bytes()
    draw = random.Random(5)
    with zipfile.ZipFile(book) as package:
        members = [member for member in package.infolist() if member.compress_size > 40]
    for member in draw.sample(members, 5):
        at = member.header_offset + 30 + len(member.filename) + member.compress_size // 2
        book.write_bytes(data[:at] + bytes([data[at] ^ 0xFF]) + data[at + 1 :])
        assert not is_whole(book), member.filename


def test_no_file_at_all(tmp_path: Path) -> None:
    assert not is_whole(tmp_path / "gone.xlsx")
    assert not is_whole(tmp_path)


def test_a_very_large_one_is_left_to_the_reader(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Unpacking it would hold up the others; it is refused when it is read."""
    monkeypatch.setattr(whole_file, "LARGEST", 10)
    data = bytearray(book.read_bytes())
    with zipfile.ZipFile(book) as package:
        first = package.infolist()[0]
    data[first.header_offset + 30 + len(first.filename) + 2] ^= 0xFF
    book.write_bytes(data)
    assert is_whole(book)
