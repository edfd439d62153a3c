"""`quotekit take-over`: a new shop book with the ticked times, and never anything else."""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Proposed
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.season_shop import BOOK, LEDGER, PROPOSALS, reviewed_shop, run, ticked

D = Decimal
DAY = ("--on", "2026-12-31", "--recorded-by", "The owner")
NEW = "shop book 2026-12-31.xlsx"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop of its own whose season was reviewed."""
    return reviewed_shop(tmp_path)


def net_hours(path: Path) -> dict[str, Decimal]:
    """Of each operation."""
    book, problems = read_shop_book(path)
    assert book is not None, problems
    return {code: row.net_hours for code, row in book.operations.items()}


def test_ticked_times_are_taken_over(shop: Path) -> None:
    """The new book holds the new time; the old book is untouched, the old time kept with its day."""
    before = (shop / BOOK).read_bytes()
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY)
    assert found.code == 0, found.err
    assert (shop / BOOK).read_bytes() == before
    new = D(found.json["taken"][0]["is"])
    assert net_hours(shop / NEW) == {"BUSH": D("0.6"), "BELTING": new, "SEALING": D("0.3")}
    rows = list(openpyxl.load_workbook(shop / NEW)["Replaced times"].iter_rows(values_only=True))
    assert rows[1] == ("Operations", "BELTING", "Net hours", 0.4, "2026-12-31", float(new), "The owner")
    assert found.json["files"] == [str(shop / NEW)]


def test_it_is_recorded(shop: Path) -> None:
    """What was taken over, with the bytes of the new book, who and when; the chain holds."""
    run(shop, "take-over", ticked(shop, "BELTING", new=0.6), shop / BOOK, *DAY, "--because", "a slow season")
    with open_ledger(shop / LEDGER) as ledger:
        (entry,) = ledger.entries(kinds=("proposed",))
        body = entry.told(Proposed)
        assert (entry.who, entry.why, entry.day.isoformat()) == ("The owner", "a slow season", "2026-12-31")
        assert body.taken == {"Operations: BELTING, Net hours": D("0.6")}
        assert body.book is not None and ledger.file(body.book.sha256) == (shop / NEW).read_bytes()
    assert run(shop, "ledger", "check").code == 0


def test_the_same_again_adds_nothing(shop: Path) -> None:
    """Run twice, it is recorded once."""
    file = ticked(shop, "BELTING")
    assert [run(shop, "take-over", file, shop / BOOK, *DAY).code for _ in range(2)] == [0, 0]
    with open_ledger(shop / LEDGER) as ledger:
        assert len(ledger.entries(kinds=("proposed",))) == 1


def test_a_value_typed_over(shop: Path) -> None:
    """The owner's own value counts."""
    found = run(shop, "take-over", ticked(shop, "BELTING", new=0.55), shop / BOOK, *DAY)
    assert (found.code, net_hours(shop / NEW)["BELTING"]) == (0, D("0.55"))


def test_what_is_odd_in_the_new_book_is_told(shop: Path) -> None:
    """Nine hours for a belt: minutes, perhaps; what was odd before is not told as new."""
    found = run(shop, "take-over", ticked(shop, "BELTING", new=9), shop / BOOK, *DAY)
    assert (found.code, found.codes.count("long-hours")) == (0, 1)
    assert "Operations!C" in next(one["place"] for one in found.json["problems"] if one["code"] == "long-hours")
    assert (
        "long-hours"
        not in run(shop, "take-over", ticked(shop, "BELTING", new=0.6), shop / BOOK, *DAY, "--replace").codes
    )


def test_another_name_for_the_new_book(shop: Path) -> None:
    """--out FILE."""
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY, "--out", shop / "2027.xlsx")
    assert found.code == 0 and (shop / "2027.xlsx").is_file() and not (shop / NEW).exists()


