"""Problems where they are, in a real office: the list, the notes on cells, and what is never in the owner's file."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from tests.cli.small_shop import Sheets, job, shop_book, write_book

HERE = Path(__file__).parent
OURS, OWN = "To mend, says quotekit:", "Ask Northside about this one."


def planted(many: int) -> Sheets:
    """A shop book with so many parts whose cost was typed as text."""
    sheets = shop_book()
    sheets["Parts"] += [
        [f"PART-{number}", f"Part {number}", 1, f"${number}", "Northside"] for number in range(1, many + 1)
    ]
    return sheets


@pytest.fixture(scope="module")
def ran(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    """All that was seen in the office, and the folder it worked in."""
    folder = tmp_path_factory.mktemp("problems")
    (folder / "job").mkdir()
    write_book(folder / "planted.xlsx", planted(50))
    write_book(folder / "many.xlsx", planted(2000))
    book = shop_book()
    book["Parts"][2][3], book["Parts"][3][3] = "$19", "$15"
    write_book(folder / "job" / "book.xlsx", book)
    write_book(folder / "job" / "job.xlsx", job())
    command = [sys.executable, "-m", "quotekit", "answer"]
    (folder / "quotekit.oxt").write_bytes(extension_bytes(version(), command))
    words = ["problems.py", str(folder / "quotekit.oxt"), str(folder)]
    told = subprocess.run(
        [uno_python, *words], cwd=HERE / "in_office", capture_output=True, text=True, timeout=900, check=False
    )
    assert told.returncode == 0, told.stderr[-3000:]
    return json.loads(told.stdout), folder


def part(ran: tuple[dict[str, Any], Path], name: str) -> dict[str, Any]:
    """What one part of the script saw."""
    seen: dict[str, Any] = ran[0][name]
    assert "fault" not in seen, seen["fault"]
    return seen


def said_in(path: Path) -> str:
    """All text of a saved workbook's notes, and of whatever else it holds."""
    with zipfile.ZipFile(path) as package:
        parts = [package.read(name).decode("utf-8", "replace") for name in package.namelist() if name.endswith(".xml")]
    return re.sub(r"<[^>]*>", "", "\n".join(parts))


def test_fifty_problems_are_listed_and_stand_on_their_cells(ran: tuple[dict[str, Any], Path]) -> None:
    """The cell that has a note of the owner's keeps it, and its problem is in the list only."""
    seen = part(ran, "planted")
    assert [line.split(":")[0] for line in seen["lines"]] == [f"Error   Parts!D{row}" for row in range(5, 55)]
    assert seen["head"].startswith("50 errors. Notes on 49 of 50 cells")
    assert (seen["notes"], seen["own"]) == (49, OWN)
    first, *_, last = seen["note"].split("\n")
    assert (first, last) == (OURS, "This note goes when it is mended.")


def test_notes_are_no_change_and_no_undo_step(ran: tuple[dict[str, Any], Path]) -> None:
    """Forty-nine notes later the workbook counts as unchanged; after one cell was typed in, one step can be undone."""
    seen = part(ran, "planted")
    assert (seen["modified"], seen["undo"]) == (False, [])
    assert (seen["then modified"], seen["then undo"]) == (True, ["Input"])


def test_a_line_of_the_list_leads_to_its_cell(ran: tuple[dict[str, Any], Path]) -> None:
    assert part(ran, "planted")["jumped"] == "$Parts.$D$7"


def test_what_is_mended_loses_its_note_and_leaves_the_list(ran: tuple[dict[str, Any], Path]) -> None:
    """Undone, it comes back; rows put in above move notes along, and the list follows."""
    seen = part(ran, "planted")
    assert seen["then head"].startswith("49 errors.")
    assert seen["after undo"] == 49
    assert seen["moved at once"] == ["", True]
    assert seen["after a row"] is True


def test_an_engine_that_was_killed_is_started_anew(ran: tuple[dict[str, Any], Path]) -> None:
    """Nobody is told of it: the next check simply finds another engine."""
    seen = part(ran, "planted")
    assert seen["killed"] == 1 and seen["mended without an engine"] < 120


def test_notes_go_when_mended_even_where_the_list_was_closed(ran: tuple[dict[str, Any], Path]) -> None:
    assert part(ran, "planted")["mended without the list"] < 120


