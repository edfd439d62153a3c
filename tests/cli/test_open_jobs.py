"""Quotes that wait for an answer: which of the ledger count, what was offered, and jobs of a folder besides."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli.main import main
from quotekit.cli.open_jobs import waiting_in_folder, waiting_in_ledger
from quotekit.ledger.each_story import each_story
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.proposals.open_quotes import Waiting
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.small_shop import Sheets, job, shop_book, write_book

DAY = date(2026, 3, 4)
SAID = ("--by", "phone", "--who", "Pat", "--phone", "555 0100", "--note", "yes", "--at", "10:00")


def numbered(number: str, day: date = date(2026, 3, 2), version: int = 1) -> Sheets:
    """The job under another number."""
    sheets = job()
    sheets["Job"][1][1], sheets["Job"][5][1] = number, day
    sheets["Job"].append(["Version", version])
    return sheets


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with its book, in which commands are typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    write_book(tmp_path / "shop book.xlsx", shop_book())
    return tmp_path


def issue(folder: Path, number: str, day: date = date(2026, 3, 2)) -> None:
    write_book(folder / f"{number}.xlsx", numbered(number, day))
    assert main(["issue", "shop book.xlsx", f"{number}.xlsx", "--on", day.isoformat(), "--out", "issued"]) == 0


@contextmanager
def book_of(folder: Path, sheets: Sheets | None = None) -> Iterator[ShopBook]:
    """The shop book as it is today."""
    path = write_book(folder / "today.xlsx", sheets or shop_book())
    book, problems = read_shop_book(path)
    assert book is not None and problems == []
    yield book


def waiting(folder: Path, day: date = DAY, sheets: Sheets | None = None) -> dict[str, Waiting]:
    """Open quotes of the ledger by number."""
    with book_of(folder, sheets) as book, open_ledger(folder / "shop book ledger.db") as ledger:
        return {one.number: one for one in waiting_in_ledger(ledger, each_story(ledger), book, day)}


def test_only_what_waits_for_an_answer(folder: Path) -> None:
    """One of each fate: silent, accepted, declined, run out, and one that is issued later."""
    for number in ("1", "2", "3"):
        issue(folder, number)
    issue(folder, "4", date(2026, 1, 2))
    issue(folder, "5", date(2026, 3, 20))
    assert main(["accept", "--job", "2", "--tier", "good", *SAID, "--on", "2026-03-03"]) == 0
    assert main(["decline", "3", "--reason", "price", "--on", "2026-03-03"]) == 0
    assert list(waiting(folder)) == ["1"]
    until = waiting(folder)["1"].valid_until
    assert until == date(2026, 4, 1)
    assert "1" in waiting(folder, until) and "1" not in waiting(folder, until + timedelta(days=1))


def test_what_was_offered(folder: Path) -> None:
    """As it was handed over, whatever the book says today."""
    issue(folder, "1")
    dearer = shop_book()
    dearer["Labour rates"][1][2] = 120
    one = waiting(folder, sheets=dearer)["1"]
    assert (one.version, one.customer, one.trouble) == (1, "R. Alder", "")
    assert one.offered is not None and one.job is not None and one.job.job_number == "1"
    assert {code: (tier.total, tier.items, tier.extras) for code, tier in one.offered.items()} == {
        "good": (Decimal("98.83"), ("NEWBUSH@left",), ("NEWBELT",)),
        "better": (Decimal("130.13"), ("NEWBELT", "NEWBUSH@left"), ()),
    }


def test_a_job_that_the_book_of_today_can_not_read(folder: Path) -> None:
    """A finding was taken out of the book since: told, and no price is made up."""
    issue(folder, "1")
    changed = shop_book()
    changed["Findings"] = [line for line in changed["Findings"] if line[0] != "FRAYED"]
    changed["Remedies"] = [line for line in changed["Remedies"] if line[0] != "NEWBELT"]
    one = waiting(folder, sheets=changed)["1"]
    assert one.job is None and "FRAYED" in one.trouble


def test_jobs_of_a_folder(folder: Path) -> None:
    """The newest version of each, those still good, without those that the ledger knows."""
    jobs = folder / "jobs"
    jobs.mkdir()
    write_book(jobs / "a.xlsx", numbered("10"))
    write_book(jobs / "b.xlsx", numbered("10", version=2))
    write_book(jobs / "c.xlsx", numbered("11", date(2026, 1, 2)))
    write_book(jobs / "d.xlsx", numbered("12 "))
    write_book(jobs / "~$e.xlsx", numbered("13"))
    write_book(jobs / "book.xlsx", shop_book())
    (jobs / "f.xlsx").write_text("no workbook")
    with book_of(folder) as book:
        found, problems = waiting_in_folder(jobs, book, DAY, frozenset({"12"}))
    assert [(one.number, one.version, one.offered) for one in found] == [("10", 2, None)]
    assert problems == []


def test_a_job_with_an_error_is_told(folder: Path) -> None:
    jobs = folder / "jobs"
    jobs.mkdir()
    bad = numbered("10")
    bad["Findings"][1][0] = "NO-SUCH"
    write_book(jobs / "a.xlsx", bad)
    with book_of(folder) as book:
        found, problems = waiting_in_folder(jobs, book, DAY, frozenset())
    assert found == []
    assert [(problem.code, problem.severity, problem.place.file) for problem in problems] == [
        ("job-not-priced", "warning", "a.xlsx")
    ]