def test_a_second_season(shop: Path) -> None:
    """The new book is taken over again: both old times stand on the sheet."""
    run(shop, "take-over", ticked(shop, "BELTING", new=0.6), shop / BOOK, *DAY)
    book = openpyxl.load_workbook(shop / PROPOSALS)
    for row in book["Proposals"].iter_rows():
        if row[2].value == "BELTING":
            row[4].value, row[5].value = 0.6, 0.7
    book.save(shop / PROPOSALS)
    found = run(shop, "take-over", shop / PROPOSALS, shop / NEW, "--on", "2027-12-31", "--out", shop / "third.xlsx")
    assert found.code == 0, found.err
    rows = list(openpyxl.load_workbook(shop / "third.xlsx")["Replaced times"].iter_rows(values_only=True))
    assert [(row[3], row[5]) for row in rows[1:]] == [(0.4, 0.6), (0.6, 0.7)]


def test_nothing_ticked(shop: Path) -> None:
    """Nothing changes by itself."""
    found = run(shop, "take-over", shop / PROPOSALS, shop / BOOK, *DAY)
    assert (found.code, found.codes, found.json["files"]) == (1, ["nothing-ticked"], [])
    assert not (shop / NEW).exists()


def test_never_over_the_shop_book(shop: Path) -> None:
    """Not even when asked."""
    before = (shop / BOOK).read_bytes()
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY, "--out", shop / BOOK, "--replace")
    assert (found.code, found.codes) == (3, ["output-is-input"])
    assert (shop / BOOK).read_bytes() == before


def test_never_over_another_file(shop: Path) -> None:
    """Unless --replace is given."""
    (shop / NEW).write_bytes(b"the owner's own")
    file = ticked(shop, "BELTING")
    found = run(shop, "take-over", file, shop / BOOK, *DAY)
    assert (found.code, found.codes) == (3, ["output-exists"])
    assert (shop / NEW).read_bytes() == b"the owner's own"
    assert run(shop, "take-over", file, shop / BOOK, *DAY, "--replace").code == 0
    assert net_hours(shop / NEW)["BELTING"] > D("0.4")


def changed(shop: Path, column: int, value: object) -> Path:
    """A ticked row of the proposals in which one cell was changed."""
    path = ticked(shop, "BELTING")
    book = openpyxl.load_workbook(path)
    for row in book["Proposals"].iter_rows():
        if row[2].value == "BELTING":
            row[column].value = value
    book.save(path)
    return path


@pytest.mark.parametrize("new", [0.6, 0.7], ids=["the same value", "another value"])
def test_two_ticked_rows_for_one_cell(shop: Path, new: float) -> None:
    """Which of the two the owner means is not guessed, and nothing is taken over twice."""
    path = ticked(shop, "BELTING")
    book = openpyxl.load_workbook(path)
    page = book["Proposals"]
    (own,) = [row for row in page.iter_rows() if row[2].value == "BELTING"]
    values = [cell.value for cell in own[:5]]
    for column, value in enumerate([*values, new], start=1):
        page.cell(page.max_row + (column == 1), column, value)
    book.save(path)
    found = run(shop, "take-over", path, shop / BOOK, *DAY)
    (problem,) = found.json["problems"]
    assert (found.code, problem["code"]) == (1, "time-not-taken-over")
    assert problem["message"] == f"row {own[0].row} is ticked for the same cell of the shop book"
    assert not (shop / NEW).exists()


@pytest.mark.parametrize(
    ("column", "value", "code"),
    [
        (1, "Parts", "not-a-time"),
        (3, "Operation", "not-a-time"),
        (2, "GONE", "time-gone"),
        (4, 0.9, "time-changed"),
        (5, "soon", "not-a-number"),
        (5, None, "blank-required"),
        (5, -1, "negative"),
        (0, "perhaps", "not-yes-no"),
    ],
)
def test_what_is_refused(shop: Path, column: int, value: object, code: str) -> None:
    """Each with its cell, and nothing is written or recorded."""
    found = run(shop, "take-over", changed(shop, column, value), shop / BOOK, *DAY)
    assert found.code == 1
    assert [problem["place"].partition("!")[0] for problem in found.json["problems"]][:1] == [f"{PROPOSALS}:Proposals"]
    assert not (shop / NEW).exists()
    assert code in found.codes
    with open_ledger(shop / LEDGER) as ledger:
        assert ledger.entries(kinds=("proposed",)) == []


