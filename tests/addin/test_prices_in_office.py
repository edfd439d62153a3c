"""New prices through the menu of a real office: from a supplier's list to the shop book itself, back, and all jobs.

The shop book is open in that office all the while: it is closed for a change after a yes alone, and opened again.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from quotekit.cli.main import main
from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Changed

HERE = Path(__file__).parent
BOOK, LIST, MAPPING = "shop book.xlsx", "NORTH 2026-11.csv", "NORTH price list.toml"
PROPOSALS = "shop book price proposals 2026-11-29.xlsx"
TAKE_OVER, UNDO = "Take over the prices you ticked", "Undo new prices"
ALL_JOBS = "All jobs of a folder at once"
DAY = "2026-11-30"
ON = {"Day it happened": DAY}


def steps() -> list[dict[str, Any]]:
    """An owner's evening with a new list."""
    return [
        {"open": BOOK},
        {"form": "price-list-map", "title": "How a price list is read", "press": "Guess", "over": True,
         "type": {"Price list": LIST, "Supplier": "NORTH"}},
        {"form": "prices-propose", "title": "What new prices would do", "press": "Propose",
         "type": {"Prices of the day": "2026-11-29"}},
        {"front": PROPOSALS},
        {"ticks": ["BELT-AUGER", "SCRAPER-BAR"]},
        {"form": "prices-apply", "title": TAKE_OVER, "press": "Take over", "type": ON, "save": True, "closes": True},
        {"front": BOOK},
        {"cells": {"Parts!Z90": "a note of mine"}},
        {"form": "prices-undo", "title": UNDO, "press": "Undo", "type": ON, "told": True},
        {"close": True},
        {"open": BOOK},
        {"form": "prices-undo", "title": UNDO, "press": "Undo", "type": ON, "closes": True},
        {"front": BOOK},
        {"form": "prices-undo", "title": UNDO, "press": "Undo", "type": ON, "closes": True, "refused": True},
        {"front": BOOK},
        {"form": "batch", "title": ALL_JOBS, "press": "Price them"},
        {"form": "batch", "title": ALL_JOBS, "press": "Price them", "over": True},
    ]  # fmt: skip


Ran = tuple[list[dict[str, Any]], Path, bytes]


@pytest.fixture(scope="module")
def ran(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> Ran:
    """What each window said, the shop's folder after it, and the shop book as it was before."""
    folder = tmp_path_factory.mktemp("prices")
    shop = folder / "shop"
    assert main(["new", str(shop), "--demo"]) == 0
    before = (shop / BOOK).read_bytes()
    engine = [sys.executable, "-P", "-m", "quotekit", "answer"]
    (folder / "quotekit.oxt").write_bytes(extension_bytes(version(), engine))
    words = ["forms_day.py", str(folder / "quotekit.oxt"), str(shop), str(folder / "flag.txt")]
    told = subprocess.run(
        [uno_python, *words],
        cwd=HERE / "in_office",
        input=json.dumps(steps()),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert told.returncode == 0, told.stderr[-5000:]
    return json.loads(told.stdout), shop, before


def of(ran: Ran, form: str, number: int = 0) -> dict[str, Any]:
    """One of the windows of an entry."""
    return [one for one in ran[0] if one["form"] == form][number]


def said(ran: Ran, form: str, number: int = 0) -> str:
    """What a window said."""
    return str(of(ran, form, number)["said"])


def test_the_mapping_is_told_and_opens_with_a_button(ran: Ran) -> None:
    """It is a small text file: guesses are read here, what is wrong is changed in it. An earlier one is asked about."""
    assert MAPPING in said(ran, "price-list-map over") and "Write over" in said(ran, "price-list-map over")
    assert "cost: “Your cost” - the header says" in said(ran, "price-list-map")
    assert of(ran, "price-list-map")["files"] == [f"Open {MAPPING}"] and (ran[1] / MAPPING).is_file()


def test_the_proposals_are_opened(ran: Ran) -> None:
    """There the owner ticks, and is told which entry comes next, not a command."""
    assert PROPOSALS in of(ran, "prices-propose")["opened"]
    assert said(ran, "prices-propose").count("“Take over the prices you ticked” of the menu") == 1


def test_the_shop_book_is_closed_after_a_yes_and_opened_again(ran: Ran) -> None:
    """The command would refuse an open one, and the office would save over what was changed."""
    for form, number in (("prices-apply", 0), ("prices-undo", 1), ("prices-undo", 2)):
        assert BOOK in of(ran, form, number)["opened"]
    assert "closed first, and opened again" in said(ran, "prices-apply closes")


def test_what_is_not_saved_in_it_is_never_thrown_away(ran: Ran) -> None:
    """Nothing is asked and nothing done: the words say what to do, and the form stays."""
    told = said(ran, "prices-undo")
    assert "changes that are not saved" in told and "Save it, or close it without saving" in told
    assert load_workbook(ran[1] / BOOK)["Parts"]["Z90"].value is None


def test_the_ticked_prices_and_the_way_back(ran: Ran) -> None:
    """Two parts were ticked, on the screen, not saved: old and new are told, recorded, and taken back to the byte."""
    taken, back = said(ran, "prices-apply"), said(ran, "prices-undo", 1)
    assert "(BELT-AUGER, Pack cost): 11.8 -> 12.9" in taken and "(SCRAPER-BAR, Pack cost): 19.5 -> 21.25" in taken
    assert "“Undo new prices” of the menu takes it back" in taken
    assert "(BELT-AUGER, Pack cost): 12.9 -> 11.8" in back and "byte for byte" in back
    assert (ran[1] / BOOK).read_bytes() == (ran[1] / "shop book before 2026-11-30.xlsx").read_bytes() == ran[2]
    with open_ledger(ran[1] / "shop book ledger.db", create=False) as ledger:
        changes = [entry.told(Changed) for entry in ledger.entries(kinds=("changed",))]
    assert {one.code for one in changes[0].file.cells} == {"BELT-AUGER", "SCRAPER-BAR"} and len(changes) == 2


def test_a_refusal_leaves_the_form(ran: Ran) -> None:
    """It hung on the window of the shop book that was closed meanwhile: it is there again, to name another change."""
    assert "Name one with “Number of the change”" in said(ran, "prices-undo", 2)


def test_all_jobs_of_the_folder(ran: Ran) -> None:
    """The summary is opened; what is no job was passed over."""
    assert "6 jobs: 6 priced, 0 with errors" in said(ran, "batch")
    assert "shop batch summary.xlsx" in of(ran, "batch")["opened"]
    assert len((ran[1] / "shop batch results.jsonl").read_text(encoding="utf-8").splitlines()) == 6


def test_all_jobs_again_while_the_summary_is_open(ran: Ran) -> None:
    """It is open here, not in another program: whether it may be closed is asked, and it is opened anew."""
    assert "shop batch summary.xlsx" in said(ran, "batch over")
    assert "6 jobs: 6 priced" in said(ran, "batch", 1) and "shop batch summary.xlsx" in of(ran, "batch", 1)["opened"]
