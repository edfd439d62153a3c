"""`quotekit take-over --in-place`: the ticked times into the owner's own shop book, and `--undo`."""

from __future__ import annotations

from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import openpyxl
import pytest

from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.changed_file import Changed
from tests.cli.price_shop import READER, Shop, change
from tests.cli.season_shop import BOOK, LEDGER, Ran, reviewed_shop, run, ticked
from tests.in_place.compare import collateral, part_names

D = Decimal
DAY = ("--on", "2026-12-31", "--recorded-by", "The owner")
KEPT = "shop book before 2026-12-31.xlsx"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop of its own whose season was reviewed."""
    return reviewed_shop(tmp_path)


def in_place(shop: Path, *words: str, new: float | None = 0.55) -> Ran:
    """The belt's time taken over."""
    return run(shop, "take-over", ticked(shop, "BELTING", new=new), shop / BOOK, "--in-place", *DAY, *words)


def undo(shop: Path, *words: str) -> Ran:
    """The last change of times taken back."""
    return run(shop, "take-over", "--undo", shop / BOOK, *DAY, *words)


def test_the_ticked_cell_and_nothing_else(shop: Path) -> None:
    """No new shop book, no sheet of replaced times: one cell, a dated copy, an entry."""
    before = (shop / BOOK).read_bytes()
    found = in_place(shop)
    assert found.code == 0, found.err
    after = (shop / BOOK).read_bytes()
    assert collateral(before, after, {(part_names(before)["Operations"], "C3")}, set()) == []
    assert openpyxl.load_workbook(shop / BOOK)["Operations"]["C3"].value == 0.55
    assert (shop / KEPT).read_bytes() == before and not (shop / "shop book 2026-12-31.xlsx").exists()
    assert found.json["taken"] == [
        {"sheet": "Operations", "code": "BELTING", "column": "Net hours", "was": "0.4", "is": "0.55"}
    ]
    assert (found.json["kept"], found.json["files"], found.json["change"]) == (KEPT, [str(shop / BOOK)], 1)


def test_it_is_recorded(shop: Path) -> None:
    """Old and new by cell; no entry of the other way to take times over."""
    in_place(shop, "--because", "a slow season")
    with open_ledger(shop / LEDGER) as ledger:
        (entry,) = ledger.entries(kinds=("changed",))
        assert [one.kind for one in ledger.entries(job="")] == ["changed", "written"]
    body = entry.told(Changed)
    (cell,) = body.file.cells
    assert (body.what, entry.why, cell.code, cell.column) == ("times", "a slow season", "BELTING", "Net hours")
    assert (cell.old.text, cell.new.text, body.file.kept) == ("0.4", "0.55", KEPT)
    assert body.proposals_sha256 == sha256(next(shop.glob("proposed times*")).read_bytes()).hexdigest()
    assert run(shop, "ledger", "check").code == 0


def test_taken_back(shop: Path) -> None:
    """Byte for byte; once more there is nothing left."""
    before = (shop / BOOK).read_bytes()
    in_place(shop)
    found = undo(shop)
    assert (found.code, found.json["undoes"], found.json["whole"]) == (0, 1, True)
    assert (shop / BOOK).read_bytes() == before
    assert undo(shop).codes == ["nothing-to-undo"]
    assert undo(shop, "--change", "2").json["undoes"] == 2


def test_the_same_again(shop: Path) -> None:
    """The cell says it already: no fault, nothing written."""
    in_place(shop)
    after = (shop / BOOK).read_bytes()
    found = in_place(shop)
    assert (found.code, found.json["already"], found.json["change"]) == (0, ["Operations BELTING, Net hours"], None)
    assert (shop / BOOK).read_bytes() == after


def test_a_row_that_moved(shop: Path) -> None:
    """An operation is found by its code; what was changed is put back where it stands then."""
    file = ticked(shop, "BELTING", new=0.55)
    book = openpyxl.load_workbook(shop / BOOK)
    book["Operations"].insert_rows(2)
    for column, value in enumerate(("OTHER", "Other work", 0.55), start=1):
        book["Operations"].cell(2, column).value = value
    book.save(shop / BOOK)
    assert run(shop, "take-over", file, shop / BOOK, "--in-place", *DAY).code == 0
    book = openpyxl.load_workbook(shop / BOOK)
    assert [book["Operations"][f"C{row}"].value for row in (2, 3, 4)] == [0.55, 0.6, 0.55]
    book["Operations"].insert_rows(2)
    for column, value in enumerate(("MORE", "More work", 0.1), start=1):
        book["Operations"].cell(2, column).value = value
    book.save(shop / BOOK)
    assert undo(shop).code == 0
    page = openpyxl.load_workbook(shop / BOOK)["Operations"]
    assert [page[f"C{row}"].value for row in (2, 3, 4, 5)] == [0.1, 0.55, 0.6, 0.4]


