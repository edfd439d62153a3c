"""`quotekit compare` of two shop books whose Rate builder changed: what an hour must sell for, then and now.

A year costs 60,000 of pay and 20,000 of rent, and 2,000 hours of which half are sold: 80.00 to break even; with a
profit of a fifth of what is sold, 80 / 0.8 = 100.00.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.main import main
from tests.cli.small_shop import Sheets, shop_book
from tests.workbook.typed import Edit, all_of, book_file, job_file, set_cell

ROWS: list[list[object]] = [
    ["Line", "Amount", "Kind"],
    ["Owner", 60000, "pay"],
    ["Rent", 20000, "overhead"],
    ["Owner", 2000, "clock hours"],
    ["Owner", "50%", "share at the bench"],
    ["Owner", "100%", "efficiency"],
    ["Profit", "20%", "profit share"],
]
RENT, PROFIT, HALF = ("new.xlsx:Rate builder!B3", "new.xlsx:Rate builder!B7", "new.xlsx:Rate builder!B5")
DEARER_RENT = set_cell("Rate builder", 2, 1, 30000)
SHEET = "Rate builder"


def with_rates() -> Sheets:
    return {**shop_book(), SHEET: copy.deepcopy(ROWS)}


def no_sheet(sheets: Sheets) -> None:
    del sheets[SHEET]


def without(kind: str) -> Edit:
    def edit(sheets: Sheets) -> None:
        sheets[SHEET] = [row for row in sheets[SHEET] if row[2] != kind]

    return edit


def nothing(_: Sheets) -> None:
    """A book as it is."""


class Books:
    """The two books on disk, and what the command says of them."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.capsys = folder, capsys

    def text(self, old: Edit, new: Edit, *more: object) -> str:
        files = [book_file(self.folder, name, edit, with_rates()) for name, edit in (("old", old), ("new", new))]
        assert main(["compare", *map(str, files), *map(str, more)]) == 0
        return self.capsys.readouterr().out

    def json(self, old: Edit, new: Edit, *more: object) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(self.text(old, new, *more, "--json"))
        return found


