"""Request `costing`: which files are those of the job in front, and whether something was saved after them."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers.costing import answer
from quotekit.cli.answers.request import Refused
from quotekit.cli.main import main
from tests.cli.small_shop import job, shop_book, write_book


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_book(tmp_path / "shop book.xlsx", shop_book())
    write_book(tmp_path / "job.xlsx", job())
    return tmp_path


def asked(folder: Path, name: str = "job.xlsx", of: str = "job", book: bool = True) -> dict[str, Any]:
    path = str(folder / name)
    words = {"do": "costing", "document": {"copy": path, "path": path}, "of": of}
    return answer({**words, "book": str(folder / "shop book.xlsx") if book else None})


def test_before_it_is_priced_there_is_none(folder: Path) -> None:
    assert asked(folder) == {"job": "117", "version": 1, "costing": None, "quote": None, "older_than": []}


@pytest.mark.parametrize("name, of", [("job.xlsx", "job"), ("117-1 quote.xlsx", "quote")])
def test_job_and_quote_lead_to_the_same_costing(folder: Path, name: str, of: str) -> None:
    main(["quote", str(folder / "shop book.xlsx"), str(folder / "job.xlsx")])
    found = asked(folder, name, of)
    assert found["costing"] == str(folder / "117-1 costing.xlsx")
    assert (found["job"], found["version"], found["older_than"]) == ("117", 1, [])


@pytest.mark.parametrize(
    "later, book, told",
    [
        (["job.xlsx"], True, ["job.xlsx"]),
        (["shop book.xlsx"], True, ["shop book.xlsx"]),
        (["shop book.xlsx"], False, []),
        (["job.xlsx", "shop book.xlsx"], True, ["job.xlsx", "shop book.xlsx"]),
    ],
)
def test_what_was_saved_later_is_named(folder: Path, later: list[str], book: bool, told: list[str]) -> None:
    main(["quote", str(folder / "shop book.xlsx"), str(folder / "job.xlsx")])
    after = (folder / "117-1 costing.xlsx").stat().st_mtime + 5
    for name in later:
        os.utime(folder / name, (after, after))
    assert asked(folder, book=book)["older_than"] == told


def test_what_has_no_number_is_refused(folder: Path) -> None:
    for name, of in (("shop book.xlsx", "job"), ("job.xlsx", "quote")):
        with pytest.raises(Refused):
            asked(folder, name, of)
