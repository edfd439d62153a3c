"""The commands on real workbooks, from files to files."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.cli.main import main
from tests.cli.quote_contract import check_contract
from tests.cli.small_shop import Sheets, job, shop_book, write_book


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Path]:
    return write_book(tmp_path / "book.xlsx", shop_book()), write_book(tmp_path / "job.xlsx", job())


def quoted(book: Path, job: Path, capsys: pytest.CaptureFixture[str], code: int = 0) -> Any:
    assert main(["quote", str(book), str(job), "--json"]) == code
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    return value


def test_a_first_quote_from_seven_sheets(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: one hour at 90, a bushing at 5.50 x 1.5 = 8.25; tax 7 % of the parts."""
    value = quoted(*shop, capsys)
    good = value["tiers"][0]
    assert good["items"] == ["NEWBUSH@left"]
    assert good["hours"]["billed"] == {"MAIN": "0.6"} and good["hours"]["minimum_added"] == "0.4"
    assert good["parts"] == [{"part": "BUSHING", "quantity": "1", "packs": 1, "unit_price": "8.25", "amount": "8.25"}]
    assert (good["subtotal"], good["tax"], good["total"]) == ("98.25", "0.58", "98.83")
    assert good["left"] == ["FRAYED"]
    assert [Path(name).name for name in value["files"]] == ["117-1 quote.xlsx", "117-1 costing.xlsx"]


