"""`quotekit prices undo`: the last change of prices taken back, byte for byte where nobody saved since."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.model.changed_file import Changed
from quotekit.model.proposed_prices import ProposedChange
from tests.cli import small_shop
from tests.cli.price_shop import KEPT, NORTH, ON, Shop, change, parts_with_everything

D = Decimal


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with seven sheets, whose belt was made dearer."""
    found = Shop(tmp_path / "shop")
    assert found.apply().code == 0
    return found


SEAL = (change("pack cost", "D4", D(15), D("15.5"), part="SEAL"),)


def test_byte_for_byte(shop: Shop) -> None:
    """The shop book is what it was; what it was until now is kept too, and both are recorded."""
    dearer = shop.book.read_bytes()
    found = shop.undo()
    assert (found.code, found.json["whole"], found.json["undoes"], found.json["change"]) == (0, True, 1, 2)
    assert shop.digest() == shop.made_from
    assert (shop.folder / found.json["kept"]).read_bytes() == dearer
    body = shop.entries()[2].told(Changed)
    assert (body.undoes, body.what) == (1, "prices")
    (cell,) = body.file.cells
    assert (cell.code, cell.column, cell.old.text, cell.new.text) == ("BELT", "Pack cost", "21.25", "19.5")
    first, second = shop.changes()
    assert (first.state, first.undone_by, second.stands) == ("made", 2, True)


def test_as_a_person_reads_it(shop: Shop) -> None:
    found = shop.run("prices", "undo", str(shop.book), "--on", "2026-12-03", as_json=False)
    lines = ["Parts!D3 (BELT, Pack cost): 21.25 -> 19.5", "The old file is kept as shop book before 2026-12-03.xlsx."]
    assert found.out.splitlines() == lines
    assert "Change 1 is taken back by change 2: the shop book is byte for byte what it was before." in found.err
    save(shop, _type("C3", 0.45, "Operations"))
    again = shop.run("prices", "undo", str(shop.book), "--change", "2", as_json=False)
    assert "Change 2 is taken back by change 3: the other cells stay as they are." in again.err


def test_one_after_the_other(shop: Shop) -> None:
    """Run again it takes back the change before; then there is none."""
    assert shop.apply(SEAL).json["change"] == 2
    assert [shop.undo().json["undoes"] for _ in range(2)] == [2, 1]
    assert shop.digest() == shop.made_from
    found = shop.undo()
    assert (found.code, found.codes) == (1, ["nothing-to-undo"])
    assert "change 3 of 2026-12-02, which took change 2 back" in found.json["problems"][0]["remedy"]


def test_undo_of_an_undo(shop: Shop) -> None:
    """Named, it is taken back itself; then the first change stands again, and can be taken back again."""
    dearer = shop.book.read_bytes()
    shop.undo()
    refused = shop.undo("--change", "1")
    assert (refused.code, refused.codes) == (1, ["undone-already"])
    assert "--change 2" in refused.json["problems"][0]["remedy"]
    again = shop.undo("--change", "2")
    assert (again.code, again.json["undoes"], shop.book.read_bytes()) == (0, 2, dearer)
    assert [one.stands for one in shop.changes()] == [True, False, True]
    assert shop.undo().json["undoes"] == 1
    assert shop.digest() == shop.made_from


def test_one_that_is_not_the_last(shop: Shop) -> None:
    """The belt back, the seal stays: cell by cell."""
    shop.apply(SEAL)
    found = shop.undo("--change", "1")
    assert (found.code, found.json["whole"]) == (0, False)
    assert (shop.cell("D3"), shop.cell("D4")) == (19.5, 15.5)


def save(shop: Shop, change_of: Callable[[openpyxl.Workbook], object]) -> None:
    """The owner works on and saves."""
    book = openpyxl.load_workbook(shop.book)
    change_of(book)
    book.save(shop.book)


def _type(cell: str, value: object, sheet: str = "Parts") -> Callable[[openpyxl.Workbook], object]:
    def change_of(book: openpyxl.Workbook) -> None:
        book[sheet][cell] = value

    return change_of


def test_cell_by_cell_where_the_owner_saved_since(shop: Shop) -> None:
    save(shop, _type("C3", 0.45, "Operations"))
    found = shop.undo()
    assert (found.code, found.json["whole"]) == (0, False)
    assert (shop.cell("D3"), shop.cell("C3", "Operations")) == (19.5, 0.45)


