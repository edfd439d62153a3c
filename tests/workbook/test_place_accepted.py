"""Each accepted price finds its cell in the shop book as it is now, or it is said why not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.proposed_prices import ProposedChange
from quotekit.workbook.place_accepted import PlacedPrices, moved_rows, place_accepted, told_value
from tests.cli.price_shop import DEARER, change, parts_with_everything
from tests.cli.small_shop import Sheets
from tests.workbook.test_find_row import sheets_of

D = Decimal
Since = Callable[[Sheets], object]


def placed(
    folder: Path, ticks: list[ProposedChange], since: Since = lambda sheets: None
) -> tuple[PlacedPrices, list[str]]:
    """The cells, and codes of what is told."""
    sheets = parts_with_everything()
    since(sheets)
    found, problems = place_accepted(sheets_of(folder, sheets), ticks)
    return found, [one.code for one in problems]


def cells(found: PlacedPrices) -> list[str]:
    """Where values go."""
    return [f"{one.sheet}!{one.cell}" for one in found.changes]


OFFER = change("pack cost", "E2", D("18.9"), D("18.5"), sheet="Offers", supplier="Southside")
NUMBER = change("supplier's number", "G3", "B-7", "B-8")


@pytest.mark.parametrize(
    ("ticks", "where", "already", "codes"),
    [
        ([*DEARER], ["Parts!D3"], 0, []),
        ([change("pack cost", "D3", D("19.5"), D("21.25"), part="belt", supplier="NORTHSIDE")], ["Parts!D3"], 0, []),
        ([OFFER], ["Offers!E2"], 0, []),
        ([NUMBER, *DEARER], ["Parts!G3", "Parts!D3"], 0, []),
        ([change("pack cost", "D3", D(18), D("19.5"))], [], 1, []),
        ([change("pack cost", "D3", D("19.5"), D("19.50"))], [], 0, []),
        ([change("pack cost", "D3", D(18), D(18))], [], 0, ["cell-changed-since"]),
        (
            [change("list price each", "D9", D(1), D(1), sheet="Offers", supplier="Southside"), OFFER],
            ["Offers!E2"],
            0,
            [],
        ),
        ([change("pack cost", "D3", D(18), D(17)), NUMBER], ["Parts!G3"], 0, ["cell-changed-since"]),
        ([change("replaced by", "H3", None, "SEAL")], ["Parts!H3"], 0, []),
        ([change("list price each", "", None, D(30))], ["Parts!F3"], 0, []),
        ([change("pack cost", "D3", D(1), D(2), sheet="Gone")], [], 0, ["row-gone"]),
    ],
)
def test_where_values_go(
    ticks: list[ProposedChange], where: list[str], already: int, codes: list[str], tmp_path: Path
) -> None:
    """By part and supplier, without case; what says it already, and what only has to hold, is left as it is."""
    found, told = placed(tmp_path, ticks)
    assert (cells(found), len(found.already), told) == (where, already, codes)


def test_a_code_that_replaces_compares_as_a_code(tmp_path: Path) -> None:
    """The book may spell it in small letters."""

    def since(sheets: Sheets) -> None:
        sheets["Parts"][2][7] = "seal"

    assert placed(tmp_path, [change("replaced by", "H3", "SEAL", "BUSHING")], since)[1] == []
    found, told = placed(tmp_path, [change("replaced by", "H3", None, "SEAL")], since)
    assert (len(found.already), told) == (1, [])


def test_a_cell_that_cannot_be_read(tmp_path: Path) -> None:
    """A word where a number is wanted is neither the old value nor a blank."""

    def since(sheets: Sheets) -> None:
        sheets["Parts"][2][5] = "dear"

    found, told = placed(tmp_path, [change("list price each", "F3", None, D(30))], since)
    assert (cells(found), told) == ([], ["cell-changed-since"])


def _above(sheets: Sheets) -> None:
    sheets["Parts"].insert(1, ["CAP", "Cap", 1, 2, "Northside"])


def test_rows_that_moved(tmp_path: Path) -> None:
    """They are counted once each; one without an address was nowhere before."""
    ticks = [*DEARER, NUMBER, change("lead days", "", None, D(3))]
    found, told = placed(tmp_path, ticks, _above)
    assert (cells(found), told) == (["Parts!D4", "Parts!G4", "Parts!I4"], [])
    assert [one.moved for one in found.changes] == [True, True, False]
    assert [one.cell for one in moved_rows(found.changes)] == ["D4"]
    assert placed(tmp_path, ticks)[0].changes[0].moved is False


def test_the_tick_of_a_cell_and_of_a_row(tmp_path: Path) -> None:
    found, _ = placed(tmp_path, [*DEARER])
    one = found.of_cell("parts", "D3")
    assert one is not None and one.change == DEARER[0] and found.of_cell("Parts", "D4") is None
    assert found.of_row("PARTS", "F3") == one and found.of_row("Parts", "F4") is None
    assert found.of_cell("Offers", "D3") is None


def test_days_as_they_are_typed(tmp_path: Path) -> None:
    """A day that stands as text gets a text; else a date."""

    def since(sheets: Sheets) -> None:
        sheets["Parts"][1][9] = "2026-01-05"

    tick = change("cost date", "J2", date(2026, 1, 5), date(2026, 12, 2), part="BUSHING")
    assert [one.value for one in placed(tmp_path, [tick], since)[0].changes] == ["2026-12-02"]
    assert [one.value for one in placed(tmp_path, [tick])[0].changes] == [date(2026, 12, 2)]


def test_columns_that_are_not_there(tmp_path: Path) -> None:
    """One word for a column, with the first dozen values."""

    def since(sheets: Sheets) -> None:
        sheets["Parts"][0][8] = "Own days"
        for number in range(20):
            sheets["Parts"].append([f"P{number}", "Part", 1, 2, "Northside"])

    ticks = [change("lead days", "", None, D(number), part=f"P{number}") for number in range(20)]
    sheets = parts_with_everything()
    since(sheets)
    found, problems = place_accepted(sheets_of(tmp_path, sheets), ticks)
    assert found.changes == () and [one.code for one in problems] == ["value-not-placed"]
    assert problems[0].message.endswith("10 for P10, 11 for P11 and 8 more")
    assert str(problems[0].place) == "shop book.xlsx:Parts"


@pytest.mark.parametrize(
    ("value", "said"),
    [(None, "nothing"), (D("1E+3"), "1000"), ("a", "a"), (date(2026, 1, 5), "2026-01-05"), (D("0.10"), "0.10")],
)
def test_values_in_words(value: object, said: str) -> None:
    assert told_value(value) == said  # type: ignore[arg-type]
