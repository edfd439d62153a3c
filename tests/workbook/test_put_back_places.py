"""One change put back: the rows stand where they stood, and each cell says which workbook its value is from."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.workbook.put_back import changes_of_books, put_back_in_book
from quotekit.workbook.read_shop_book import BookSheets
from quotekit.workbook.typed_changes import TypedChange
from tests.cli.small_shop import shop_book
from tests.workbook.test_typed_changes import inserted, with_tiers
from tests.workbook.typed import Edit, all_of, set_cell, typed_books

CLIP: list[object] = ["CLIP", "Clip", 10, 4, "Northside"]


def codes(sheets: BookSheets, sheet: str) -> list[str]:
    return [str(row.values["code"]) for row in sheets.rows.get(sheet, [])]


def back(folder: Path, edit: Edit, kind: str, name: str = "") -> tuple[BookSheets, BookSheets, BookSheets]:
    """The old book, the new one, and the new one with its only change of a kind put back."""
    old, new = typed_books(folder, edit)
    (change,) = (one for one in changes_of_books(old, new) if one.kind == kind and (not name or one.name == name))
    return old, new, put_back_in_book(old, new, change)


@pytest.mark.parametrize("place", [1, 2, 3])
def test_a_row_that_went_comes_back_after_the_row_it_followed(tmp_path: Path, place: int) -> None:
    """The first labour rate is the default, and the first row of a tax that fits is the one that counts."""
    old, _, again = back(tmp_path, lambda sheets: sheets["Parts"].pop(place), "removed")
    assert codes(again, "Parts") == codes(old, "Parts") == ["BUSHING", "BELT", "SEAL"]


def test_a_row_comes_back_behind_the_row_before_it_though_new_ones_stand_between(tmp_path: Path) -> None:
    """SEAL followed BELT: what came in above them does not move it up."""
    edit = all_of(lambda sheets: sheets["Parts"].pop(3), inserted("Parts", 1, CLIP))
    _, new, again = back(tmp_path, edit, "removed")
    assert codes(new, "Parts") == ["CLIP", "BUSHING", "BELT"]
    assert codes(again, "Parts") == ["CLIP", "BUSHING", "BELT", "SEAL"]


def test_a_row_whose_forerunners_all_went_comes_back_to_the_top(tmp_path: Path) -> None:
    def edit(sheets: dict[str, list[list[object]]]) -> None:
        del sheets["Parts"][1:3]

    old, new = typed_books(tmp_path, edit)
    for change in changes_of_books(old, new):
        found = codes(put_back_in_book(old, new, change), "Parts")
        assert found in (["BUSHING", "SEAL"], ["BELT", "SEAL"])


def test_an_order_put_back_leaves_what_is_new_and_puts_it_last(tmp_path: Path) -> None:
    """The order of the options is a rule: each is compared with the one before it."""
    base = {**shop_book(), **with_tiers()}
    better: list[object] = ["better", "All of it", *base["Tiers"][-1][2:]]
    edit = all_of(lambda sheets: sheets["Tiers"].insert(1, sheets["Tiers"].pop()), inserted("Tiers", 1, better))
    old, new = typed_books(tmp_path, edit, base)
    (change,) = (one for one in changes_of_books(old, new) if one.kind == "order")
    assert codes(new, "Tiers") == ["better", *reversed(codes(old, "Tiers"))]
    assert codes(put_back_in_book(old, new, change), "Tiers") == [*codes(old, "Tiers"), "better"]


@pytest.mark.parametrize("kind", ["value", "added", "removed"])
def test_no_other_sheet_is_touched(tmp_path: Path, kind: str) -> None:
    """What is put back is one change: the rest of the new book is the new book."""
    edits: dict[str, Edit] = {
        "value": set_cell("Parts", 3, 3, 18),
        "added": inserted("Parts", 1, CLIP),
        "removed": lambda sheets: sheets["Parts"].pop(1),
    }
    edit = all_of(edits[kind], set_cell("Markup", 1, 2, 0.6), set_cell("Shop", 3, 1, 2))
    old, new = typed_books(tmp_path, edit)
    (change,) = (one for one in changes_of_books(old, new) if one.sheet == "Parts")
    again = put_back_in_book(old, new, change)
    assert change.kind == kind
    assert {name: rows for name, rows in again.rows.items() if name != "Parts"} == {
        name: rows for name, rows in new.rows.items() if name != "Parts"
    }
    assert again.fields == new.fields
    assert [row.values for row in again.rows["Parts"]] == [row.values for row in old.rows["Parts"]]


def test_a_sheet_that_came_goes_with_its_last_row_and_a_needed_one_stays(tmp_path: Path) -> None:
    """A sheet without rows is not a sheet that is not there, where the book can't be without it."""
    fees: list[list[object]] = [["Code", "Fee", "Amount"], ["PICKUP", "Pickup", 20]]
    _, new, again = back(tmp_path, lambda sheets: sheets.update({"Fees": fees}), "added")
    assert "Fees" in new.rows and "Fees" not in again.rows
    rate: list[object] = ["WELD", "Welding", 120, 50]
    old, other = typed_books(tmp_path, lambda sheets: sheets["Labour rates"].append(rate))
    (change,) = changes_of_books(old, other)
    alone = put_back_in_book(old, other, change)
    assert len(alone.rows["Labour rates"]) == len(old.rows["Labour rates"])


