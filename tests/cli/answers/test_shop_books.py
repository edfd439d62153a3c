"""Which shop book a cell's function is of, on the disk and open, and when it is read again."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from quotekit.cli.answers import functions, open_books
from quotekit.cli.answers.shop_books import LOOKS_AGAIN, ReadBook, ShopBooks
from quotekit.pricing.functions.asked import Reason
from tests.cli.small_shop import Sheets, job, shop_book, write_book


class Clock:
    """A clock that is set by hand."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def books(clock: Clock) -> ShopBooks:
    return ShopBooks(clock)


def a_book(path: Path, markup: float = 0.5) -> Path:
    sheets = shop_book()
    sheets["Markup"][1][2] = markup
    path.parent.mkdir(parents=True, exist_ok=True)
    return write_book(path, sheets)


def markup(found: ReadBook | Reason) -> str:
    """The first band's markup tells one book from another; else the reason."""
    return str(found) if isinstance(found, Reason) or found.book is None else str(found.book.markup[0].markup)


def test_the_document_itself(tmp_path: Path, books: ShopBooks) -> None:
    """A shop book is its own, whatever lies beside it."""
    own = a_book(tmp_path / "book.xlsx", 0.25)
    a_book(tmp_path / "other.xlsx", 0.75)
    assert markup(books.of(str(own), "")) == "0.25"


@pytest.mark.parametrize("name", ["job.xlsx", "sums.ods", "not saved yet here.xlsx"])
def test_the_only_one_beside(tmp_path: Path, books: ShopBooks, name: str) -> None:
    """A job, a sheet of any program, a name that is still to be saved; other workbooks do not count."""
    a_book(tmp_path / "book.xlsx", 0.25)
    write_book(tmp_path / "job.xlsx", job())
    (tmp_path / "~$book.xlsx").write_bytes(b"in passing")
    (tmp_path / "broken.xlsx").write_bytes(b"PK no workbook")
    assert markup(books.of(str(tmp_path / name), "")) == "0.25"


def test_the_folder_above_where_there_is_none(tmp_path: Path, books: ShopBooks) -> None:
    a_book(tmp_path / "book.xlsx", 0.25)
    document = tmp_path / "jobs" / "job.xlsx"
    document.parent.mkdir()
    assert markup(books.of(str(document), "")) == "0.25"


def test_several_and_none(tmp_path: Path, books: ShopBooks, clock: Clock) -> None:
    """Nothing is guessed about money."""
    document = str(tmp_path / "sums.ods")
    assert markup(books.of(document, "")) == (
        "There is no shop book beside this workbook. Save this workbook in the folder of the shop book (.xlsx), or "
        "name the book as the last argument."
    )
    a_book(tmp_path / "a.xlsx")
    a_book(tmp_path / "b.xlsx")
    clock.now += LOOKS_AGAIN
    assert markup(books.of(document, "")) == (
        f"There are several shop books in {tmp_path.name}: a.xlsx; b.xlsx. Name one as the last argument."
    )


def test_a_copy_that_was_kept_of_the_shop_book_counts_where_it_is_named(tmp_path: Path, books: ShopBooks) -> None:
    """Open or closed; it holds the prices of before a change."""
    a_book(tmp_path / "a.xlsx", 0.25)
    kept = a_book(tmp_path / "a before 2026-12-01.xlsx", 0.75)
    document = str(tmp_path / "sums.ods")
    assert markup(books.of(document, "")) == "0.25"
    assert markup(books.of(document, kept.name)) == "0.75"
    books.opened(str(kept), kept)
    assert markup(books.of(document, "")) == "0.25"
    assert markup(books.of(str(kept), "")) == "0.75"


@pytest.mark.parametrize("given", ["b.xlsx", "b", "sub/../b.xlsx", "ABSOLUTE"])
def test_by_name(tmp_path: Path, books: ShopBooks, given: str) -> None:
    """Beside the document, with its ending or without, or by its whole path."""
    a_book(tmp_path / "a.xlsx", 0.25)
    named = a_book(tmp_path / "b.xlsx", 0.75)
    given = str(named) if given == "ABSOLUTE" else given
    assert markup(books.of(str(tmp_path / "sums.ods"), given)) == "0.75"


def test_a_name_that_is_not_there(tmp_path: Path, books: ShopBooks) -> None:
    assert markup(books.of(str(tmp_path / "sums.ods"), "nothing")) == (
        "There is no shop book nothing. Check the name: it is looked for beside this workbook."
    )
    assert markup(books.of("unsaved:7", "a.xlsx")).startswith("There is no shop book a.xlsx.")