@pytest.fixture
def books(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Books:
    return Books(tmp_path, capsys)


def rates(found: dict[str, Any]) -> dict[str, tuple[Any, ...]]:
    """Old, new, difference and what goes with each cell, of both rates."""
    return {
        one["figure"]: (one["old"], one["new"], one["difference"], one["alone"], one["together"])
        for one in found["figures"]
        if one["figure"].startswith("rate.")
    }


@pytest.mark.parametrize(
    ("edit", "break_even", "for_profit"),
    [
        (DEARER_RENT, ("80.00", "90.00", "10.00", {RENT: "10.00"}), ("100.00", "112.50", "12.50", {RENT: "12.50"})),
        (set_cell(SHEET, 6, 1, "36%"), None, ("100.00", "125.00", "25.00", {PROFIT: "25.00"})),
        (
            set_cell(SHEET, 4, 1, "80%"),
            ("80.00", "50.00", "-30.00", {HALF: "-30.00"}),
            ("100.00", "62.50", "-37.50", {HALF: "-37.50"}),
        ),
    ],
    ids=["a dearer rent", "more profit", "more hours sold"],
)
def test_one_cell(books: Books, edit: Edit, break_even: tuple[Any, ...] | None, for_profit: tuple[Any, ...]) -> None:
    """Worked out by hand; a wish for profit moves no break-even."""
    wanted = {"rate.for_profit": (*for_profit, "0.00")}
    if break_even is not None:
        wanted["rate.break_even"] = (*break_even, "0.00")
    assert rates(books.json(nothing, edit)) == wanted


def test_two_cells_that_work_on_each_other(books: Books) -> None:
    """90,000 over 1,600 hours is 56.25: 6.25 of it by the rent, 33.75 less by the hours, and 3.75 only together."""
    found = rates(books.json(nothing, all_of(DEARER_RENT, set_cell(SHEET, 4, 1, "80%"))))
    assert found["rate.break_even"] == ("80.00", "56.25", "-23.75", {RENT: "6.25", HALF: "-33.75"}, "3.75")


def test_a_new_row_is_a_cause_as_a_whole(books: Books) -> None:
    """A van of 5,000 a year: 5.00 an hour; the row came, so no single cell of it is named."""

    def van(sheets: Sheets) -> None:
        sheets[SHEET].append(["Van", 5000, "overhead"])

    old, new, difference, alone, _ = rates(books.json(nothing, van))["rate.break_even"]
    assert (old, new, difference, list(alone.values())) == ("80.00", "85.00", "5.00", ["5.00"])
    assert all("Rate builder!" in place and place.endswith("8") for place in alone)


def test_in_words(books: Books) -> None:
    """What it was, what it is, by how much and because of which cell: nothing is left under `moves no figure`."""
    told = books.text(nothing, DEARER_RENT).splitlines()
    assert "What was changed and moves no figure here:" not in told
    assert told[-3:] == [
        "By the shop book alone:",
        "  Rate builder, an hour with the wanted profit: $100.00 -> $112.50 (+$12.50)  because of [1]",
        "  Rate builder, an hour to break even: $80.00 -> $90.00 (+$10.00)  because of [1]",
    ]
    assert any(line.startswith(f"  [1] {RENT}  ") for line in told)


@pytest.mark.parametrize(
    ("old", "new", "which", "figures"),
    [
        (no_sheet, nothing, "old", [(None, "80.00", None), (None, "100.00", None)]),
        (nothing, no_sheet, "new", [("80.00", None, None), ("100.00", None, None)]),
    ],
)
def test_a_sheet_that_one_of_them_lacks(
    books: Books, old: Edit, new: Edit, which: str, figures: list[tuple[Any, ...]]
) -> None:
    """Said as it is, and the rate of the other book is told."""
    found = books.json(old, new)
    assert found["notes"] == [
        f"The {which} shop book has no sheet Rate builder, or no row on it, so it gives no rate to break even."
    ]
    told = rates(found)
    assert [told[name][:3] for name in ("rate.break_even", "rate.for_profit")] == figures
    assert f"Note: {found['notes'][0]}" in books.text(old, new)


def test_a_sheet_that_is_not_understood(books: Books) -> None:
    """Without clock hours no rate can be told: the note says what the other command would ask."""
    found = books.json(nothing, without("clock hours"))
    assert rates(found)["rate.break_even"][:3] == ("80.00", None, None)
    (note,) = found["notes"]
    assert note.startswith("The new shop book has a sheet Rate builder that is not understood (new.xlsx:Rate builder: ")
    assert note.endswith("), so it gives no rate to break even.")


def test_a_profit_that_is_wanted_no_more(books: Books) -> None:
    """Then there is a rate to break even alone."""
    found = books.json(nothing, without("profit share"))
    assert {name: told[:3] for name, told in rates(found).items()} == {"rate.for_profit": ("100.00", None, None)}
    assert found["notes"] == []


@pytest.mark.parametrize(
    ("old", "new"),
    [(no_sheet, no_sheet), (nothing, nothing), (no_sheet, all_of(no_sheet, set_cell("Parts", 2, 3, 20)))],
)
def test_nothing_is_said_of_rates_where_the_sheet_is_as_it_was(books: Books, old: Edit, new: Edit) -> None:
    found = books.json(old, new)
    assert (rates(found), found["notes"]) == ({}, [])


def test_the_sheet_moves_nothing_else_and_nothing_else_moves_it(books: Books) -> None:
    """A dearer hour on Labour rates is what is charged, not what must be: neither names the other's cell."""
    both = all_of(DEARER_RENT, set_cell("Labour rates", 1, 2, 100))
    found = books.json(nothing, both, "--job", job_file(books.folder, "job"))
    for one in found["figures"]:
        assert (RENT in one["because"]) == one["figure"].startswith("rate.")
    assert len(rates(found)) == 2 and len(found["figures"]) > 4
