"""`quotekit prices apply`: the ticked cells of the owner's own shop book, and nothing else of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from quotekit.model.changed_file import Changed
from quotekit.model.entries import Written
from quotekit.problems import Place, error
from tests.cli import small_shop
from tests.cli.price_shop import DEARER, KEPT, NORTH, READER, Shop, change, parts_with_everything
from tests.in_place.compare import collateral, part_names

D = Decimal


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with seven sheets."""
    return Shop(tmp_path / "shop")


@pytest.fixture
def full(tmp_path: Path) -> Shop:
    """A shop whose parts have every column that a list may change."""
    return Shop(tmp_path / "shop", parts_with_everything())


def test_the_ticked_cell_and_nothing_else(shop: Shop) -> None:
    before = shop.book.read_bytes()
    found = shop.apply()
    assert found.code == 0, found.err
    after = shop.book.read_bytes()
    assert collateral(before, after, {(part_names(before)["Parts"], "D3")}, set()) == []
    assert shop.cell("D3") == 21.25
    assert (shop.folder / KEPT).read_bytes() == before
    assert shop.left() == ["proposals.xlsx", KEPT, "shop book.xlsx"]


def test_what_it_says(shop: Shop) -> None:
    """Old and new by cell, the copy's name, how to take it back; the same as JSON."""
    with mock.patch(READER, lambda path: (shop.ticked(DEARER), [])):
        found = shop.run(
            "prices", "apply", str(shop.book), str(shop.proposals), "--on", "2026-12-02", as_json=False
        )  # fmt: skip
    assert found.out.splitlines() == ["Parts!D3 (BELT, Pack cost): 19.5 -> 21.25", f"The old file is kept as {KEPT}."]
    assert f"A ledger was made: {shop.ledger}" in found.err
    assert "This is change 1; `quotekit prices undo` takes it back." in found.err
    other = Shop(shop.folder.parent / "other")
    told = other.apply().json
    assert told == {
        "change": 1,
        "entry": 1,
        "undoes": None,
        "changed": [
            {
                "sheet": "Parts",
                "cell": "D3",
                "code": "BELT",
                "supplier": NORTH,
                "column": "Pack cost",
                "was": "19.5",
                "is": "21.25",
            }
        ],
        "worked_out": [],
        "taken_away": [],
        "kept": KEPT,
        "already": [],
        "problems": [],
    }


def test_what_the_ledger_keeps(shop: Shop) -> None:
    """Before the file is replaced what is to be done, after it that it was: old and new, whose list, which copy."""
    shop.apply()
    changed, written = shop.entries()
    body = changed.told(Changed)
    assert (changed.kind, changed.number, changed.who, changed.day.isoformat()) == (
        "changed", 1, "The owner", "2026-12-02",
    )  # fmt: skip
    (cell,) = body.file.cells
    assert (cell.code, cell.supplier, cell.column, cell.old.text, cell.new.text) == (
        "BELT", NORTH, "Pack cost", "19.5", "21.25",
    )  # fmt: skip
    assert (body.what, body.proposals, body.undoes) == ("prices", "proposals.xlsx", None)
    assert [(one.supplier, one.file, one.sha256) for one in body.sources] == [(NORTH, "north 2027.csv", "ab" * 32)]
    assert (body.file.before, body.file.after, body.file.kept) == (shop.made_from, shop.digest(), KEPT)
    told = written.told(Written)
    assert told.of == changed.seq and told.folder == str(shop.folder)
    assert [(one.name, one.sha256) for one in told.documents] == [
        ("shop book.xlsx", shop.digest()),
        (KEPT, shop.made_from),
    ]