def test_read_again_where_it_was_saved(tmp_path: Path, books: ShopBooks, clock: Clock) -> None:
    """Cells of one recalculation see one book; a moment later what lies on the disk is looked at again."""
    path = a_book(tmp_path / "book.xlsx", 0.25)
    assert markup(books.of(str(path), "")) == "0.25"
    a_book(path, 0.125)
    os.utime(path, ns=(1, 1))
    assert markup(books.of(str(path), "")) == "0.25"
    clock.now += LOOKS_AGAIN
    assert markup(books.of(str(path), "")) == "0.125"
    assert books.reads == 2


def test_an_open_book_counts_as_it_stands(tmp_path: Path, books: ShopBooks) -> None:
    """Not yet saved: the copy counts, for itself and for what lies beside it; closed, the file counts again."""
    path = a_book(tmp_path / "book.xlsx", 0.25)
    beside = str(tmp_path / "sums.ods")
    copy = a_book(tmp_path / "away" / "book.xlsx", 0.75)
    assert books.opened(str(path), copy) is True
    shutil.rmtree(copy.parent)
    assert [markup(books.of(one, "")) for one in (str(path), beside)] == ["0.75", "0.75"]
    assert books.closed(str(path)) is True
    assert [markup(books.of(one, "")) for one in (str(path), beside)] == ["0.25", "0.25"]
    assert books.closed(str(path)) is False


def test_nothing_new(tmp_path: Path, books: ShopBooks) -> None:
    """A note typed beside a table is no reason to calculate thousands of cells again."""
    path = a_book(tmp_path / "book.xlsx", 0.25)
    books.of(str(path), "")
    sheets: Sheets = shop_book()
    sheets["Markup"][1][2] = 0.25
    sheets["Markup"][1] += [None, "ask the supplier"]
    sheets["Own notes"] = [["Seen", 3]]
    copy = write_book(tmp_path / "copy.xlsx", sheets)
    (tmp_path / "away").mkdir()
    copy = copy.rename(tmp_path / "away" / "book.xlsx")
    assert books.opened(str(path), copy) is False
    assert books.opened(str(path), copy) is False


def test_a_book_of_another_program(tmp_path: Path, books: ShopBooks) -> None:
    """An .ods is seen while it is open; by itself it can't be read."""
    document = tmp_path / "book.ods"
    document.write_bytes(b"something")
    assert markup(books.of(str(document), "")).startswith("There is no shop book beside this workbook.")
    copy = a_book(tmp_path / "away" / "book.xlsx", 0.75)
    assert books.opened(str(document), copy) is True
    assert markup(books.of(str(document), "")) == "0.75"
    assert markup(books.of(str(tmp_path / "job.ods"), "")) == "0.75"
    assert books.closed(str(document)) is True


def test_a_document_that_was_never_saved(tmp_path: Path, books: ShopBooks) -> None:
    """Its own copy where it is a shop book; else the only one that is open; never one that happens to lie about."""
    assert markup(books.of("unsaved:1", "")).startswith("There is no shop book open.")
    books.opened("unsaved:2", a_book(tmp_path / "away" / "new.xlsx", 0.75))
    assert [markup(books.of(f"unsaved:{number}", "")) for number in (1, 2)] == ["0.75", "0.75"]
    books.opened("unsaved:3", a_book(tmp_path / "away2" / "old.xlsx", 0.25))
    assert markup(books.of("unsaved:1", "")).startswith("There are several shop books open: new.xlsx; old.xlsx.")
    assert markup(books.of("unsaved:3", "")) == "0.25"


def test_the_request(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`open book` tells the functions of the same process."""
    known = ShopBooks()
    monkeypatch.setattr(functions, "BOOKS", known)
    monkeypatch.setattr(open_books, "BOOKS", known)
    path = a_book(tmp_path / "book.xlsx", 0.5)
    words = {"name": "SELLING_PRICE", "arguments": [10.0], "document": str(path)}
    before = functions.answer(words)
    copy = a_book(tmp_path / "away" / "book.xlsx", 0.75)
    assert open_books.answer({"document": str(path), "copy": str(copy)}) == {"changed": True}
    after = functions.answer(words)
    assert open_books.answer({"document": str(path), "copy": None}) == {"changed": True}
    assert [before["value"], after["value"], functions.answer(words)["value"]] == ["15.00", "17.50", "15.00"]
    assert before["reading"] != after["reading"]
