"""What open quotes would be under new prices, from the ledger, from costings beside the jobs, from earlier results.

By hand: a bushing at 22.00 / 4 sells at 8.25, a belt at 19.50 sells at 29.25, labour is the minimum of an hour at
90.00, tax is 7 % on parts: 98.25 (98.83) and 127.50 (130.13). At 440.00 for four bushings one costs 110.00 and sells at
148.50: 238.50 (248.90) and 267.75 (280.19), at a cost of 0.6 h x 35.00 + 110.00 = 131.00 and 1.0 h x 35.00 + 129.50 =
164.50. What is left of the quotes given is then -32.75 and -37.00.
"""

from __future__ import annotations

import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.batch_given import earlier_results, together
from quotekit.cli.main import main
from quotekit.model.batch import Given, TierGiven
from tests.batch.small_folder import Folder, clean_book, small_folder
from tests.cli.small_shop import write_book

HELD = [
    ("Put right", 248.90, 238.50, 131.00, 107.50, 98.83, 150.07, -32.75, "yes"),
    ("Put right and prevent", 280.19, 267.75, 164.50, 103.25, 130.13, 150.06, -37.00, "yes"),
]
ALONE = [
    ("Put right", 248.90, 238.50, 131.00, 107.50, None, None, None, "no"),
    ("Put right and prevent", 280.19, 267.75, 164.50, 103.25, None, None, None, "no"),
]


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return small_folder(tmp_path, 1)


def dearer(folder: Folder) -> None:
    """The same shop book when bushings cost twenty times as much."""
    write_book(folder.book, clean_book(bushings=440))


def batch(folder: Folder, out: Path, *words: str | Path) -> Any:
    """The summary of a run."""
    assert main(["batch", str(folder.book), str(folder.jobs), "--out", str(out), *map(str, words)]) == 0
    return openpyxl.load_workbook(out / "jobs batch summary.xlsx")


def options_of(summary: Any, file: str = "job 001.xlsx") -> list[tuple[Any, ...]]:
    """Option, figures and whether it loses money, of what a job offers."""
    rows = [row for row in summary["Jobs"].iter_rows(min_row=2, values_only=True) if row[0] == file]
    return [row[4:13] for row in rows if "not offered" not in (row[14] or "")]


def texts_of(summary: Any) -> list[str]:
    return [str(cell) for row in summary["Batch"].iter_rows(values_only=True) for cell in row if cell is not None]


def test_a_costing_beside_the_job(folder: Folder, tmp_path: Path) -> None:
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx")])
    dearer(folder)
    summary = batch(folder, tmp_path / "out")
    assert options_of(summary) == HELD
    texts = texts_of(summary)
    assert texts[texts.index("Would lose money") + 2 :][:7] == [
        "Job", "Customer", "Option", "Price that stands", "Cost today", "Left", "Price of"
    ]  # fmt: skip
    assert "-37" in texts and texts.index("-37") < texts.index("-32.75"), "the largest loss first"


def test_quotes_of_the_ledger(folder: Folder, tmp_path: Path) -> None:
    main(["issue", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path / "issued")])
    dearer(folder)
    summary = batch(folder, tmp_path / "out")
    assert options_of(summary) == HELD
    remarks = [row[14] for row in summary["Jobs"].iter_rows(min_row=2, values_only=True)]
    assert "given: version 1 waits for an answer" in remarks


def test_a_quote_that_was_answered_is_not_open(folder: Folder, tmp_path: Path) -> None:
    """Its totals are told, and lose nothing any more: today's price stands, and no sum counts it."""
    main(["issue", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path / "issued")])
    main(["decline", "1", "--reason", "price", "--ledger", str(tmp_path / "shop book ledger.db")])
    dearer(folder)
    summary = batch(folder, tmp_path / "out")
    assert [(*row[:7], row[8]) for row in options_of(summary)] == [(*row[:7], "no") for row in HELD]
    assert "Open quotes under these prices" not in texts_of(summary)


def test_results_of_an_earlier_run(folder: Folder, tmp_path: Path) -> None:
    batch(folder, tmp_path / "before")
    dearer(folder)
    summary = batch(folder, tmp_path / "after", "--before", tmp_path / "before" / "jobs batch results.jsonl")
    assert options_of(summary) == HELD
    texts = texts_of(summary)
    at = texts.index("Open quotes under these prices")
    assert texts[at + 6 : at + 16] == [
        "Put right", "1", "98.83", "248.9", "150.07", "Put right and prevent", "1", "130.13", "280.19", "150.06"
    ]  # fmt: skip


