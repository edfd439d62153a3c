"""The copy is read again before it is given out: what does not say what was ticked is refused."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.taking_over import FIELDS, place_of, value_of
from quotekit.model.source import Source
from quotekit.workbook.columns import SHOP_BOOK
from quotekit.workbook.edit_cells import CannotEdit
from quotekit.workbook.package import Package
from quotekit.workbook.read_proposals import TickedTime
from tests import build
from tests.cli.season_shop import BOOK, DAYS, a_shop, run, ticked

D = Decimal


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A reviewed shop with a ticked time."""
    folder = a_shop(tmp_path)
    assert run(folder, "review", *DAYS, "--book", folder / BOOK).code == 0
    ticked(folder, "BELTING")
    return folder


def proposals(shop: Path) -> Path:
    """The ticked file."""
    return next(shop.glob("proposed times *.xlsx"))


def test_a_copy_that_does_not_say_it(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the cell on the sheet is not the one that is read."""

    def unchanged(package: Package, *_: Any) -> bytes:
        return package.data

    monkeypatch.setattr("quotekit.workbook.edit_cells.edited", unchanged)
    found = run(shop, "take-over", proposals(shop), shop / BOOK)
    assert (found.code, found.codes) == (1, ["time-not-taken-over"])
    assert "Operations!C" in found.json["problems"][0]["place"]
    assert len(list(shop.glob("shop book*.xlsx"))) == 1


def test_a_cell_that_is_not_found(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a file whose cells have no addresses."""

    def refuse(*_: Any) -> bytes:
        raise CannotEdit("Operations", "C3", formula=False)

    monkeypatch.setattr("quotekit.workbook.edit_cells.edited", refuse)
    found = run(shop, "take-over", proposals(shop), shop / BOOK)
    assert (found.code, found.codes) == (1, ["time-not-taken-over"])
    assert "by hand" in found.json["problems"][0]["remedy"]


def a_time(sheet: str, code: str, column: str) -> TickedTime:
    """Ticked."""
    return TickedTime(sheet=sheet, code=code, column=column, now=D("0.5"), new=D("0.6"))


@pytest.mark.parametrize(
    ("one", "value", "cell"),
    [
        (a_time("Operations", "FIT", "Net hours"), D("0.5"), "C7"),
        (a_time("Operations", "FIT", "Second side hours"), None, "D7"),
        (a_time("Access", "COVER", "Hours to open"), D("0.2"), None),
        (a_time("Access", "COVER", "Hours to close"), D("0.3"), None),
        (a_time("Conditions", "RUSTY", "Allowance"), D("0.25"), None),
        (a_time("Operations", "GONE", "Net hours"), None, None),
        (a_time("Parts", "FIT", "Pack cost"), None, None),
    ],
    ids=lambda one: f"{one.sheet} {one.column}" if isinstance(one, TickedTime) else "",
)
def test_the_cells_that_may_be_taken_over(one: TickedTime, value: Decimal | None, cell: str | None) -> None:
    """What the book says there, and where it stands."""
    columns = {"Code": "A", "Net hours": "C", "Second side hours": "D"}
    source = Source(file="book.xlsx", sheet="Operations", row=7, columns=columns)
    book = build.a_book(
        operations=[build.an_operation("FIT", "0.5", source=source)],
        access=[build.a_step("COVER", "0.2", "0.3")],
        conditions=[build.a_condition("RUSTY", "0.25")],
    )
    assert value_of(one, book) == value
    if cell is not None:
        place = place_of(one, book)
        assert place is not None and place.cell == cell


def test_the_cells_are_columns_of_the_book() -> None:
    """Each named sheet and column is one that the reader knows."""
    known = {(sheet.name, column.header) for sheet in SHOP_BOOK for column in sheet.columns}
    assert FIELDS.keys() <= known
