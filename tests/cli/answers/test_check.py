"""Request `check`: the same problems as the command, each with the workbook that it is in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers.check import answer
from quotekit.cli.main import main
from tests.cli.small_shop import Sheets, job, shop_book, write_book


def told(path: Path) -> dict[str, Any]:
    return {"copy": str(path), "path": str(path)}


def broken_book() -> Sheets:
    sheets = shop_book()
    sheets["Parts"][1][3] = "$22"
    return sheets


def broken_job() -> Sheets:
    sheets = job()
    sheets["Findings"][1][0] = "WURN"
    return sheets


def test_a_shop_book(tmp_path: Path) -> None:
    """Every problem with its cell, and for each tax the charges it does not touch."""
    done = answer({"document": told(write_book(tmp_path / "book.xlsx", broken_book()))})
    assert [(one["of"], one["sheet"], one["cell"], one["code"]) for one in done["problems"]] == [
        ("document", "Parts", "D2", "text-number")
    ]
    assert len(done["taxes"]) == 1 and "State" in done["taxes"][0]


def test_a_job_with_its_shop_book(tmp_path: Path) -> None:
    """Problems of both, so that each goes to the right window."""
    book, this = write_book(tmp_path / "book.xlsx", broken_book()), write_book(tmp_path / "job.xlsx", broken_job())
    done = answer({"document": told(this), "book": told(book)})
    assert {(one["of"], one["sheet"]) for one in done["problems"]} == {("book", "Parts"), ("document", "Findings")}


def test_what_only_pricing_finds_is_among_them(tmp_path: Path) -> None:
    """As the command `check` tells it: a rate without a cost leaves the margin unknown."""
    sheets = shop_book()
    sheets["Labour rates"][1][3] = None
    book, this = write_book(tmp_path / "book.xlsx", sheets), write_book(tmp_path / "job.xlsx", job())
    done = answer({"document": told(this), "book": told(book)})
    assert "labour-cost-unknown" in [one["code"] for one in done["problems"]]


@pytest.mark.parametrize("with_job", [False, True])
def test_the_same_as_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str], with_job: bool) -> None:
    """No second list of problems: the command prints the same, in the same order."""
    import json

    book, this = write_book(tmp_path / "book.xlsx", broken_book()), write_book(tmp_path / "job.xlsx", broken_job())
    main(["check", str(book), *([str(this)] if with_job else []), "--json"])
    printed = json.loads(capsys.readouterr().out)
    words = {"document": told(this), "book": told(book)} if with_job else {"document": told(book)}
    done = answer(words)
    assert [(one["code"], one["message"]) for one in done["problems"]] == [
        (one["code"], one["message"]) for one in printed["problems"]
    ]
    assert done["taxes"] == printed["taxes"]


def test_two_workbooks_of_one_name(tmp_path: Path) -> None:
    """A job and a shop book named alike in two folders: no problem goes to the wrong one."""
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
    book = write_book(tmp_path / "a" / "alder.xlsx", broken_book())
    this = write_book(tmp_path / "b" / "alder.xlsx", broken_job())
    done = answer({"document": told(this), "book": told(book)})
    assert {(one["of"], one["sheet"]) for one in done["problems"]} == {("book", "Parts"), ("document", "Findings")}
    assert sorted(path.name for path in (tmp_path / "a").iterdir()) == ["alder.xlsx"]


def test_nothing_wrong(tmp_path: Path) -> None:
    book, this = write_book(tmp_path / "book.xlsx", shop_book()), write_book(tmp_path / "job.xlsx", job())
    done = answer({"document": told(this), "book": told(book)})
    assert not [one for one in done["problems"] if one["severity"] == "error"]
