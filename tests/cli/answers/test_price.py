"""Request `price`: what it writes is what `quotekit quote` writes; nothing is written over without a yes."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers import price
from quotekit.cli.answers.request import Refused, told
from quotekit.cli.main import main
from quotekit.ledger import hidden_folder
from tests.cli.small_shop import Sheets, job, shop_book, write_book

QUOTE, COSTING = "117-1 quote.xlsx", "117-1 costing.xlsx"
DAY = "2026-03-02"
"""The quote date of the job."""


class Desk:
    """A folder with a shop book and a job, and a place for copies of what is on a screen."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.copies = folder / "jobs", folder / "copies"
        self.folder.mkdir()
        self.copies.mkdir()
        self.book, self.job = self.folder / "shop book.xlsx", self.folder / "job 117.xlsx"
        write_book(self.book, shop_book())
        write_book(self.job, job())

    def ask(self, **words: Any) -> dict[str, Any]:
        document = {"copy": str(self.job), "path": str(self.job)}
        book = {"copy": str(self.book), "path": str(self.book)}
        return price.answer({"do": "price", "document": document, "book": book, **words})

    def copy_of(self, sheets: Sheets, name: str = "job 117.xlsx") -> str:
        path = self.copies / name
        write_book(path, sheets)
        return str(path)

    def problems(self, **words: Any) -> list[dict[str, str]]:
        with pytest.raises(Refused) as refused:
            self.ask(**words)
        return told(refused.value.problems)

    @property
    def files(self) -> list[str]:
        return sorted(path.name for path in self.folder.iterdir() if path.suffix == ".xlsx" and path.name[0] == "1")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path)


def test_the_files_are_those_of_the_command_line(desk: Desk, tmp_path: Path) -> None:
    """To the byte, from the same folder: links and figures alike."""
    done = desk.ask()
    assert (done["in_the_way"], done["job"], done["version"]) == ([], "117", 1)
    assert [Path(done[what]).name for what in ("quote", "costing")] == [QUOTE, COSTING]
    kept = {name: (desk.folder / name).read_bytes() for name in desk.files}
    assert main(["quote", str(desk.book), str(desk.job), "--replace"]) == 0
    assert {name: (desk.folder / name).read_bytes() for name in desk.files} == kept


def test_each_option_is_told_with_its_total_or_why_not(desk: Desk) -> None:
    """In the words and the money of the quote."""
    tiers = desk.ask()["tiers"]
    assert all(bool(tier["total"]) == tier["offered"] and bool(tier["reason"]) != tier["offered"] for tier in tiers)
    assert tiers[0]["total"].startswith("$")


def test_what_is_on_the_screen_is_priced_beside_the_true_job(desk: Desk) -> None:
    """The copy lies elsewhere; nothing is written beside it, and the job itself is not touched."""
    before = desk.job.read_bytes()
    as_saved = desk.ask()["tiers"][0]["total"]
    copy = desk.copy_of(job(findings=(("WORN", "both", 0.761), ("FRAYED", None, None))))
    changed = desk.ask(document={"copy": copy, "path": str(desk.job)})
    changed = desk.ask(token=changed["token"], replace=True)
    assert changed["tiers"][0]["total"] != as_saved
    assert Path(changed["quote"]).parent == desk.folder
    assert [path.name for path in desk.copies.iterdir()] == ["job 117.xlsx"]
    assert desk.job.read_bytes() == before


def test_a_job_of_another_kind_is_named_as_a_person_knows_it(desk: Desk) -> None:
    """The copy is .xlsx, the job .ods: problems name job 117.ods, and so does the costing."""
    true = desk.folder / "job 117.ods"
    copy = desk.copy_of(job(findings=(("NOTHING", None, None),)))
    (problem,) = desk.problems(document={"copy": copy, "path": str(true)})
    assert (problem["file"], problem["code"], problem["cell"]) == ("job 117.ods", "unknown-code", "A2")


def test_a_job_that_was_never_saved_is_refused(desk: Desk) -> None:
    (problem,) = desk.problems(document={"copy": str(desk.job), "path": None})
    assert problem["code"] == "never-saved"
    assert desk.files == []


def test_a_shop_book_that_was_never_saved_is_refused(desk: Desk) -> None:
    """The costing's links would lead nowhere."""
    (problem,) = desk.problems(book={"copy": str(desk.book), "path": None})
    assert (problem["code"], problem["file"]) == ("never-saved", "shop book.xlsx")


def test_fifty_problems_come_with_their_cells_and_nothing_is_written(desk: Desk) -> None:
    write_book(desk.job, job(findings=[(f"NO-{number}", None, None) for number in range(50)]))
    problems = desk.problems()
    assert [problem["cell"] for problem in problems] == [f"A{row}" for row in range(2, 52)]
    assert desk.files == []


def test_an_earlier_quote_is_written_over_after_a_yes_alone(desk: Desk) -> None:
    """Without one the files stay; with it what was priced then is written, whatever the job says by now."""
    first = desk.ask()
    asked = desk.ask()
    assert [Path(one["path"]).name for one in asked["in_the_way"]] == [QUOTE, COSTING]
    assert {one["code"] for one in asked["in_the_way"]} == {"output-exists"}
    before = (desk.folder / QUOTE).read_bytes()
    write_book(desk.job, job(findings=(("FRAYED", None, None),)))
    done = desk.ask(token=asked["token"], replace=True)
    assert done["tiers"] == first["tiers"]
    assert (desk.folder / QUOTE).read_bytes() == before