def test_a_row_that_moved_since(shop: Shop) -> None:
    """Another part stands in its row now, at the very same cost: the price of the belt is put back, not of that."""
    save(shop, lambda book: book["Parts"].insert_rows(3))
    for cell, value in zip(("A3", "B3", "C3", "D3", "E3"), ("CAP", "Cap", 1, 21.25, NORTH), strict=True):
        save(shop, _type(cell, value))
    found = shop.undo()
    assert (found.code, found.json["changed"][0]["cell"]) == (0, "D4")
    assert (shop.cell("D3"), shop.cell("D4")) == (21.25, 19.5)


@pytest.mark.parametrize(
    ("since", "code", "words"),
    [
        (_type("D3", 23), "cell-changed-since", "says 23 now, not 21.25"),
        (_type("D3", None), "cell-changed-since", "says nothing now, not 21.25"),
        (_type("A3", "BELT-2"), "row-gone", "no row of BELT now"),
        (_type("E3", "Southside"), "row-changed", "BELT on the sheet Parts is of another supplier now"),
        (_type("D1", "Cost"), "row-gone", "no row of BELT now"),
        (_type("A5", "BELT"), None, ""),
    ],
)
def test_what_was_changed_since_is_named(
    since: Callable[..., object], code: str | None, words: str, shop: Shop
) -> None:
    """A second row of the code is no hindrance while the first stands where it stood."""
    save(shop, since)
    before = shop.book.read_bytes()
    found = shop.undo()
    if code is None:
        assert (found.code, shop.cell("D3")) == (0, 19.5)
        return
    assert (found.code, found.codes) == (1, [code]), found.err
    assert words in found.json["problems"][0]["message"]
    assert shop.book.read_bytes() == before and len(shop.changes()) == 1


def test_two_rows_that_are_not_told_apart(shop: Shop) -> None:
    sheets = small_shop.shop_book()
    belt = sheets["Parts"].pop(2)
    sheets["Parts"] += [[*belt[:3], 21.25, NORTH]] * 2
    shop.write(sheets)
    found = shop.undo()
    assert (found.code, found.codes) == (1, ["row-not-told-apart"])


def test_without_the_copy(shop: Shop) -> None:
    """The owner threw it away: the cell is put back by what the ledger keeps."""
    (shop.folder / KEPT).unlink()
    found = shop.undo()
    assert (found.code, shop.cell("D3")) == (0, 19.5)


def test_another_name_for_the_book(shop: Shop) -> None:
    """It was renamed: what is in it tells that it is the one."""
    new = shop.folder / "book 2027.xlsx"
    shop.book.rename(new)
    shop.book = new
    assert shop.undo().code == 0
    assert shop.digest() == shop.made_from


def test_a_renamed_book_has_all_its_changes(shop: Shop) -> None:
    """Those of its earlier name too: one under another, and what came after the new name, also once it was saved."""
    shop.apply(SEAL)
    new = shop.folder / "book 2027.xlsx"
    shop.book.rename(new)
    shop.book = new
    found = shop.undo("--change", "1")
    assert (found.code, found.json["undoes"]) == (0, 1), found.err
    assert (shop.cell("D3"), shop.cell("D4")) == (19.5, 15.5)
    save(shop, _type("C3", 0.45, "Operations"))
    found = shop.undo()
    assert (found.code, found.json["undoes"]) == (0, 2), found.err
    assert shop.undo().codes == ["nothing-to-undo"]


def test_a_copy_is_another_workbook(shop: Shop) -> None:
    """What is taken back in a copy would not be taken back in the book, and the ledger would say that it was."""
    copy = shop.folder / "a look.xlsx"
    copy.write_bytes(shop.book.read_bytes())
    found = shop.run("prices", "undo", str(copy), *ON, "--ledger", str(shop.ledger))
    assert found.codes == ["nothing-to-undo"]
    assert "A copy is another workbook." in found.json["problems"][0]["remedy"]
    assert copy.read_bytes() == shop.book.read_bytes()
    assert shop.undo().json["undoes"] == 1