def test_every_kind_of_value(full: Shop) -> None:
    """Numbers of a pack, texts with zeros in front, whole days, a date, a code: each comes back exactly."""
    found = full.apply(
        [
            change("pack quantity", "C2", D(4), D(5), part="BUSHING"),
            change("pack cost", "D2", D(22), D("27.1234"), part="BUSHING"),
            change("list price each", "F2", D(9), D("9.99"), part="BUSHING"),
            change("supplier's number", "G2", "00123", "00077", part="BUSHING"),
            change("replaced by", "H3", None, "SEAL", tick="A6"),
            change("lead days", "I3", None, D(12), tick="A6"),
            change("cost date", "J2", date(2026, 1, 5), date(2026, 12, 2), part="BUSHING"),
            change("pack cost", "E2", D("18.9"), D("18.5"), sheet="Offers", supplier="Southside", tick="A7"),
        ]
    )
    assert (found.code, found.codes) == (0, []), found.err
    assert [(one["cell"], one["was"], one["is"]) for one in found.json["changed"]] == [
        ("C2", "4", "5"),
        ("D2", "22", "27.1234"),
        ("F2", "9", "9.99"),
        ("G2", "00123", "00077"),
        ("J2", "2026-01-05", "2026-12-02"),
        ("H3", None, "SEAL"),
        ("I3", None, "12"),
        ("E2", "18.9", "18.5"),
    ]
    from quotekit.workbook.read_shop_book import read_shop_book

    book, _ = read_shop_book(full.book)
    assert book is not None
    part, belt = book.parts["BUSHING"], book.parts["BELT"]
    assert (part.pack_quantity, part.pack_cost, part.list_price_each) == (D(5), D("27.1234"), D("9.99"))
    assert (part.suppliers_number, part.cost_date) == ("00077", date(2026, 12, 2))
    assert (belt.replaced_by, belt.lead_days, book.offers[0].pack_cost) == ("SEAL", 12, D("18.5"))


def test_a_value_can_be_taken_out(full: Shop) -> None:
    """A list that no longer gives a list price."""
    assert full.apply([change("list price each", "F2", D(9), None, part="BUSHING")]).code == 0
    assert full.cell("F2") is None


@pytest.mark.parametrize(
    ("ticks", "done"),
    [
        ({"over_limit": True}, False),
        ({"over_limit": True, "taken_anyway": True}, True),
        ({"over_limit": True, "taken": False, "taken_anyway": True}, False),
        ({"taken": False}, False),
    ],
)
def test_both_ticks_where_both_are_needed(ticks: dict[str, bool], done: bool, shop: Shop) -> None:
    before = shop.book.read_bytes()
    found = shop.apply([change("pack cost", "D3", D("19.5"), D(210), **ticks)])
    assert (found.code, found.json["change"]) == (0, 1 if done else None)
    assert (shop.book.read_bytes() != before) is done


def test_nothing_ticked(shop: Shop) -> None:
    """It says so, writes nothing and is no fault; no ledger is made for it."""
    nothing = error(Place("proposals.xlsx", "Proposals"), "nothing-ticked", "no row is ticked", "Type Yes.")
    with mock.patch(READER, lambda path: (None, [nothing])):
        found = shop.run("prices", "apply", str(shop.book), str(shop.proposals))
    assert (found.code, found.json["change"], found.json["problems"]) == (0, None, [])
    assert "No row is ticked: nothing was changed." in found.err
    assert shop.left() == ["proposals.xlsx", "shop book.xlsx"] and not shop.ledger.exists()


def test_proposals_that_cannot_be_read(shop: Shop) -> None:
    shop.proposals.write_bytes(b"words")
    found = shop.run("prices", "apply", str(shop.book), str(shop.proposals))
    assert (found.code, found.codes) == (1, ["not-a-workbook"])
    assert "Nothing was changed." in found.err


def test_applied_twice(shop: Shop) -> None:
    """The cells say it already: nothing is written, and it is no fault."""
    shop.apply()
    after, left = shop.book.read_bytes(), shop.left()
    found = shop.apply()
    assert (found.code, found.json["already"], found.json["change"]) == (0, ["Parts!D3"], None)
    assert "Every ticked cell says its new value already: nothing was changed." in found.err
    assert (shop.book.read_bytes(), shop.left(), len(shop.entries())) == (after, left, 2)


def test_some_of_it_is_there_already(full: Shop) -> None:
    """The owner typed one of two by hand: the other goes in."""
    sheets = parts_with_everything()
    sheets["Parts"][2][3] = 21.25
    full.write(sheets)
    seal = change("pack cost", "D4", D(15), D("15.5"), part="SEAL", tick="A6")
    found = full.apply([*DEARER, seal])
    assert (found.code, found.json["already"]) == (0, ["Parts!D3"])
    assert [one["cell"] for one in found.json["changed"]] == ["D4"]
    assert found.codes == ["book-saved-since"]