def with_formula(shop: Path) -> None:
    """The belt's time follows from the seal's; its stored result is what it was."""
    path = shop / BOOK
    with zipfile.ZipFile(path) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    for name, data in parts.items():
        if name.startswith("xl/worksheets/") and b"<v>0.4</v>" in data:
            parts[name] = data.replace(b"<v>0.4</v>", b"<f>0.2*2</f><v>0.4</v>", 1)
    with zipfile.ZipFile(path, "w") as package:
        for name, data in parts.items():
            package.writestr(name, data)


def test_a_time_worked_out_by_a_formula(shop: Path) -> None:
    """It is not replaced; the owner is told where it stands."""
    with_formula(shop)
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY)
    assert (found.code, found.codes) == (1, ["time-by-formula"])
    assert "Operations!C" in found.json["problems"][0]["place"]


def with_formulas_elsewhere(shop: Path, formula: bytes, result: bytes) -> None:
    """A sheet of the owner's own: a formula and its stored result, and one that hangs on nothing."""
    book = openpyxl.load_workbook(shop / BOOK)
    page = book.create_sheet("My sums")
    page["A1"], page["A2"] = 2, 3
    book.save(shop / BOOK)
    with zipfile.ZipFile(shop / BOOK) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    for name, data in parts.items():
        if name.startswith("xl/worksheets/") and b"<v>2</v>" in data and len(data) < 900:
            data = data.replace(b"<v>2</v>", b"<f>" + formula + b"</f><v>" + result + b"</v>", 1)
            parts[name] = data.replace(b"<v>3</v>", b"<f>1+1</f><v>99</v>", 1)
    with zipfile.ZipFile(shop / BOOK, "w") as package:
        for name, data in parts.items():
            package.writestr(name, data)


def my_sums(path: Path) -> list[object]:
    """The stored results of that sheet."""
    page = openpyxl.load_workbook(path, data_only=True)["My sums"]
    return [page["A1"].value, page["A2"].value]


def test_formulas_that_hang_on_a_time(shop: Path, soffice: str) -> None:
    """Their stored results are new in the copy, worked out by LibreOffice; others stay, even wrong ones."""
    before = sum(net_hours(shop / BOOK).values())
    with_formulas_elsewhere(shop, b"SUM(Operations!C:C)", f"{before}".encode())
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY)
    assert (found.code, found.codes) == (0, []), found.err
    after = sum(net_hours(shop / NEW).values())
    assert after > before
    assert my_sums(shop / NEW) == [pytest.approx(float(after)), 99]


def test_formulas_without_libreoffice(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Results that hang on the time are taken away, and the owner is told to open and save the copy once."""
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/gone/soffice")
    with_formulas_elsewhere(shop, b"SUM(Operations!C:C)", b"2.5")
    found = run(shop, "take-over", ticked(shop, "BELTING"), shop / BOOK, *DAY)
    assert (found.code, found.codes) == (0, ["formulas-to-work-out"]), found.err
    assert "My sums!A1" in found.err and NEW in found.json["problems"][0]["place"]
    assert my_sums(shop / NEW) == [None, 99]
    with zipfile.ZipFile(shop / NEW) as package:
        assert b'fullCalcOnLoad="1"' in package.read("xl/workbook.xml")


def test_a_file_that_is_no_proposal(shop: Path) -> None:
    """The shop book given twice."""
    found = run(shop, "take-over", shop / BOOK, shop / BOOK, *DAY)
    assert (found.code, found.codes) == (1, ["missing-sheet"])
    assert "`proposed times ...` that `quotekit review` wrote" in found.err


def test_a_missing_file(shop: Path) -> None:
    """Said by name."""
    found = run(shop, "take-over", shop / "gone.xlsx", shop / BOOK, *DAY)
    assert (found.code, found.codes) == (1, ["missing-file"])