@pytest.mark.parametrize("source", ["results", "ledger", "costing"])
def test_a_quote_in_another_currency_is_named_and_not_compared(
    folder: Folder, tmp_path: Path, source: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The shop counts in euros now: 98.83 dollars are held against no euros, stand in no sum and make no loss."""
    words: list[str | Path] = []
    job = str(folder.jobs / "job 001.xlsx")
    if source == "results":
        batch(folder, tmp_path / "before")
        words = ["--before", tmp_path / "before" / "jobs batch results.jsonl"]
    elif source == "ledger":
        main(["issue", str(folder.book), job, "--out", str(tmp_path / "issued")])
    else:
        main(["quote", str(folder.book), job])
    sheets = clean_book(bushings=440)
    next(row for row in sheets["Shop"] if row[0] == "Currency")[1] = "EUR"
    write_book(folder.book, sheets)
    capsys.readouterr()
    summary = batch(folder, tmp_path / "out", *words)
    assert options_of(summary) == ALONE
    remarks = [row[14] for row in summary["Jobs"].iter_rows(min_row=2, values_only=True) if row[14]]
    assert [said.endswith("in USD, so it is not compared") for said in remarks if said.startswith("given: ")] == [
        True
    ] * 2
    texts = texts_of(summary)
    at = texts.index("With a quote in another currency")
    assert texts[at + 1 : at + 3] == ["1", "USD: not compared with today's"]
    assert "Open quotes under these prices" not in texts and "98.83" not in texts
    assert "1 with a quote given in another currency, which is not compared." in capsys.readouterr().err


def test_without_a_quote_given(folder: Folder, tmp_path: Path) -> None:
    dearer(folder)
    assert options_of(batch(folder, tmp_path / "out")) == ALONE


def test_the_ledger_named_wins_over_none_beside_the_book(folder: Folder, tmp_path: Path) -> None:
    ledger = tmp_path / "elsewhere" / "ours.db"
    ledger.parent.mkdir()
    words = [str(folder.book), str(folder.jobs / "job 001.xlsx"), "--ledger", str(ledger)]
    main(["issue", *words, "--out", str(tmp_path / "issued")])
    dearer(folder)
    assert options_of(batch(folder, tmp_path / "a", "--ledger", ledger)) == HELD
    assert options_of(batch(folder, tmp_path / "b")) == ALONE


def test_a_ledger_that_is_not_there(folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--out", str(tmp_path / "out"), "--ledger", str(tmp_path / "none.db")]
    assert main(["batch", str(folder.book), str(folder.jobs), *words]) == 3
    assert "none.db" in capsys.readouterr().err
    assert not (tmp_path / "out").exists(), "it is known before anything is priced"


ONE = b'{"job": "1", "version": 1, "valid_until": "", "tiers": [{"code": "good", "offered": true, "items": [], %s}]}\n'


@pytest.mark.parametrize(
    "data",
    [
        b"not results\n",
        b"\xff\xfe\n",
        b'{"job": 1}\n',
        b"[" * 100_000,
        ONE % b'"total": "a lot", "subtotal": "1.00"',
        ONE % b'"total": 12.5, "subtotal": "1.00"',
        ONE % b'"total": "1.00", "subtotal": "NaN"',
        ONE.replace(b'"1"', b"[]") % b'"total": "1.00", "subtotal": "1.00"',
    ],
)
def test_what_are_no_results(folder: Folder, tmp_path: Path, data: bytes, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "results.jsonl"
    path.write_bytes(data)
    found, problems = earlier_results(path)
    assert found == {} and [problem.code for problem in problems] == ["not-results"]
    assert main(["batch", str(folder.book), str(folder.jobs), "--before", str(path)]) == 1
    assert "These are no results of a batch" in capsys.readouterr().err


def test_amounts_of_results_are_read_as_they_are_written(tmp_path: Path) -> None:
    """Of two lines that tell of one version the first counts, as in the sums."""
    path = tmp_path / "results.jsonl"
    path.write_bytes(ONE % b'"total": "1.10", "subtotal": null' + ONE % b'"total": "2.00", "subtotal": "2.00"')
    found, problems = earlier_results(path)
    assert problems == [] and found["1", 1].tiers["good"] == TierGiven(
        total=Decimal("1.10"), subtotal=None, items=frozenset()
    )


def test_the_first_source_wins() -> None:
    named, other = (Given(origin=origin, tiers={}) for origin in ("earlier results", "the ledger"))
    assert together({("1", 1): named}, {("1", 1): other, ("2", 1): other}) == {("1", 1): named, ("2", 1): other}


def test_two_jobs_in_one_folder_each_have_their_own(folder: Folder, tmp_path: Path) -> None:
    """A costing is of a job's number and version, not of the file beside it."""
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx")])
    (tmp_path / "other").mkdir()
    shutil.copy(small_folder(tmp_path / "other", 2).jobs / "job 002.xlsx", folder.jobs)
    dearer(folder)
    summary = batch(folder, tmp_path / "out")
    assert options_of(summary) == HELD
    assert options_of(summary, "job 002.xlsx") == ALONE


def test_a_kept_copy_of_a_job_does_not_count_its_quote_twice(folder: Folder, tmp_path: Path) -> None:
    main(["issue", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path / "issued")])
    shutil.copy(folder.jobs / "job 001.xlsx", folder.jobs / "job 001, kept.xlsx")
    dearer(folder)
    summary = batch(folder, tmp_path / "out")
    assert options_of(summary) == options_of(summary, "job 001, kept.xlsx") == HELD
    texts = texts_of(summary)
    at = texts.index("Open quotes under these prices")
    assert texts[at + 6 : at + 11] == ["Put right", "1", "98.83", "248.9", "150.07"]
    assert texts[texts.index("With the number and version of another file") + 1] == "1"
