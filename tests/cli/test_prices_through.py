"""From a supplier's list to a quote at the new prices, by the real commands: propose, tick, apply, quote, undo."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.cli import small_shop
from tests.cli.price_shop import NORTH, ON, Ran, Shop, change, parts_with_everything

D = Decimal
LIST = """\
Part number;Description;Net cost;Pack;List price
00123;Bronze bushing;6.10;4;9.90
B-7;Drive belt;21.25;1;35.00
S-1;Seal;1.41;10;2.10
"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    """A shop whose parts have numbers, and a list of its supplier."""
    sheets = parts_with_everything()
    sheets["Parts"][3][6] = "S-1"
    found = Shop(tmp_path / "shop", sheets)
    small_shop.write_book(found.folder / "job.xlsx", small_shop.job())
    (found.folder / "north.csv").write_text(LIST, encoding="utf-8")
    monkeypatch.chdir(found.folder)
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/nowhere")
    return found


def quote(of: Shop, out: str) -> dict[str, Any]:
    """The quote of the job with the book as it is, without what names the files."""
    ran = of.run("quote", str(of.book), "job.xlsx", "--out", out)
    assert ran.code == 0, ran.err
    return {name: value for name, value in ran.json.items() if name not in ("files", "book_sha256")}


def propose(of: Shop) -> Path:
    """The workbook of proposals."""
    assert of.run("prices", "map", "north.csv", "--supplier", NORTH, "--book", of.book.name).code == 0
    words = ("--list", "north.csv", "--supplier", NORTH, "--on", ON[1])
    found = of.run("prices", "propose", of.book.name, *words)
    assert found.code == 0, found.err
    return of.folder / found.json["files"][0]


def tick(path: Path, *parts: str) -> None:
    """Yes beside some parts, as a person types it in any spreadsheet."""
    book = openpyxl.load_workbook(path)
    for row in book["Proposals"].iter_rows():
        if row[2].value in parts:
            row[0].value = "Yes"
    book.save(path)


def apply(of: Shop, proposals: Path) -> Ran:
    """The real command on the real file."""
    return of.run("prices", "apply", of.book.name, proposals.name, *ON)


def test_from_the_list_to_the_quote(shop: Shop) -> None:
    """What is ticked is in the book and in the next quote, nothing else is; undo gives the first bytes."""
    first, before = shop.book.read_bytes(), quote(shop, "first")
    proposals = propose(shop)
    nothing = apply(shop, proposals)
    assert (nothing.code, nothing.json["change"], shop.book.read_bytes()) == (0, None, first)
    tick(proposals, "BELT", "BUSHING")
    found = apply(shop, proposals)
    assert found.code == 0, found.err
    cells = {one["cell"]: (one["code"], one["was"], one["is"]) for one in found.json["changed"]}
    assert cells["D2"] == ("BUSHING", "22", "24.4") and cells["D3"] == ("BELT", "19.5", "21.25")
    assert cells["F3"] == ("BELT", None, "35") and "D4" not in cells
    after = quote(shop, "after")
    prices = [_prices(one) for one in (before, after)]
    assert prices == [{"BUSHING": "8.25", "BELT": "29.25"}, {"BUSHING": "9.15", "BELT": "30.00"}]
    assert after == quote(_written_anew(shop), "anew")
    assert apply(shop, proposals).json["change"] is None
    assert shop.undo().code == 0 and shop.book.read_bytes() == first
    assert quote(shop, "back") == before


def _prices(told: dict[str, Any]) -> dict[str, str]:
    """Unit prices in the last option.

    Cost of one raised by 50 % up to 20, by 35 % above, but not below the price at 20: 5.50 gives 8.25, 6.10 gives 9.15,
    19.50 gives 29.25, and 21.25 gives 28.69, so the 30.00 of a cost of 20.
    """
    return {one["part"]: one["unit_price"] for one in told["tiers"][-1]["parts"]}


def _written_anew(shop: Shop) -> Shop:
    """A shop whose owner typed the same figures: every figure must be the same as after the change, and no other."""
    sheets = parts_with_everything()
    sheets["Parts"][3][6] = "S-1"
    page = openpyxl.load_workbook(shop.book)["Parts"]
    for row in range(1, 4):
        sheets["Parts"][row] = [page.cell(row + 1, column).value for column in range(1, 11)]
        day = sheets["Parts"][row][9]
        sheets["Parts"][row][9] = None if day is None else day.date()  # type: ignore[attr-defined]
    anew = Shop(shop.folder / "anew", sheets)
    small_shop.write_book(anew.folder / "job.xlsx", small_shop.job())
    return anew


def test_the_owner_works_on_between_the_list_and_the_ticks(shop: Shop) -> None:
    """A row put above: real proposals find their rows again, and what they do not touch stays."""
    proposals = propose(shop)
    tick(proposals, "BELT")
    sheets = parts_with_everything()
    sheets["Parts"][3][6] = "S-1"
    sheets["Parts"].insert(1, ["CAP", "Cap", 1, 2, NORTH, None, "C-1", None, None, None])
    shop.write(sheets)
    found = apply(shop, proposals)
    assert (found.code, "book-saved-since" in found.codes) == (0, True), found.err
    assert {one["cell"] for one in found.json["changed"]} == {"D4", "F4"}
    assert (shop.cell("D4"), shop.cell("D3")) == (21.25, 22)


@pytest.mark.parametrize(("column", "value"), [(2, 5), (6, "B-8")])
def test_a_pack_or_a_number_that_was_changed_since(column: int, value: object, shop: Shop) -> None:
    """A cost of a pack of one is not put into a row that says packs of five by now, nor one of another article."""
    proposals = propose(shop)
    tick(proposals, "BELT")
    sheets = parts_with_everything()
    sheets["Parts"][3][6] = "S-1"
    sheets["Parts"][2][column] = value
    shop.write(sheets)
    before = shop.book.read_bytes()
    found = apply(shop, proposals)
    assert (found.code, found.codes) == (1, ["cell-changed-since"]), found.err
    assert shop.book.read_bytes() == before


def test_another_cell_of_the_proposals_typed_over(shop: Shop) -> None:
    """The proposals are sealed: what was not proposed is not applied."""
    proposals = propose(shop)
    book = openpyxl.load_workbook(proposals)
    cells = [cell for row in book["Cells"].iter_rows() for cell in row if cell.value == 21.25]
    assert cells != []
    for cell in cells:
        cell.value = 1
    book.save(proposals)
    found = apply(shop, proposals)
    assert (found.code, found.codes) == (1, ["price-proposals-changed"])


def test_the_costing_says_where_the_new_price_is_from(shop: Shop) -> None:
    """Explained, the figure names the changed cell and its new value."""
    assert shop.apply([change("pack cost", "D3", D("19.5"), D("21.25"))]).code == 0
    words = ("--tier", "better", "--figure", "parts", "--job", "job.xlsx")
    found = shop.run("explain", str(shop.book), "job.xlsx", *words[:4])
    assert found.code == 0, found.err
    assert "Parts!D3" in found.out and "21.25" in found.out