def test_a_book_saved_since(shop: Shop) -> None:
    """The owner put a row above and typed another time: the row is found again by its code, and that is said."""
    sheets = small_shop.shop_book()
    sheets["Parts"].insert(1, ["CAP", "Cap", 1, 2, NORTH])
    sheets["Operations"][2][2] = 0.45
    shop.write(sheets)
    found = shop.apply()
    assert (found.code, found.codes) == (0, ["book-saved-since"])
    assert "1 of the rows stand elsewhere now" in found.json["problems"][0]["message"]
    assert [(one["cell"], one["was"], one["is"]) for one in found.json["changed"]] == [("D4", "19.5", "21.25")]
    assert (shop.cell("D4"), shop.cell("C3", "Operations")) == (21.25, 0.45)


def test_a_column_put_in_since(shop: Shop) -> None:
    """Cells are found by their header too."""
    sheets = small_shop.shop_book()
    sheets["Parts"] = [[row[0], "own" if at == 0 else at, *row[1:]] for at, row in enumerate(sheets["Parts"])]
    shop.write(sheets)
    found = shop.apply()
    assert (found.code, shop.cell("E3"), shop.cell("D3")) == (0, 21.25, 1)


def _parts(change_of: Any) -> small_shop.Sheets:
    sheets = parts_with_everything()
    change_of(sheets)
    return sheets


def _put(sheet: str, row: int, column: int, value: object) -> Any:
    def change_of(sheets: small_shop.Sheets) -> None:
        sheets[sheet][row][column] = value

    return change_of


def _drop(sheet: str, row: int) -> Any:
    return lambda sheets: sheets[sheet].pop(row)


def _offer_twice(sheets: small_shop.Sheets) -> None:
    sheets["Offers"] += [["BELT", "Southside", "S-1", 1, 18.9, 9, None]]
    sheets["Offers"].insert(1, ["SEAL", "Eastside", "E-1", 20, 28, None, None])


OFFER = change("pack cost", "E2", D("18.9"), D("18.5"), sheet="Offers", supplier="Southside")
PACK = (change("pack quantity", "C3", D(1), D(1)), *DEARER)


@pytest.mark.parametrize(
    ("since", "ticks", "code", "words"),
    [
        (_put("Parts", 2, 3, 20), DEARER, "cell-changed-since", "Pack cost of BELT says 20 now, not 19.5"),
        (_put("Parts", 2, 3, None), DEARER, "cell-changed-since", "says nothing now, not 19.5"),
        (_put("Parts", 2, 2, 4), PACK, "cell-changed-since", "Pack quantity of BELT says 4 now, not 1"),
        (_put("Parts", 2, 4, "Southside"), DEARER, "row-changed", "is of Southside now, not of Northside"),
        (_drop("Parts", 2), DEARER, "row-gone", "no part BELT on its sheet Parts now"),
        (_put("Offers", 1, 1, "Eastside"), [OFFER], "row-changed", "is of Eastside now, not of Southside"),
        (_drop("Offers", 1), [OFFER], "row-gone", "no part BELT on its sheet Offers"),
        (_offer_twice, [OFFER], "row-not-told-apart", "rows 3, 5 of the sheet Offers"),
    ],
)
def test_what_was_changed_since_is_refused(since: Any, ticks: Any, code: str, words: str, full: Shop) -> None:
    """A ticked cell, or what its row is known by, says something else now: nothing is done, and the tick is named."""
    full.write(_parts(since))
    before = full.book.read_bytes()
    found = full.apply(ticks)
    assert (found.code, found.codes) == (1, [code]), found.err
    (problem,) = found.json["problems"]
    assert (
        words in problem["message"] and "Take away the tick of BELT at proposals.xlsx:Proposals!A5" in problem["remedy"]
    )
    assert (full.book.read_bytes(), full.left()) == (before, ["proposals.xlsx", "shop book.xlsx"])
    assert not full.ledger.exists()


def test_a_sheet_that_cannot_be_read_any_more(shop: Shop) -> None:
    """The owner took a title out: that is told, not that the part is gone."""
    sheets = small_shop.shop_book()
    sheets["Parts"][0][3] = "What it costs"
    shop.write(sheets)
    found = shop.apply()
    assert (found.code, found.codes) == (1, ["missing-column"]), found.err


def test_a_sheet_that_is_gone(full: Shop) -> None:
    sheets = parts_with_everything()
    del sheets["Offers"]
    full.write(sheets)
    assert full.apply([OFFER]).codes == ["row-gone"]


