"""The functions in cells of a real office: files of both kinds, errors, an open shop book, thousands of cells."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from quotekit.pricing.functions.known import FUNCTIONS
from quotekit.problems import has_errors
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.small_shop import shop_book, write_book

HERE = Path(__file__).parent
EXPECTED = {
    "price": 8.25,
    "price of a blank": "Err:502",
    "price of a text": "Err:502",
    "price below nothing": "Err:502",
    "price of nothing": "Err:502",
    "price at most the list": 8.0,
    "price without a list": 8.25,
    "of a book that is not there": "Err:502",
    "within another": 8.0,
    "tax": 7.0,
    "tax on a day": 7.0,
    "tax on no charge": "Err:502",
    "hours of cells": 0.7,
    "hours of a text": 1.0,
    "hours without a side": "Err:502",
    "remedy": 119.25,
    "remedy with tax": 125.66,
    "an error of its own": "#DIV/0!",
}
"""By hand: 22.00 / 4 at 50 %; 7 % of 100.00; 0.4 + 0.3 and 0.4 + 0.6 hours; a belt of 29.25 and an hour at 90.00; two
bushings of 8.25 in 1.2 hours at 90.00 with 7 % of 16.50."""


@pytest.fixture(scope="module")
def ran(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    """All that was seen in the office, and the folder it worked in."""
    folder = tmp_path_factory.mktemp("cells")
    write_book(folder / "shop book.xlsx", shop_book())
    noted = [sys.executable, str(HERE / "noted_engine.py")]
    for name, command in (
        ("noted", [*noted, str(folder / "notes")]),
        ("plain", [*noted, str(folder / "starts"), "starts"]),
        ("broken", [str(folder / "gone"), "answer"]),
    ):
        (folder / f"{name}.oxt").write_bytes(extension_bytes(version(), command))
    told = subprocess.run(
        [uno_python, "cells.py", str(folder)],
        cwd=HERE / "in_office",
        capture_output=True,
        text=True,
        timeout=540,
        check=False,
    )
    assert told.returncode == 0, told.stderr[-3000:]
    return json.loads(told.stdout), folder


def test_the_function_wizard_has_help_for_each_argument(ran: tuple[dict[str, Any], Path]) -> None:
    """The document that the office gives each call is not among them."""
    for function in FUNCTIONS:
        description, *arguments = ran[0]["help"][function.name]
        assert description == function.says
        assert [says for _, says in arguments[:-1]] == [one.says for one in function.arguments]
        assert [name.replace(" (needed)", "") for name, _ in arguments[:-1]] == [one.name for one in function.arguments]
        assert arguments[-1][0] == "book"


@pytest.mark.parametrize("kind", ["ods", "xlsx"])
@pytest.mark.parametrize("when", ["typed", "opened"])
def test_figures_and_errors(ran: tuple[dict[str, Any], Path], kind: str, when: str) -> None:
    """As they are typed, and as they are opened again, worked out anew."""
    assert ran[0]["cells"][kind][when] == EXPECTED


@pytest.mark.parametrize("kind", ["ods", "xlsx"])
def test_they_recalculate(ran: tuple[dict[str, Any], Path], kind: str) -> None:
    """A cost that is typed over has its price at once; opening a document does not make it count as changed."""
    assert ran[0]["cells"][kind]["after a change"] == 16.5
    assert ran[0]["cells"][kind]["modified"] is False


def test_a_band_changed_in_the_open_book_is_seen_before_it_is_saved(ran: tuple[dict[str, Any], Path]) -> None:
    """Another document follows the open shop book, and the file again where that is closed unsaved."""
    seen = ran[0]["live"]
    assert (seen["changed"], seen["closed"]) == (11.0, 8.25)
    assert seen["modified"] == seen["then modified"] == [False, True] and seen["at last modified"] is False


def test_after_a_change_of_the_book_cells_are_asked_together(ran: tuple[dict[str, Any], Path]) -> None:
    """A thousand cells of two functions: a few messages, each of which is answered while the office is free."""
    seen = ran[0]["together"]
    costs = [at % 900 + 1 for at in range(1000)]
    for cost, (price, tax) in zip(costs, seen["figures"], strict=True):
        assert price == float(2 * cost if cost <= 20 else max(Decimal(40), cost * Decimal("1.35")))
        assert tax == float((cost * Decimal("0.07")).quantize(Decimal("0.01"), ROUND_HALF_UP))
    assert seen["modified"] is False
    assert seen["together"] >= 4 and seen["one by one"] < 60, "1,800 different questions"


def test_in_the_shop_book_itself(ran: tuple[dict[str, Any], Path]) -> None:
    """In an own column and as a pack cost; the saved file holds their results and reads as if they were typed.

    The price of a remedy follows such a pack cost: 10.00 at 75 % is 17.50, at 75 % again 30.63, and an hour.
    """
    seen, folder = ran
    assert seen["own"] == {
        "typed": [8.25, 15.0], "changed": [11.0, 20.0], "what depends on a result": [17.5, 120.63], "modified": False
    }  # fmt: skip
    book, problems = read_shop_book(folder / "own" / "shop book.xlsx")
    assert book is not None and not has_errors(problems)
    assert (book.parts["BELT"].pack_cost, book.markup[0].markup) == (Decimal(20), Decimal(1))


def test_old_figures_are_worked_out_anew(ran: tuple[dict[str, Any], Path]) -> None:
    """An .xlsx shows what is stored in it when it is opened; a price of last season must not stay."""
    assert ran[0]["old"] == {"ods": [20.0, False], "xlsx": [20.0, False]}


def test_an_office_without_the_extension_loses_nothing(ran: tuple[dict[str, Any], Path]) -> None:
    """An .xlsx shows what is stored until it is worked out, an .ods the error of a name; saved there, both work again.

    16.50 rounded to 17, and 7 % of 100.00: as if the other office had never been.
    """
    assert ran[0]["without"] == {"ods": "#NAME?", "xlsx": 8.25}
    assert ran[0]["with again"] == {kind: [17.0, 7.0, False] for kind in ("ods", "xlsx")}


def test_an_ods_shop_book(ran: tuple[dict[str, Any], Path]) -> None:
    """Seen a moment after it was opened; a half-typed band is an error, and mended it is none."""
    assert ran[0]["ods book"] == {"figure": 8.25, "modified": False, "with an error in its bands": "Err:502"}


def test_a_shop_book_that_was_never_saved(ran: tuple[dict[str, Any], Path]) -> None:
    """It is its own shop book a moment later, and that of another document that was never saved."""
    assert ran[0]["new book"] == {"at once": "Err:502", "address": "", "then": 8.25, "in another": 15.0}


def test_a_circle_is_left_alone(ran: tuple[dict[str, Any], Path]) -> None:
    """A markup made from the price it makes grows a few times, not for ever; then all goes on as before."""
    assert ran[0]["circle"]["grew"] and 1 <= ran[0]["circle"]["times"] <= 6


def test_a_killed_engine_is_told_again_of_open_books(ran: tuple[dict[str, Any], Path]) -> None:
    """The next engine starts without knowing them; the file on the disk must not win."""
    assert (ran[0]["killed"]["then"], ran[0]["killed"]["modified"]) == (11.0, [False, True])


def test_one_engine_for_all(ran: tuple[dict[str, Any], Path]) -> None:
    """Another only after the first was killed; and no copy after another of a book that nobody touches."""
    notes = Counter((ran[1] / "notes").read_text(encoding="utf-8").split("\n"))
    assert notes["start"] == 2 and 5 < notes["open book"] < 60


def test_thousands_of_cells_share_one_engine(ran: tuple[dict[str, Any], Path]) -> None:
    """Each its own price, the same when all are worked out again, and one process started."""
    seen, folder = ran
    assert len(seen["many"]["figures"]) == 5000 and seen["many"]["same again"]
    expected = [float(Decimal(cost) * Decimal("1.5" if cost <= 20 else "1.35")) for cost in range(23, 5001)]
    assert seen["many"]["figures"][22:] == expected
    assert (folder / "starts").read_text(encoding="utf-8").split() == ["start"]


def test_without_an_engine(ran: tuple[dict[str, Any], Path]) -> None:
    """Each cell shows an error, another than what a wrong argument shows."""
    (shown,) = ran[0]["no engine"]["shown"]
    assert shown == "#VALUE!"
