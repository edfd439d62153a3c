"""Jobs in a real office without a window: what is priced there is what the command line prices, to the byte."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from quotekit.cli.main import main
from quotekit.workbook.grid import Grid, read_grid

HERE = Path(__file__).parent
JOB = "2611-01 snow thrower, worn bushings"
TOTALS = ["Put right", "$461.31", "Put right and prevent", "$667.89", "Made to last", "$984.85"]
Ran = tuple[dict[str, Any], Path]


@pytest.fixture(scope="module")
def ran(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> Ran:
    """All that was seen in the office, and the folder it worked in."""
    folder = tmp_path_factory.mktemp("jobs")
    assert main(["demo", str(folder / "demo")]) == 0
    with_a_formula(folder / "demo" / f"{JOB}.xlsx", folder / "with a formula.xlsx")
    flag = folder / "flag.txt"
    slow = [sys.executable, str(HERE / "slow_engine.py"), str(flag)]
    (folder / "quotekit.oxt").write_bytes(extension_bytes(version(), slow))
    words = ["jobs.py", str(folder / "quotekit.oxt"), str(folder), str(flag)]
    told = subprocess.run(
        [uno_python, *words], cwd=HERE / "in_office", capture_output=True, text=True, timeout=900, check=False
    )
    assert told.returncode == 0, told.stderr[-3000:]
    return json.loads(told.stdout), folder


def with_a_formula(job: Path, path: Path) -> None:
    """The first measurement as a sum, with no stored result, as a program writes it that works nothing out."""
    book = openpyxl.load_workbook(job)
    sheet = book["Findings"]
    column = next(cell.column for row in sheet.iter_rows(max_row=9) for cell in row if cell.value == "Measured")
    cell = sheet.cell(3, column)
    cell.value = f"=0.1+{Decimal(str(cell.value)) - Decimal('0.1')}"
    book.save(path)


def part(ran: Ran, name: str) -> dict[str, Any]:
    found = ran[0][name]
    assert "failed" not in found, found
    return dict(found)


def command_line(folder: Path, into: Path) -> None:
    """The quote of the files of a folder, by the command line."""
    words = ["quote", str(folder / "shop book.xlsx"), str(folder / f"{JOB}.xlsx"), "--out", str(into)]
    assert main(words) == 0


def cells(path: Path) -> dict[str, dict[str, object]]:
    """Every cell of a workbook by sheet and address."""
    grid, problems = read_grid(path)
    assert isinstance(grid, Grid), problems
    return {
        name: {cell.address: cell.value for row in sheet.rows.values() for cell in row.values()}
        for name, sheet in grid.sheets.items()
    }


def test_as_saved_is_the_command_lines_quote(ran: Ran) -> None:
    """Byte for byte, the costing with its links too: there is one way to price and to write."""
    found = part(ran, "as_saved")
    assert found["said"][:6] == TOTALS
    assert "Priced as saved, with shop book.xlsx." in found["said"]
    assert (found["quote is open"], found["job modified"], found["undo"]) == (True, False, False)
    there = ran[1] / "as saved"
    beside = ran[1] / "as saved, kept"
    beside.mkdir()
    for name in ("2611-01-1 quote.xlsx", "2611-01-1 costing.xlsx"):
        shutil.move(there / name, beside / name)
    command_line(there, there)
    for name in ("2611-01-1 quote.xlsx", "2611-01-1 costing.xlsx"):
        assert (there / name).read_bytes() == (beside / name).read_bytes()


@pytest.mark.parametrize("name", ["unsaved", "finding"])
def test_what_is_on_the_screen_is_priced(ran: Ran, name: str) -> None:
    """With a change that was not saved, the same as once it is: cell by cell; the file of the job stays as it was."""
    found = part(ran, name)
    saved = ran[1] / f"{name}, saved"
    command_line(saved, saved)
    for file in ("2611-01-1 quote.xlsx", "2611-01-1 costing.xlsx"):
        assert cells(ran[1] / name / file) == cells(saved / file)
    said = found["said"] if name == "unsaved" else found["priced"]
    assert said[:2] != TOTALS[:2]
    assert any("as on the screen" in words and f"Save {JOB}.xlsx" in words for words in said)
    if name == "unsaved":
        assert (found["still unsaved"], found["file untouched"]) == (True, True)


def test_an_earlier_quote_is_written_over_after_a_yes_alone(ran: Ran) -> None:
    found = part(ran, "earlier")
    assert found["kept"] and found["still open"]
    assert "changes that were not saved" not in found["asked"][0]
    assert "They would be lost." in found["asked of changes"][0]
    assert "Don't ask again" not in " ".join(found["asked of changes"])
    assert found["place"] == [40, 50, 600, 400]
    assert found["first cell"] == "Alder Creek Small Engine"


def test_a_quote_open_in_another_program_is_left_alone(ran: Ran) -> None:
    found = part(ran, "elsewhere")
    assert "is open in another program" in found["said"][0]
    assert not [name for name in found["files"] if name.startswith("2611-01-1")]


def test_fifty_problems_are_listed_with_their_cells(ran: Ran) -> None:
    found = part(ran, "many_problems")
    lines = [words for words in found["said"] if words.startswith("Error")]
    assert len(lines) == 50
    assert lines[0] == "Error   Findings!A11: NO-SUCH-10 is not a code of Findings"
    assert not [name for name in found["files"] if name.startswith("2611-01-1")]


def test_a_finding_is_one_step_of_ordinary_cells(ran: Ran) -> None:
    """A number as a number, a note that looks like a formula as text, one step to undo, the owner's own change."""
    found = part(ran, "finding")
    assert found["put"] == [["GB-GEARS", "", 0.6, "in", "", "", "", "", "=1+1", ""]]
    assert found["types"] == ["TEXT", "EMPTY", "VALUE", "TEXT", *["EMPTY"] * 4, "TEXT"]
    assert (found["modified"], found["undone"], found["redone"]) == (True, True, True)
    assert found["steps"] == ["Put a finding in the job"]
    assert "Drive belt cracked   [BELT-DRIVE-BAD]   advised" in found["filtered"]
    assert "Auger gears worn   [GB-GEARS]   needed" not in found["filtered"]