def test_offers_alike_are_told_apart_by_their_row_and_by_what_they_say(full: Shop) -> None:
    """Two offers of one supplier: the one that says what the proposals say; of two that do, the one in its row."""
    sheets = parts_with_everything()
    sheets["Offers"] += [["BELT", "Southside", "S-9", 1, 30, 9, None]]
    full.write(sheets)
    assert [one["cell"] for one in full.apply([OFFER]).json["changed"]] == ["E2"]
    sheets["Offers"][3][4] = 18.9
    full.write(sheets)
    assert [one["cell"] for one in full.apply([OFFER]).json["changed"]] == ["E2"]


def test_columns_that_the_sheet_does_not_have(shop: Shop) -> None:
    """A column is the owner's to add: the values are named, and the rest goes in."""
    ticks = [
        *DEARER,
        change("lead days", "", None, D(5)),
        change("cost date", "", None, date(2026, 12, 2)),
        change("lead days", "", None, D(7), part="SEAL", tick="A6"),
    ]
    found = shop.apply(ticks)
    assert (found.code, found.codes) == (0, ["value-not-placed", "value-not-placed"])
    days, dates = found.json["problems"]
    assert "has no column Lead days, so these values have no cell: 5 for BELT, 7 for SEAL" in days["message"]
    assert "no column Cost date, so these values have no cell: 2026-12-02 for BELT" in dates["message"]
    assert shop.cell("D3") == 21.25
    alone = shop.apply(ticks[1:])
    assert (alone.code, alone.json["change"]) == (0, None) and "No value has a cell" in alone.err


def test_days_keep_the_way_they_are_typed(tmp_path: Path) -> None:
    """A day as text stays a text; where the format shows no dates the day is left out and told, the price goes in."""
    sheets = parts_with_everything()
    sheets["Parts"][1][9], sheets["Parts"][3][9] = "2026-01-05", 46000
    shop = Shop(tmp_path / "shop", sheets)
    ticks = [
        change("cost date", "J2", date(2026, 1, 5), date(2026, 12, 2), part="BUSHING"),
        change("cost date", "J3", None, date(2026, 12, 2), tick="A6"),
        change("pack cost", "D3", D("19.5"), D("21.25"), tick="A6"),
    ]
    found = shop.apply(ticks)
    assert (found.code, found.codes) == (0, ["value-not-placed"]), found.err
    assert "shows no dates, so their days were not put in: J3" in found.json["problems"][0]["message"]
    assert (shop.cell("J2"), shop.cell("J3"), shop.cell("D3")) == ("2026-12-02", None, 21.25)


def test_one_refused_cell_stops_all(full: Shop) -> None:
    """All or none: it says which tick to take away."""
    import openpyxl

    book = openpyxl.load_workbook(full.book)
    book["Parts"]["D4"] = "=10*1.5"
    book.save(full.book)
    store_result(full.book, "D4", "15")
    full.made_from, before = full.digest(), full.book.read_bytes()
    found = full.apply([*DEARER, change("pack cost", "D4", D(15), D(16), part="SEAL", tick="A6")])
    assert (found.code, found.codes) == (1, ["cell-is-formula"])
    (problem,) = found.json["problems"]
    assert problem["place"].endswith("Parts!D4")
    assert problem["remedy"].startswith("Take away the tick of SEAL at proposals.xlsx:Proposals!A6")
    assert full.book.read_bytes() == before


def store_result(path: Path, cell: str, result: str, *, sheet: str = "Parts") -> None:
    """Give a formula that openpyxl wrote its stored result, as a spreadsheet does."""
    import re

    from tests.in_place.members import with_member

    def stored(data: bytes) -> bytes:
        formula = rb'(<c r="' + cell.encode() + rb'"[^>]*><f>[^<]*</f>)<v(?:\s*/>|></v>)'
        return re.sub(formula, lambda found: found[1] + b"<v>" + result.encode() + b"</v>", data)

    data = path.read_bytes()
    path.write_bytes(with_member(data, part_names(data)[sheet], stored))


def test_a_value_that_the_book_could_not_be_read_with(full: Shop) -> None:
    """A number that replaces itself: an error that was not there before stops it, with the tick."""
    before = full.book.read_bytes()
    found = full.apply([change("replaced by", "H3", None, "GONE")])
    assert found.code == 1 and found.codes == ["unknown-code", "book-would-be-wrong"], found.err
    assert "Take away the tick of BELT" in found.json["problems"][0]["remedy"]
    assert full.book.read_bytes() == before


def test_faults_that_were_there_before_stop_nothing(tmp_path: Path) -> None:
    """An operation without hours keeps the shop from quoting, not from having its prices right."""
    sheets = small_shop.shop_book()
    sheets["Operations"][1][2] = None
    shop = Shop(tmp_path / "shop", sheets)
    assert shop.apply().code == 0 and shop.cell("D3") == 21.25