def test_problems_of_pricing_stand_among_the_others_in_reading_order(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No lead days shows in pricing only, a misspelled heading of the last sheet in reading."""
    book = shop_book()
    book["Taxes"][0].append("In force form")
    made = write_book(tmp_path / "book.xlsx", book), write_book(tmp_path / "job.xlsx", job())
    told = [problem["place"] for problem in quoted(*made, capsys)["problems"]]
    assert told == ["book.xlsx:Parts!A2", "book.xlsx:Parts!A3", "book.xlsx:Taxes!D1"]


def test_the_digests_are_those_of_the_files(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    value = quoted(*shop, capsys)
    digests = [hashlib.sha256(path.read_bytes()).hexdigest() for path in shop]
    assert [value["book_sha256"], value["job_sha256"]] == digests


def test_the_files_open_and_the_books_are_untouched(
    shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    before = [path.read_bytes() for path in shop]
    for name in quoted(*shop, capsys)["files"]:
        assert openpyxl.load_workbook(name).sheetnames
    assert [path.read_bytes() for path in shop] == before


def as_shown(value: object) -> str:
    """A cell's value as the Inputs sheet shows it."""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, float):
        return f"{Decimal(format(value, '.15g')).normalize():f}"
    return str(value)


def test_each_input_of_the_costing_stands_in_the_cell_it_names(
    shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    quoted(*shop, capsys)
    costing = openpyxl.load_workbook(shop[1].with_name("117-1 costing.xlsx"))
    book, job = (openpyxl.load_workbook(path) for path in shop)
    checked = 0
    for _, column, value, cell in costing["Inputs"].iter_rows(min_col=1, max_col=4, values_only=True):
        if not cell or "!" not in str(cell):
            continue
        workbook = job if cell.startswith("job ") else book
        sheet, _, spot = cell.removeprefix("job ").partition("!")
        found = workbook[sheet][spot].value
        if value.endswith(" %"):
            assert Decimal(value.removesuffix(" %")) == Decimal(str(found)) * 100
        elif column not in {"Measured", "Severity", "Parts", "Each side"}:
            assert as_shown(found) == value, (column, cell)
        checked += 1
    assert checked > 30


def broken(change: Callable[[Sheets], None]) -> Sheets:
    sheets = shop_book()
    change(sheets)
    return sheets


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (lambda sheets: sheets["Parts"][1].__setitem__(3, "$22"), "book.xlsx:Parts!D2"),
        (lambda sheets: sheets["Parts"][2].__setitem__(3, None), "book.xlsx:Parts!D3"),
        (lambda sheets: sheets["Operations"][1].__setitem__(2, -1), "book.xlsx:Operations!C2"),
        (lambda sheets: sheets["Remedies"][1].__setitem__(4, "BUSHH"), "book.xlsx:Remedies!E2"),
        (lambda sheets: sheets.pop("Markup") and None, "book.xlsx"),
    ],
)
def test_a_fault_of_the_book_names_its_cell_and_writes_nothing(
    change: Callable[[Sheets], None], place: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = write_book(tmp_path / "book.xlsx", broken(change))
    paper = write_book(tmp_path / "job.xlsx", job())
    value = quoted(book, paper, capsys, code=1)
    places = [problem["place"] for problem in value["problems"] if problem["severity"] == "error"]
    assert any(found.startswith(place) for found in places)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.xlsx", "job.xlsx"]
    assert main(["check", str(book)]) == 1


def test_faults_of_book_and_job_are_told_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = write_book(tmp_path / "book.xlsx", broken(lambda sheets: sheets["Parts"][1].__setitem__(3, "$22")))
    paper = write_book(tmp_path / "job.xlsx", job([("WORN", "left", "0.761 furlongs"), ("NOSUCH", None, None)]))
    value = quoted(book, paper, capsys, code=1)
    files = {problem["place"].partition(":")[0] for problem in value["problems"]}
    assert files == {"book.xlsx", "job.xlsx"}


@pytest.mark.parametrize("content", [b"", b"not a workbook", b"PK\x03\x04 broken zip"])
def test_what_is_no_workbook_is_said_plainly(
    content: bytes, shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    shop[0].write_bytes(content)
    assert main(["check", str(shop[0]), str(shop[1])]) == 1
    err = capsys.readouterr().err
    assert err.startswith("book.xlsx: ") and "Traceback" not in err and "fault of quotekit" not in err


@pytest.mark.parametrize("verb", [["check"], ["quote"]])
def test_a_file_that_is_not_there(verb: list[str], shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    missing = shop[0].with_name("nothing.xlsx")
    assert main([*verb, str(missing), str(shop[1])]) in (1, 3)
    err = capsys.readouterr().err
    assert "nothing.xlsx" in err and "Traceback" not in err and "fault of quotekit" not in err


def test_a_folder_in_place_of_a_book(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(shop[0].parent)]) in (1, 3)
    assert "fault of quotekit" not in capsys.readouterr().err


def test_book_and_job_given_the_wrong_way_round(shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["quote", str(shop[1]), str(shop[0])]) == 1
    err = capsys.readouterr().err
    assert "book.xlsx: this is a shop book, and a job is wanted here" in err
    assert "job.xlsx: this is a job, and a shop book is wanted here" in err
    assert err.count("Give the shop book first, then the job.") == 2 and "2 errors." in err


def test_a_safety_fault_with_no_remedy_gives_the_costing_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = write_book(tmp_path / "book.xlsx", shop_book())
    paper = write_book(tmp_path / "job.xlsx", job([("BRAKE", None, None)]))
    value = quoted(book, paper, capsys)
    assert [tier["offered"] for tier in value["tiers"]] == [False] * 3
    assert [Path(name).name for name in value["files"]] == ["117-1 costing.xlsx"]
    assert [problem["code"] for problem in value["problems"]].count("no-tier-offered") == 1


def test_text_of_the_workbooks_never_becomes_a_formula(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = write_book(tmp_path / "book.xlsx", shop_book())
    sheets = job()
    sheets["Job"][4][1] = '=HYPERLINK("http://127.0.0.1/","win")'
    paper = write_book(tmp_path / "job.xlsx", sheets)
    for name in quoted(book, paper, capsys)["files"]:
        cells = [cell for sheet in openpyxl.load_workbook(name) for row in sheet.iter_rows() for cell in row]
        assert not [cell.coordinate for cell in cells if cell.data_type == "f" and "HYPERLINK" in str(cell.value)]