@pytest.mark.parametrize(
    ("cell", "value", "code"),
    [("C3", 0.45, "time-changed"), ("A3", "BELT", "time-gone"), ("C2", None, "blank-required")],
)
def test_what_was_changed_since_is_refused(cell: str, value: object, code: str, shop: Path) -> None:
    book = openpyxl.load_workbook(shop / BOOK)
    book["Operations"][cell] = value
    book["Remedies"]["E3"] = "BELT" if cell == "A3" else "BELTING"
    book.save(shop / BOOK)
    before = (shop / BOOK).read_bytes()
    found = in_place(shop)
    assert found.code == 1 and code in found.codes, found.err
    assert "Nothing was taken over." in found.err and (shop / BOOK).read_bytes() == before


def test_nothing_ticked(shop: Path) -> None:
    """As without --in-place."""
    file = next(shop.glob("proposed times*"))
    found = run(shop, "take-over", file, shop / BOOK, "--in-place", *DAY)
    assert (found.code, found.codes) == (1, ["nothing-ticked"])


def test_a_book_that_is_open_elsewhere(shop: Path) -> None:
    (shop / f".~lock.{BOOK}#").write_bytes(b"")
    assert (in_place(shop).code, in_place(shop).codes) == (3, ["output-open"])


def test_a_time_that_is_a_formula(shop: Path) -> None:
    """Named, with what to do."""
    from tests.cli.test_prices_apply import store_result

    book = openpyxl.load_workbook(shop / BOOK)
    book["Operations"]["C3"] = "=0.2*2"
    book.save(shop / BOOK)
    store_result(shop / BOOK, "C3", "0.4", sheet="Operations")
    found = in_place(shop)
    assert (found.code, found.codes) == (1, ["time-by-formula"]), found.err


def test_what_is_odd_in_the_book_then_is_told(shop: Path) -> None:
    """Nine hours for a belt: minutes, perhaps."""
    found = in_place(shop, new=9)
    assert (found.code, found.codes) == (0, ["long-hours"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["take-over", "--undo", "p.xlsx", "b.xlsx"], "--undo wants the shop book alone"),
        (["take-over", "--undo", "b.xlsx", "--replace"], "--undo wants the shop book alone"),
        (["take-over", "b.xlsx"], "the workbook of proposed times is missing"),
        (["take-over", "p.xlsx", "b.xlsx", "--in-place", "--replace"], "--replace is for a new shop book"),
        (["take-over", "p.xlsx", "b.xlsx", "--change", "3"], "--change goes with --undo"),
        (["take-over", "p.xlsx", "b.xlsx", "--in-place", "--out", "c.xlsx"], "not allowed with"),
        (["take-over", "p.xlsx", "b.xlsx", "--in-place", "--undo"], "not allowed with"),
    ],
)
def test_what_does_not_go_together(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    from quotekit.cli.main import main

    assert main(words) == 2
    assert said in capsys.readouterr().err


def test_prices_and_times_are_taken_back_apart(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One verb does not take back what the other changed, and says which does."""
    before = (shop / BOOK).read_bytes()
    assert in_place(shop).code == 0
    prices = Shop.__new__(Shop)
    prices.folder, prices.book, prices.proposals = shop, shop / BOOK, shop / "prices.xlsx"
    prices.made_from = prices.digest()
    prices.proposals.write_bytes(b"ticked by hand")
    monkeypatch.setattr(READER, lambda path: (prices.ticked([change("pack cost", "D3", D("19.5"), D(21))]), []))
    words = ("--ledger", str(shop / LEDGER), *DAY)
    assert prices.run("prices", "apply", str(prices.book), str(prices.proposals), *words).json["change"] == 2
    other = undo(shop, "--change", "2")
    assert (other.code, other.codes) == (1, ["change-of-other-kind"])
    assert "quotekit prices undo BOOK --change 2" in other.json["problems"][0]["remedy"]
    assert undo(shop).json["undoes"] == 1
    assert prices.run("prices", "undo", str(prices.book), *words).json["undoes"] == 2
    page = openpyxl.load_workbook(prices.book)
    assert (page["Operations"]["C3"].value, page["Parts"]["D3"].value) == (0.4, 19.5)
    names = part_names(before)
    cells = {(names["Operations"], "C3"), (names["Parts"], "D3")}
    assert collateral(before, prices.book.read_bytes(), cells, set()) == []