def test_what_is_odd_with_the_new_value_is_told(full: Shop) -> None:
    """A list price below the cost: a warning that was not there before."""
    found = full.apply([change("pack cost", "D2", D(22), D(44), part="BUSHING")])
    assert (found.code, found.codes) == (0, ["price-below-cost"]), found.err


@pytest.mark.parametrize("name", [".~lock.shop book.xlsx#", "~$shop book.xlsx"])
def test_a_book_that_is_open_elsewhere(name: str, shop: Shop) -> None:
    (shop.folder / name).write_bytes(b"")
    before = shop.book.read_bytes()
    found = shop.apply()
    assert (found.code, found.codes) == (3, ["output-open"])
    assert shop.book.read_bytes() == before and not shop.ledger.exists()


def test_a_book_that_is_read_only(shop: Shop) -> None:
    shop.book.chmod(0o444)
    found = shop.apply()
    assert (found.code, found.codes) == (1, ["file-read-only"]) and not shop.ledger.exists()


def test_no_such_book(shop: Shop) -> None:
    shop.book.unlink()
    assert (shop.apply().code, shop.apply().codes) == (1, ["missing-file"])


def test_a_workbook_that_is_no_shop_book(shop: Shop) -> None:
    """A job given in its place."""
    small_shop.write_book(shop.book, small_shop.job())
    found = shop.apply()
    assert found.code == 1 and found.json["problems"] != []


def test_several_ledgers(shop: Shop) -> None:
    """It asks which, before anything is changed; the book's own goes first."""
    for name in ("a ledger.db", "b ledger.db"):
        (shop.folder / name).write_bytes(b"")
    before = shop.book.read_bytes()
    found = shop.apply()
    assert (found.code, found.codes) == (3, ["which-ledger"])
    assert shop.book.read_bytes() == before
    assert shop.apply(DEARER, "--ledger", str(shop.ledger)).code == 0
    assert shop.undo().code == 0


def test_the_only_ledger_of_the_folder(shop: Shop) -> None:
    """A shop book with the year in its name has the ledger of the shop."""
    from quotekit.ledger.open_ledger import open_ledger

    open_ledger(shop.folder / "old name ledger.db").__exit__(None, None, None)
    assert shop.apply().code == 0
    assert not shop.ledger.exists()
    with open_ledger(shop.folder / "old name ledger.db") as ledger:
        assert [one.kind for one in ledger.entries()] == ["changed", "written"]


def test_everything_can_be_taken_out_of_the_ledger(shop: Shop) -> None:
    """The export has a table of changes and one of their cells, exact; the check and the chain know the kind."""
    import csv

    shop.apply()
    shop.undo()
    assert shop.run("ledger", "export", str(shop.folder / "all"), "--ledger", str(shop.ledger)).code == 0
    told = {
        name: list(csv.DictReader((shop.folder / "all" / name).open(encoding="utf-8")))
        for name in ("changed.csv", "changed file cells.csv", "changed sources.csv", "written.csv")
    }
    assert [(row["number"], row["what"], row["undoes"]) for row in told["changed.csv"]] == [
        ("1", "prices", ""),
        ("2", "prices", "1"),
    ]
    cells = told["changed file cells.csv"]
    assert [(row["code"], row["cell"], row["old.text"], row["new.text"]) for row in cells] == [
        ("BELT", "D3", "19.5", "21.25"),
        ("BELT", "D3", "21.25", "19.5"),
    ]
    assert told["changed sources.csv"][0]["file"] == "north 2027.csv" and len(told["written.csv"]) == 2
    assert shop.run("ledger", "check", "--ledger", str(shop.ledger)).json["unchanged"] is True


def test_a_change_that_was_altered_in_the_ledger_is_found(shop: Shop) -> None:
    """Old and new are sealed by the chain as everything is."""
    import sqlite3

    shop.apply()
    with sqlite3.connect(shop.ledger) as database:
        triggers = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
        for name in triggers:
            database.execute(f'DROP TRIGGER "{name}"')
        database.execute("UPDATE entries SET body = replace(body, '19.5', '18.5') WHERE kind = 'changed'")
    database.close()
    found = shop.run("ledger", "check", "--ledger", str(shop.ledger))
    assert found.code == 1 and any("entry 1" in one["place"] for one in found.json["problems"])
