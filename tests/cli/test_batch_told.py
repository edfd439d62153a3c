"""What a run says as it goes and at its end."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from quotekit.batch.outcome import Outcome
from quotekit.batch.price_job import BookRead, price_file, refused
from quotekit.cli.batch_told import Told, progress
from quotekit.problems import Place, error, warning
from tests.batch.small_folder import Folder, read_of, small_folder


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return small_folder(tmp_path_factory.mktemp("shop"), 1)


@pytest.fixture(scope="module")
def priced(folder: Folder) -> Outcome:
    return price_file(read_of(folder.book), "job 001.xlsx", (folder.jobs / "job 001.xlsx").read_bytes())


def teller(folder: Folder, *, lines: io.StringIO | None = None, printed: bool = False) -> Told:
    return Told(folder.jobs, read_of(folder.book), lines=lines, printed=printed)


def test_lines_go_where_they_are_wanted(folder: Folder, priced: Outcome, capsys: pytest.CaptureFixture[str]) -> None:
    for printed, kept in ((True, False), (False, True), (True, True)):
        lines = io.StringIO() if kept else None
        teller(folder, lines=lines, printed=printed).take(priced)
        assert capsys.readouterr().out == (priced.line + "\n" if printed else "")
        assert lines is None or lines.getvalue() == priced.line + "\n"


def test_the_summary_is_kept_only_where_it_is_written(folder: Folder, priced: Outcome) -> None:
    """Ten thousand jobs for lines alone need no memory."""
    told = teller(folder, printed=True)
    told.take(priced)
    assert (told.jobs, told.count) == ([], 1)


@pytest.mark.parametrize(
    ("passed", "jobs", "bad", "known", "said"),
    [
        ({}, 1, 0, 0, "1 job: 1 priced, 0 with errors."),
        ({}, 2, 1, 0, "2 jobs: 1 priced, 1 with errors."),
        ({"quote": 1}, 3, 0, 2, "3 jobs: 3 priced, 0 with errors. 2 were priced before, from the same contents."
         " Passed over: 1 quote."),
        ({"shop book": 2, "other": 1, "costing": 3}, 1, 0, 0, "1 job: 1 priced, 0 with errors."
         " Passed over: 3 costings, 1 other workbook, 2 shop books."),
    ],
)  # fmt: skip
def test_what_it_came_to(
    folder: Folder, priced: Outcome, passed: dict[str, int], jobs: int, bad: int, known: int, said: str
) -> None:
    told = teller(folder)
    fault = error(Place("bad.xlsx"), "not-a-workbook", "it is none", "Save it.")
    for _ in range(jobs - bad):
        told.take(priced)
    for _ in range(bad):
        told.take(refused(read_of(folder.book), "bad.xlsx", [fault], sha256=None))
    for kind, count in passed.items():
        for _ in range(count):
            told.take(Outcome(file="x", kind=kind))  # type: ignore[arg-type]
    assert told.in_words(known) == said


def test_nothing_to_price(folder: Folder) -> None:
    told = teller(folder)
    told.take(Outcome(file="x", kind="quote"))
    words = told.in_words(0)
    assert words.startswith("There is no job in ") and words.endswith("nothing was priced. Passed over: 1 quote.")


def test_errors_are_told_once_and_warnings_are_left_to_the_line(
    folder: Folder, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is wrong with the shop book was told when it was read: not again for each of ten thousand jobs."""
    of_book = error(Place("shop book.xlsx", "Parts", "D2"), "negative", "it is below zero", "Mend it.")
    read = BookRead(book=None, problems=(of_book,), sha256=None)
    own = [
        error(Place("a.xlsx", "Job", "B2"), "blank-required", "Job number is blank", "Fill it in."),
        warning(Place("a.xlsx", "Job", "B3"), "text-date", "it is text", "Type a date."),
    ]
    told = Told(folder.jobs, read, lines=None, printed=False)
    told.take(refused(read, "a.xlsx", own, sha256=None))
    assert capsys.readouterr().err == "a.xlsx:Job!B2: Job number is blank\n    Fill it in.\n"
    assert told.refused == 1


def test_a_photo_that_is_there_changes_nothing(
    folder: Folder, priced: Outcome, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from dataclasses import replace

    from PIL import Image

    Image.new("RGB", (20, 20), "white").save(folder.jobs / "left.png")
    named = (
        ("left.png", Place("job 001.xlsx", "Findings", "D2")),
        ("gone.png", Place("job 001.xlsx", "Findings", "D3")),
    )
    lines = []
    for photos in (named[:1], named[1:], named):
        teller(folder, printed=True).take(replace(priced, photos=photos))
        lines.append(json.loads(capsys.readouterr().out)["problems"])
    own = json.loads(priced.line)["problems"]
    assert lines[0] == own
    assert [problem["place"] for problem in lines[1][len(own) :]] == ["job 001.xlsx:Findings!D3"]
    assert lines[2] == lines[1]


def test_no_bar_without_a_screen(capsys: pytest.CaptureFixture[str]) -> None:
    with progress(3, printed=False) as done:
        for _ in range(3):
            done()
    said = capsys.readouterr()
    assert said.out == said.err == ""