@pytest.mark.parametrize("name", ["saved.xlsx", "saved.ods", "copied.ods"])
def test_no_note_of_ours_is_saved_and_none_of_the_owners_is_lost(ran: tuple[dict[str, Any], Path], name: str) -> None:
    """Save as, save and a copy, in both kinds of files; on the cells they are as before."""
    saved = part(ran, "planted")["saved"]
    assert saved == {"before": 48, "after": 48, "own": OWN, "failed": True, "modified": False}
    said = said_in(ran[1] / name)
    assert OURS not in said and "says quotekit" not in said
    assert said.count(OWN) == 1


def test_no_note_of_ours_is_printed(ran: tuple[dict[str, Any], Path]) -> None:
    part(ran, "planted")
    assert b"quotekit" not in (ran[1] / "printed.pdf").read_bytes()


def test_notes_are_kept_where_the_owner_says_so(ran: tuple[dict[str, Any], Path]) -> None:
    """Opened again they are known as ours, checked again nothing changes, and mended they go, from the file too."""
    seen = part(ran, "kept")
    assert seen["modified"] is True
    assert (seen["opened with"], seen["checked"]) == (49, [49, False])
    assert said_in(ran[1] / "kept.xlsx").count(OURS) == 48
    assert OURS not in said_in(ran[1] / "no longer kept.xlsx")


def test_a_protected_sheet(ran: tuple[dict[str, Any], Path]) -> None:
    """It takes no note and that is said; one that was protected afterwards is saved without them, still protected."""
    seen = part(ran, "protected")
    assert "none on protected Parts" in seen["head"]
    assert (seen["notes"], seen["lines"], seen["still protected"]) == (0, 50, True)
    assert OURS not in said_in(ran[1] / "protected.xlsx")


def test_a_workbook_that_is_read_only(ran: tuple[dict[str, Any], Path]) -> None:
    """Its list leads to the cells all the same."""
    seen = part(ran, "read_only")
    assert "the workbook is read-only" in seen["head"]
    assert (seen["notes"], seen["lines"], seen["jumped"], seen["modified"]) == (0, 50, "$Parts.$D$7", False)


def test_a_note_that_the_owner_wrote_beneath_is_the_owners(ran: tuple[dict[str, Any], Path]) -> None:
    """It stays when notes are switched off, and it is saved."""
    seen = part(ran, "odd")
    assert (seen["asked"], seen["asked still"]) == (True, True)
    assert said_in(ran[1] / "odd.xlsx").count("Asked on Monday.") == 1


def test_hidden_rows_and_merged_cells(ran: tuple[dict[str, Any], Path]) -> None:
    """A hidden cell is gone to all the same; of merged cells the one that shows has the note."""
    seen = part(ran, "odd")
    assert (seen["jumped"], seen["on hidden"]) == ("$Parts.$D$9", True)
    assert seen["merged"] == [True, False]


def test_two_thousand_problems(ran: tuple[dict[str, Any], Path]) -> None:
    """As many notes as anybody reads, and how many is said."""
    seen = part(ran, "many")
    assert seen["head"] == "2,000 errors. Notes on 200 of 2,000 cells."
    assert (seen["notes"], seen["undo"]) == (200, [])


def test_a_job_is_checked_with_its_closed_shop_book(ran: tuple[dict[str, Any], Path]) -> None:
    """What is wrong in the shop book is listed with its name; picking a line opens it at the cell, with its notes.

    The list goes along over the shop book, and back over the job where the shop book is closed.
    """
    seen = part(ran, "job")
    of_book = [line for line in seen["lines"] if line.startswith("Error   book.xlsx: Parts!")]
    assert [line.split(":")[1].strip() for line in of_book] == ["Parts!D3", "Parts!D4"]
    assert (seen["jumped"], seen["notes"]) == ("$Parts.$D$3", ["D3", "D4"])
    assert not [line for line in seen["then"] if line.startswith("Error")]
    assert seen["opened again"] is True


def test_a_cell_is_explained(ran: tuple[dict[str, Any], Path]) -> None:
    """Of the job and of its shop book, with the cells to go to from there."""
    seen = part(ran, "job")
    assert seen["explained"]["head"] == "Findings!C2: Measured"
    assert seen["price"]["head"] == "Parts!D2: Pack cost of BUSHING"
    assert seen["price"]["places"] == ["Operations!E2: Parts of BUSH Press in a bushing"]


def test_a_workbook_that_is_none_of_ours(ran: tuple[dict[str, Any], Path]) -> None:
    seen = part(ran, "unknown")
    assert "This workbook is no shop book and no job." in seen["check"]
    assert seen["explain"] == "Sheet1!B2"