def setting_back(folder: Path, edit: Edit, base: dict[str, list[list[object]]] | None = None) -> tuple[BookSheets, ...]:
    """Old, new, and the new book with its one changed setting put back."""
    old, new = typed_books(folder, edit, base)
    (change,) = changes_of_books(old, new)
    assert isinstance(change, TypedChange) and change.kind == "setting"
    return old, new, put_back_in_book(old, new, change)


def test_a_setting_that_changed_has_its_old_value_and_its_cell_of_now(tmp_path: Path) -> None:
    """A problem with the mixture must name a cell of the workbook the owner has open."""
    old, new, again = setting_back(tmp_path, set_cell("Shop", 3, 1, 2))
    assert old.fields is not None and new.fields is not None and again.fields is not None
    (name,) = (name for name in new.fields.values if new.fields.values[name] != old.fields.values[name])
    assert again.fields.values == old.fields.values
    assert again.fields.sources[name] == new.fields.sources[name] != old.fields.sources[name]


def test_a_setting_that_came_is_not_stated_without_it(tmp_path: Path) -> None:
    """Put back, it is the default again, and no value of its own."""
    old, _, again = setting_back(tmp_path, inserted("Shop", 4, ["Queue days", 3]))
    assert old.fields is not None and again.fields is not None
    assert again.fields.values == old.fields.values


def test_a_setting_that_went_comes_back_with_the_cell_it_stood_in(tmp_path: Path) -> None:
    base = shop_book()
    base["Shop"].append(["Queue days", 3])
    old, new, again = setting_back(tmp_path, lambda sheets: sheets["Shop"].pop(), base)
    assert old.fields is not None and new.fields is not None and again.fields is not None
    (name,) = set(old.fields.values) - set(new.fields.values)
    assert again.fields.values == old.fields.values
    assert again.fields.sources[name] == old.fields.sources[name]
    kept = set(again.fields.sources) - {name}
    assert {each: again.fields.sources[each] for each in kept} == {each: new.fields.sources[each] for each in kept}


def test_a_cell_that_was_blank_is_blank_again_and_holds_no_empty_value(tmp_path: Path) -> None:
    """Blank is not zero and not an empty text: the row is as if nothing had been typed."""
    book = shop_book()
    book["Operations"][2][3] = None
    old, new = typed_books(tmp_path, set_cell("Operations", 2, 3, "Yes"), book)
    (change,) = changes_of_books(old, new)
    again = put_back_in_book(old, new, change)
    assert [row.values for row in again.rows["Operations"]] == [row.values for row in old.rows["Operations"]]
