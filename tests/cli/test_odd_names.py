"""Workbooks by any name that a disk can hold: each command does its work or refuses with a problem, without a fault."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Issued
from tests.cli.issued_shop import Ran
from tests.cli.small_shop import job, shop_book, write_book

NO_TEXT = os.fsdecode(b"sch\xfctte")
NAMES = {
    "bytes that are no UTF-8": NO_TEXT,
    "half a letter": os.fsdecode(b"\xed\xa0\x80"),
    "letters of many languages": "Büroß 日本 😀",
    "a line end and a bell": "a\nb\a",
    "codes of a link": "50% #1 [a] & 'b' \"c\"",
    "as long as a disk allows": "x" * 225,
}
BARE = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
"""A terminal that knows ASCII alone."""


class Shop:
    """A folder whose shop book and job have an odd name; commands run in it."""

    def __init__(self, folder: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        self.book, self.job = f"{name} book.xlsx", f"{name} job.xlsx"
        write_book(folder / self.book, shop_book())
        write_book(folder / self.job, job())

    def run(self, *words: str) -> Ran:
        """A command; whatever it says, it is no fault of the program."""
        self._capsys.readouterr()
        code = main(words)
        said = self._capsys.readouterr()
        assert "fault of quotekit" not in said.out + said.err, said.err
        return Ran(code, said.out, said.err)


@pytest.fixture(params=NAMES.values(), ids=NAMES)
def shop(
    request: pytest.FixtureRequest, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Shop:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("QUOTEKIT_LEDGER", raising=False)
    return Shop(tmp_path, request.param, capsys)


@pytest.mark.parametrize("more", [(), ("--json",)], ids=["text", "json"])
def test_a_quote_is_written(more: tuple[str, ...], shop: Shop) -> None:
    """Quote, page and costing, of workbooks of this name and into a folder of it."""
    found = shop.run("quote", shop.book, shop.job, "--page", "--out", shop.job.removesuffix(".xlsx"), *more)
    assert found.code == 0, found.err
    assert len(list(Path(shop.job.removesuffix(".xlsx")).iterdir())) == 3
    if more:
        assert found.told["tiers"]


def test_what_is_told_of_them(shop: Shop) -> None:
    """Commands that write nothing."""
    for words in (
        ("check", shop.book, shop.job),
        ("choice", shop.book, shop.job, "--tier", "good"),
        ("explain", shop.book, shop.job, "--tier", "good"),
        ("compare", shop.book, shop.book, "--job", shop.job),
    ):
        assert shop.run(*words).code == 0
        assert shop.run(*words, "--json").told is not None


def test_a_quote_is_issued_and_kept(shop: Shop) -> None:
    """The ledger holds both workbooks and what the quote says; the ledger may have such a name itself."""
    words = ("issue", shop.book, shop.job, "--on", "2026-03-03", "--json", "--ledger", f"{shop.book[:-10]} it.db")
    found = shop.run(*words)
    assert found.code == 0, found.err
    with open_ledger(Path(words[-1])) as ledger:
        body = ledger.entries()[0].told(Issued)
        assert ledger.file(body.book.sha256) == Path(shop.book).read_bytes()
        results = json.loads(ledger.file(body.results.sha256) or b"")
    assert results["tiers"] == found.told["tiers"]
    assert shop.run("ledger", "check", "--ledger", words[-1]).code == 0


def test_a_costing_names_such_a_workbook_without_a_link(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An address that no file can hold is left out; the words hold a question mark, and links to the other stay."""
    monkeypatch.chdir(tmp_path)
    shop = Shop(tmp_path, NO_TEXT, capsys)
    (tmp_path / shop.book).rename("shop book.xlsx")
    assert shop.run("quote", "shop book.xlsx", shop.job).code == 0
    book = openpyxl.load_workbook("117-1 costing.xlsx")
    cells = [cell for page in book for row in page.iter_rows() for cell in row]
    links = {cell.hyperlink.target for cell in cells if cell.hyperlink is not None and cell.hyperlink.target}
    assert {link.partition("#")[0] for link in links} == {"shop%20book.xlsx"}
    assert any("sch?tte job.xlsx" in str(cell.value) for cell in cells)


@pytest.mark.parametrize("name", [NO_TEXT, "Büro"])
def test_at_a_bare_terminal(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where neither names nor the screen know more than ASCII, both texts and JSON come out."""
    shop = Shop(tmp_path, name, capsys)
    quote = _of_program(tmp_path, "quote", shop.book, shop.job, "--json")
    assert json.loads(quote.stdout)["tiers"], quote.stderr
    missing = _of_program(tmp_path, "check", f"{name}.xlsx")
    assert (missing.returncode, missing.stdout) == (1, b"") and b"there is no file" in missing.stderr


def test_a_name_that_begins_with_a_dash(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--` ends the options, as everywhere."""
    shop = Shop(tmp_path, "-a", capsys)
    assert shop.run("check", "--", str(tmp_path / shop.book)).code == 0
    assert _of_program(tmp_path, "quote", "--", shop.book, shop.job).returncode == 0


def _of_program(folder: Path, *words: str) -> Any:
    root = str(Path(__file__).parents[2])
    environment = {**os.environ, **BARE, "PYTHONPATH": root}
    command = [sys.executable, "-m", "quotekit", *words]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False)