@pytest.mark.parametrize(
    "typed, said",
    [
        ("0.5", "Passes: the limit is 0.5 in. It is listed to watch and not priced."),
        ("0.6", "Fails: it is above 0.5 in."),
        ("600", "Fails: it is above 0.5 in. That is more than ten times off: check the number and its unit."),
        ("3/4", "3/4 is no plain number. Type 0.75 as a number."),
    ],
)
def test_what_a_measurement_says_stands_there_while_it_is_typed(ran: Ran, typed: str, said: str) -> None:
    assert said in part(ran, "finding")[f"measured {typed}"]


def test_a_row_of_the_shop_book_is_picked_already(ran: Ran) -> None:
    found = part(ran, "other_finding")
    assert "Nothing is measured: it counts as a fault, by eye." in found["picked"]
    assert [row[0] for row in found["put"]] == ["SHEAR-WRONG"]
    assert "Look next: Auger gears worn" in found["next"]
    assert any(words.startswith("It is in the job already: row ") for words in found["twice"])
    assert any("Backlash at the auger rim" in words for words in found["taken"])


def test_a_formula_that_only_the_screen_has_worked_out_is_priced(ran: Ran) -> None:
    """The file alone is refused by the command line; here the person sees the number, and it is that which counts."""
    found = part(ran, "formula")
    assert found["said"][:6] == TOTALS
    assert found["measured"].startswith("=")
    words = ["quote", str(ran[1] / "demo" / "shop book.xlsx"), str(ran[1] / "with a formula.xlsx")]
    assert main([*words, "--out", str(ran[1] / "formula, by hand")]) == 1


def test_a_returned_quote_tells_the_choice_and_what_differs(ran: Ran) -> None:
    found = part(ran, "returned")
    for key in ("unsaved", "saved"):
        assert "Chosen: Put right and prevent" in found[key]
        assert "Nothing else differs from what was sent." in found[key]
    assert any("not saved" in words for words in found["unsaved"])
    assert not any("not saved" in words for words in found["saved"])
    assert found["amounts"][0] == "Put right and prevent, in USD"
    assert found["amounts"][found["amounts"].index("Total") + 1] == "667.89"
    assert "1 cell differs from what was sent." in found["changed"]
    assert any(words.startswith("Quote!A1: ") for words in found["changed"])


def test_a_job_that_can_only_be_read_is_priced_and_not_changed(ran: Ran) -> None:
    found = part(ran, "read_only")
    assert found["said"][:6] == TOTALS
    assert "open to be read only" in found["finding"][0]


def test_a_costing_that_may_be_out_of_date_is_told(ran: Ran) -> None:
    found = part(ran, "costing")
    assert found["none"][0] == "There is no costing of job 2611-01, version 1 beside it."
    assert f"older than {JOB}.xlsx and the unsaved changes" in found["older"][0]


def test_files_of_the_office_are_priced_and_their_macros_never_run(ran: Ran) -> None:
    """Job and shop book as .ods: the customer's quote is the same to the byte; the macro runs where macros may."""
    found = part(ran, "ods")
    assert found["said"][:6] == TOTALS
    assert (found["ran"], found["would run"]) == (False, True)
    assert found["left open"] == [f"{JOB}.ods", "2611-01-1 quote.xlsx"]
    into = ran[1] / "ods, by hand"
    command_line(ran[1] / "demo", into)
    written = ran[1] / "ods" / "2611-01-1 quote.xlsx"
    assert written.read_bytes() == (into / "2611-01-1 quote.xlsx").read_bytes()


def test_an_old_kind_is_priced_while_it_is_open(ran: Ran) -> None:
    assert part(ran, "xls")["said"][:6] == TOTALS


def test_a_workbook_with_macros_of_other_programs_is_priced_and_a_protected_sheet_said(ran: Ran) -> None:
    found = part(ran, "xlsm")
    assert found["said"][:6] == TOTALS
    assert not found["ran"]
    assert "The sheet Findings can't be changed: it is protected." in found["protected"][0]
    assert found["unchanged"]


def test_a_stop_in_the_middle_leaves_nothing_half_written(ran: Ran) -> None:
    """What was ready stands hidden, and the next pricing clears it away."""
    found = part(ran, "stopped")
    assert found["while"] == ["Writing the files ...", "Stop"]
    assert [name for name in found["files"] if not name.startswith(".quotekit-")] == [
        "2611-01 bushing left.jpg", f"{JOB}.xlsx", "shop book.xlsx"
    ]  # fmt: skip
    assert found["priced"][:6] == TOTALS
    assert not [name for name in found["files after"] if name.startswith(".")]


def test_what_can_not_be_priced_says_what_to_do(ran: Ran) -> None:
    assert "Save it (where its photos are, if it has some)" in part(ran, "never_saved")["said"][0]
    assert "Open it and do this again, or choose it here." in part(ran, "no_book")["said"][0]


def test_which_shop_book_is_asked_once_a_folder(ran: Ran) -> None:
    found = part(ran, "two_books")
    assert sum(words.startswith(("another book.xlsx", "shop book.xlsx")) for words in found["asked"]) == 2
    assert "Priced as saved, with another book.xlsx." in found["said"]
    assert "This version was priced before." in found["not asked again"][0]
