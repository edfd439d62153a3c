"""The copy is read again before it is given out: what does not say what was ticked is refused."""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.taking_over import FIELDS, place_of, value_of
from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error
from quotekit.workbook.columns import SHOP_BOOK
from quotekit.workbook.in_place.edit_workbook import Edited
from quotekit.workbook.read_proposals import TickedTime
from tests import build
from tests.cli.season_shop import BOOK, reviewed_shop, run, ticked

D = Decimal


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A reviewed shop with a ticked time."""
    folder = reviewed_shop(tmp_path)
    ticked(folder, "BELTING")
    return folder


def proposals(shop: Path) -> Path:
    """The ticked file."""
    return next(shop.glob("proposed times *.xlsx"))


EDIT = "quotekit.workbook.in_place.edit_workbook.edit_workbook"


def test_a_copy_that_does_not_say_it(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the cell on the sheet is not the one that is read."""

    def unchanged(file: str, data: bytes, *_: Any) -> tuple[Edited, list[Problem]]:
        return Edited(data=data), []

    monkeypatch.setattr(EDIT, unchanged)
    found = run(shop, "take-over", proposals(shop), shop / BOOK)
    assert (found.code, found.codes) == (1, ["time-not-taken-over"])
    assert "Operations!C" in found.json["problems"][0]["place"]
    assert len(list(shop.glob("shop book*.xlsx"))) == 1


def test_a_cell_that_is_not_changed(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As one that is merged into another."""

    def refuse(*_: Any) -> tuple[None, list[Problem]]:
        return None, [error(Place("shop book.xlsx", "Operations", "C3"), "cell-merged", "it is merged", "Split it.")]

    monkeypatch.setattr(EDIT, refuse)
    found = run(shop, "take-over", proposals(shop), shop / BOOK)
    assert (found.code, found.codes) == (1, ["time-not-taken-over"])
    assert "by hand" in found.json["problems"][0]["remedy"]


def test_a_workbook_that_is_not_changed(shop: Path) -> None:
    """One that is signed: said of the whole file, and nothing is written."""
    with zipfile.ZipFile(shop / BOOK, "a") as package:
        package.writestr("_xmlsignatures/sig1.xml", "<s/>")
    found = run(shop, "take-over", proposals(shop), shop / BOOK)
    assert (found.code, found.codes) == (1, ["workbook-signed"])
    assert len(list(shop.glob("shop book*.xlsx"))) == 1


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
