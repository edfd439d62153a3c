"""What is proposed, once taken, is not proposed again; and the book then asks the prices that were promised."""

from __future__ import annotations

import csv
import json
import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from quotekit.pricing.proposals.book_rows import rows_of
from quotekit.workbook.read_shop_book import read_shop_book

EXAMPLE = Path(__file__).parents[2] / "examples/worked example"
BOOK, OUT = "shop book.xlsx", "proposals.xlsx"
HEADERS = ("Number", "Pack", "Your cost", "Suggested list", "For", "Lead days", "Replaced by", "From")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the shop book and the mapping of NORTH."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    shutil.copy(EXAMPLE / BOOK, tmp_path / BOOK)
    mapping = (EXAMPLE / "NORTH price list.toml").read_text().replace("header_row = 2", "header_row = 1")
    (tmp_path / "NORTH price list.toml").write_text(mapping.replace('description = "Description"\n', ""))
    return tmp_path


def propose(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """All that is proposed on a day."""
    capsys.readouterr()
    assert main(["prices", "propose", BOOK, "--on", "2026-11-29", "--out", OUT, "--replace", "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def take_all(folder: Path, told: dict[str, Any]) -> None:
    """Every proposed cell written into the book, by another program than ours."""
    book = openpyxl.load_workbook(folder / BOOK)
    for one in told["proposals"]:
        for change in one["changes"]:
            sheet, _, cell = change["cell"].partition("!")
            book[sheet][cell].value = typed(change["column"], change["new"])
    book.save(folder / BOOK)


def typed(column: str, value: str) -> object:
    """A value as a person types it."""
    if column in ("Cost date", "Dated"):
        return date.fromisoformat(value)
    return value if column in ("Supplier's number", "Replaced by") else float(Decimal(value))


def a_list(folder: Path, random: Random) -> None:
    """A list for every number of NORTH: other packs, prices for several, old numbers, holes."""
    book, _ = read_shop_book(folder / BOOK)
    assert book is not None
    numbers = [row.terms.number for row in rows_of(book, "NORTH") if row.terms.number]
    with (folder / "NORTH 1.csv").open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADERS)
        for number in numbers:
            kind = random.randrange(12)
            if kind == 0:
                continue
            for_ = random.choice([1, 1, 1, 3, 7, 12, 100])
            cost = "" if kind == 1 else f"{random.randint(50, 30000) * for_ / 100:.2f}"
            after = random.choice(numbers) if kind == 2 else f"{number}-X" if kind == 3 else ""
            lead, pack = random.choice(["", 2, 3, 9]), random.choice(["", 1, 2, 3, 10, 12])
            listed = random.choice(["", f"{random.randint(50, 60000) * for_ / 100:.2f}"])
            writer.writerow((number, pack, cost, listed, for_, lead, "" if after == number else after, "2026-11-01"))
            if kind == 3 and random.random() < 0.7:
                writer.writerow((after, pack, "12.34", "", 1, lead, "", "2026-11-01"))


def test_the_worked_example(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its own list: everything taken, nothing left to propose."""
    for name in ("NORTH 2026-11.csv", "NORTH price list.toml"):
        shutil.copy(EXAMPLE / name, folder / name)
    take_all(folder, propose(capsys))
    told = propose(capsys)
    assert told["proposals"] == [] and told["same"] == 30


@pytest.mark.parametrize("seed", range(6))
def test_nothing_is_proposed_twice(folder: Path, capsys: pytest.CaptureFixture[str], seed: int) -> None:
    """Random lists: taken, the book reads without an error, asks the promised prices, and agrees with the list."""
    a_list(folder, Random(seed))
    told = propose(capsys)
    assert len(told["proposals"]) > 10
    take_all(folder, told)
    book, problems = read_shop_book(folder / BOOK)
    assert book is not None and [problem for problem in problems if problem.severity == "error"] == []
    rows = {(row.sheet, row.code): row for row in rows_of(book, "NORTH")}
    for one in told["proposals"]:
        now = rows[one["sheet"], one["part"]].terms
        assert (None if now.price is None else f"{now.price:f}") == one["new"]["price"]
        assert now.pack_cost == Decimal(one["new"]["pack_cost"])
        assert now.pack_quantity == Decimal(one["new"]["pack_quantity"])
    again = propose(capsys)
    assert again["proposals"] == []
    left = {one["part"] for one in told["not_proposed"]}
    assert {one["part"] for one in again["not_proposed"]} <= left