def test_through_a_link_of_another_name(shop: Shop, tmp_path: Path) -> None:
    """A change made through a link is of the file itself: known by either name, also after the owner saved."""
    real = tmp_path / "elsewhere" / "prices.xlsx"
    real.parent.mkdir()
    shop.book.replace(real)
    shop.book.symlink_to(real)
    assert shop.apply(SEAL).json["change"] == 2
    save(shop, _type("C3", 0.45, "Operations"))
    ledger = ("--ledger", str(shop.ledger))
    by_file = shop.run("prices", "undo", str(real), *ledger)
    assert (by_file.code, by_file.json["undoes"]) == (0, 2), by_file.err
    assert shop.undo("--change", "3").json["undoes"] == 3
    assert shop.book.is_symlink() and shop.cell("D4") == 15.5


def test_no_ledger_no_change_no_book(tmp_path: Path) -> None:
    """Nothing to take back is said in words."""
    shop = Shop(tmp_path / "shop")
    assert (shop.undo().code, shop.undo().codes) == (1, ["nothing-to-undo"])
    assert not shop.ledger.exists()
    shop.apply()
    assert shop.undo("--change", "7").codes == ["no-such-change"]
    assert "change 1 of 2026-12-02" in shop.undo("--change", "7").json["problems"][0]["remedy"]
    shop.book.unlink()
    assert (shop.undo().code, shop.undo().codes) == (1, ["missing-file"])


def test_a_book_that_is_open_elsewhere(shop: Shop) -> None:
    (shop.folder / ".~lock.shop book.xlsx#").write_bytes(b"")
    found = shop.undo()
    assert (found.code, found.codes) == (3, ["output-open"])


def _values(draw: st.DrawFn, field: str) -> Decimal | str | date | int | None:
    if field in ("pack quantity", "pack cost", "list price each"):
        return draw(st.decimals("0.01", "9999", places=2))
    if field == "lead days":
        return draw(st.sampled_from([None, D(0), D(7), D(30)]))
    if field == "cost date":
        return draw(st.dates(date(2020, 1, 1), date(2030, 12, 31)))
    if field == "replaced by":
        return None
    return draw(st.sampled_from(["00077", "007", "=1+1", "1e5", "a & <b>", " b ", "5-0110", "TRUE"]))


CELLS = [
    ("BUSHING", "C2", "pack quantity", D(4)),
    ("BUSHING", "D2", "pack cost", D(22)),
    ("BUSHING", "F2", "list price each", D(9)),
    ("BUSHING", "G2", "supplier's number", "00123"),
    ("BUSHING", "I2", "lead days", D(4)),
    ("BUSHING", "J2", "cost date", date(2026, 1, 5)),
    ("BELT", "C3", "pack quantity", D(1)),
    ("BELT", "D3", "pack cost", D("19.5")),
    ("BELT", "F3", "list price each", None),
    ("BELT", "G3", "supplier's number", "B-7"),
    ("SEAL", "D4", "pack cost", D(15)),
    ("SEAL", "I4", "lead days", D(0)),
]


@st.composite
def proposals(draw: st.DrawFn) -> list[ProposedChange]:
    """Some cells with new values."""
    chosen = draw(st.lists(st.sampled_from(CELLS), min_size=1, unique=True))
    return [
        change(field, cell, old, _values(draw, field), part=part)  # type: ignore[arg-type]
        for part, cell, field, old in sorted(chosen, key=CELLS.index)
    ]


@settings(max_examples=15)
@given(ticks=proposals())
def test_apply_then_undo_gives_the_same_bytes(
    ticks: list[ProposedChange], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever was ticked: applied, each value comes back from the book; taken back, not a byte differs."""
    from quotekit.workbook.find_row import RowFinder, same_value
    from quotekit.workbook.read_shop_book import read_book_sheets

    shop = Shop(tmp_path_factory.mktemp("shop") / "shop", parts_with_everything())
    before = shop.book.read_bytes()
    found = shop.apply(ticks)
    assert found.code == 0, found.err
    sheets, _ = read_book_sheets(shop.book)
    assert sheets is not None
    for one in ticks:
        (row,) = RowFinder(sheets).rows("Parts", one.part)
        header = {"supplier's number": "Supplier's number"}.get(one.field, one.field.capitalize())
        assert same_value(row.value(header), one.new), (one, row.value(header))
    if found.json["change"] is None:
        return
    assert shop.undo().code == 0
    assert shop.book.read_bytes() == before
