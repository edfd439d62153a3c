"""Requests `returned` and `choice`: what came back is read as `read-choice` reads it, priced as `choice` prices it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.answers import choice, returned
from quotekit.cli.answers.request import Refused
from quotekit.cli.main import main
from tests.cli.small_shop import job, shop_book, write_book

DAY = "2026-03-05"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A job that was priced; `mail` holds the quote as it came back."""
    write_book(tmp_path / "shop book.xlsx", shop_book())
    write_book(tmp_path / "job.xlsx", job())
    assert main(["quote", str(tmp_path / "shop book.xlsx"), str(tmp_path / "job.xlsx")]) == 0
    (tmp_path / "mail").mkdir()
    shutil.copy2(tmp_path / "117-1 quote.xlsx", tmp_path / "mail" / "117-1 quote (3).xlsx")
    return tmp_path


def came_back(folder: Path, *, option: str = "", cell: tuple[str, str] | None = None) -> Path:
    """The quote in the mail, with an option picked in its drop-down and perhaps a cell changed."""
    path = folder / "mail" / "117-1 quote (3).xlsx"
    book = openpyxl.load_workbook(path)
    sheet, _, at = book.defined_names["chosen_tier"].attr_text.partition("!")
    book[sheet.strip("'")][at.replace("$", "").partition(":")[0]].value = option or None
    if cell is not None:
        book.worksheets[0][cell[0]].value = cell[1]
    book.save(path)
    return path


def asked(file: Path, *jobs: Path, on: str = DAY) -> dict[str, Any]:
    return returned.answer({"do": "returned", "file": str(file), "jobs": [str(path) for path in jobs], "on": on})


def options(folder: Path) -> list[str]:
    book = openpyxl.load_workbook(folder / "117-1 quote.xlsx")
    sheet, _, area = book.defined_names["offered_options"].attr_text.partition("!")
    return [str(row[1].value) for row in book[sheet.strip("'")][area.replace("$", "")]]


def test_the_choice_is_that_of_the_command_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = came_back(folder, option=options(folder)[0])
    found = asked(file, folder / "job.xlsx")
    capsys.readouterr()
    assert main(["read-choice", str(file), "--job", str(folder / "job.xlsx"), "--on", DAY, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {key: found[key] for key in told if key != "problems"} == {
        key: value for key, value in told.items() if key != "problems"
    }
    assert (found["tier"], found["unchanged"], found["expired"]) == ("good", True, False)
    assert found["job_file"] == str(folder / "job.xlsx")


def test_what_differs_is_told_with_its_cell(folder: Path) -> None:
    found = asked(came_back(folder, option=options(folder)[0], cell=("A1", "Another shop")))
    assert found["unchanged"] is False
    assert ("Quote", "A1") in {(one["sheet"], one["cell"]) for one in found["problems"]}


def test_a_choice_after_its_day_has_expired(folder: Path) -> None:
    found = asked(came_back(folder, option=options(folder)[0]), on="2027-01-01")
    assert found["expired"] is True
    assert "quote-expired" in [one["code"] for one in found["problems"]]


def test_a_newer_version_beside_the_open_job_is_told(folder: Path) -> None:
    shutil.copy2(folder / "117-1 quote.xlsx", folder / "117-2 quote.xlsx")
    found = asked(came_back(folder, option=options(folder)[0]), folder / "job.xlsx")
    assert "choice-of-older-version" in [one["code"] for one in found["problems"]]


def test_only_the_job_of_the_quote_is_looked_at(folder: Path) -> None:
    """Another job is open too: the quote is not held against it."""
    other = job()
    other["Job"][1] = ["Job number", "118"]
    write_book(folder / "job 118.xlsx", other)
    file = came_back(folder, option=options(folder)[0])
    assert asked(file, folder / "job 118.xlsx")["job_file"] is None
    assert asked(file, folder / "job 118.xlsx", folder / "job.xlsx")["job_file"] == str(folder / "job.xlsx")


def test_a_workbook_that_is_no_quote_says_so(folder: Path) -> None:
    found = asked(folder / "job.xlsx")
    assert (found["tier"], found["job"]) == (None, None)
    assert found["problems"]


def test_the_choice_is_priced_as_on_the_command_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paths = {"document": folder / "job.xlsx", "book": folder / "shop book.xlsx"}
    words = {what: {"copy": str(path), "path": str(path)} for what, path in paths.items()}
    found = choice.answer({"do": "choice", **words, "tier": "GOOD", "extras": []})
    capsys.readouterr()
    assert main(["choice", str(paths["book"]), str(paths["document"]), "--tier", "good"]) == 0
    lines = capsys.readouterr().out.splitlines()[1:]
    assert [[line.rsplit(maxsplit=1)[0].strip(), line.split()[-1]] for line in lines] == found["rows"]


def test_an_option_that_is_not_there_is_refused(folder: Path) -> None:
    paths = {"document": folder / "job.xlsx", "book": folder / "shop book.xlsx"}
    words = {what: {"copy": str(path), "path": str(path)} for what, path in paths.items()}
    with pytest.raises(Refused):
        choice.answer({"do": "choice", **words, "tier": "luxury", "extras": []})