@pytest.mark.parametrize("lock", [f"~${QUOTE}", f".~lock.{QUOTE}#", f"~${COSTING}"])
def test_a_file_that_is_open_stays_even_after_a_yes(desk: Desk, lock: str) -> None:
    """Which office has it open is for the office to know: it is told which file."""
    desk.ask()
    (desk.folder / lock).write_bytes(b"")
    asked = desk.ask()
    again = desk.ask(token=asked["token"], replace=True)
    assert [one["code"] for one in again["in_the_way"]] == ["output-open"]
    assert Path(again["in_the_way"][0]["path"]).name in lock


def test_a_token_of_an_engine_that_is_gone_is_asked_for_again(desk: Desk) -> None:
    assert desk.ask(token=999_999, replace=True) == {"token": None, "in_the_way": []}


def test_only_the_last_few_are_kept(desk: Desk) -> None:
    """Each holds a whole quote."""
    tokens = [desk.ask()["token"] for _ in range(8)]
    assert desk.ask(token=tokens[0], replace=True)["token"] is None
    assert desk.ask(token=tokens[-1], replace=True)["token"] == tokens[-1]


def test_an_issued_version_is_not_written_over(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is what the customer has. A yes does not change that; the next version's number is told."""
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    assert main(["issue", str(desk.book), str(desk.job), "--on", DAY]) == 0
    before = (desk.folder / QUOTE).read_bytes()
    (problem,) = desk.problems()
    assert (problem["code"], problem["sheet"]) == ("version-issued", "")
    assert "Type 2 under Version" in problem["remedy"]
    assert (desk.folder / QUOTE).read_bytes() == before


def test_it_is_known_though_the_shop_book_has_another_name_by_now(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The times of a season were taken over into a new shop book; the ledger beside it kept its name."""
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    assert main(["issue", str(desk.book), str(desk.job), "--on", DAY]) == 0
    later = desk.book.rename(desk.folder / "shop book 2026-03-03.xlsx")
    (problem,) = desk.problems(book={"copy": str(later), "path": str(later)})
    assert problem["code"] == "version-issued"


def test_a_version_issued_after_it_was_priced_is_not_written_over_either(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    token = desk.ask()["token"]
    for name in (QUOTE, COSTING):
        (desk.folder / name).unlink()
    assert main(["issue", str(desk.book), str(desk.job), "--on", DAY]) == 0
    for words in ({"replace": True}, {"page": True}):
        (problem,) = desk.problems(token=token, **words)
        assert problem["code"] == "version-issued"


def test_the_same_quote_as_a_page_and_over_an_earlier_page_after_a_yes(desk: Desk) -> None:
    """Written from what was priced, so that the two say the same; the workbook itself is not written again."""
    token = desk.ask()["token"]
    before = (desk.folder / QUOTE).stat().st_mtime_ns
    done = desk.ask(token=token, page=True)
    assert [Path(path).name for path in done["files"]] == ["117-1 quote.html"]
    assert [one["code"] for one in desk.ask(token=token, page=True)["in_the_way"]] == ["output-exists"]
    assert desk.ask(token=token, page=True, replace=True)["files"] == done["files"]
    assert (desk.folder / QUOTE).stat().st_mtime_ns == before
    page = (desk.folder / "117-1 quote.html").read_bytes()
    assert main(["quote", str(desk.book), str(desk.job), "--replace", "--page"]) == 0
    assert (desk.folder / "117-1 quote.html").read_bytes() == page


def test_a_pdf_without_an_office_is_refused(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("quotekit.workbook.pdf.find_office", lambda: None)
    token = desk.ask()["token"]
    assert [problem["code"] for problem in desk.problems(token=token, pdf=True)] == ["no-libreoffice"]
    assert not (desk.folder / "117-1 quote.pdf").exists()


def test_a_folder_in_the_way_is_refused(desk: Desk) -> None:
    """No yes can clear it."""
    (desk.folder / QUOTE).mkdir()
    assert desk.problems(replace=True)[-1]["code"] == "output-exists"


def test_a_disk_that_refuses_leaves_what_was_there(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.ask()
    before = {name: (desk.folder / name).read_bytes() for name in desk.files}
    calls = iter([None])

    def fails_second(source: Path, target: Path) -> None:
        if next(calls, "no") == "no":
            raise OSError(28, "No space left on device", str(target))
        shutil.move(source, target)

    monkeypatch.setattr(os, "replace", fails_second)
    with pytest.raises(OSError, match="No space"):
        desk.ask(token=desk.ask()["token"], replace=True)
    monkeypatch.undo()
    assert {name: (desk.folder / name).read_bytes() for name in desk.files} == before
    assert not list(desk.folder.glob(f"{hidden_folder._start()}*"))


def test_where_nothing_can_be_offered_the_costing_alone_says_why(desk: Desk) -> None:
    """Brakes that no remedy mends: no quote, a reason for each option."""
    write_book(desk.job, job(findings=(("BRAKE", None, None),)))
    done = desk.ask()
    assert (done["quote"], Path(done["costing"]).name, desk.files) == (None, COSTING, [COSTING])
    assert all(not tier["offered"] and tier["reason"] and tier["total"] == "" for tier in done["tiers"])
