"""A real LibreOffice whose engine is killed, missing, of another version or mute: told in words, never frozen."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.addin.office.pipe import CELL_START_SECONDS
from quotekit.cli.answers.serve import version
from tests.cli.small_shop import shop_book, write_book

HERE = Path(__file__).parent
LONGEST_PAUSE = 20.0
FAKE = f"{sys.executable} -S {HERE / 'fake_engine.py'}"

START = """#!/bin/sh
echo $$ >> "{folder}/numbers"
env > "{folder}/environment"
exec {command}
"""


def engines(folder: Path) -> dict[str, str]:
    """What the office starts in each case; empty where there is nothing."""
    fake = f"{FAKE} version {version()}"
    commands = {
        "well": f"{sys.executable} -P -m quotekit answer",
        "another program": "/bin/echo hello",
        "older": f"{FAKE} version 0.0.1",
        "newer": f"{FAKE} version 99.0",
        "dies": f"{fake} always die",
        "hangs": f"{fake} always hang",
        "slow": f"{fake} always slowly",
        "hangs at start": f"{fake} hangs",
    }
    return {"missing": ""} | {name: START.format(folder=folder, command=one) for name, one in commands.items()}


@pytest.fixture(scope="module")
def found(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """One session with all of it."""
    folder = tmp_path_factory.mktemp("faults")
    (folder / "temporary").mkdir()
    (folder / "shop").mkdir()
    book = write_book(folder / "shop" / "shop book.xlsx", shop_book())
    (folder / "other").mkdir()
    second = write_book(folder / "other" / "second book.xlsx", shop_book())
    before = book.read_bytes(), second.read_bytes()
    extension = folder / "quotekit.oxt"
    extension.write_bytes(extension_bytes(version(), [str(folder / "engine")]))
    words = {"folder": folder, "extension": extension, "book": book, "second": second, "engines": engines(folder),
             "temporary": folder / "temporary"}  # fmt: skip
    (folder / "words.json").write_text(json.dumps(words, default=str))
    command = [uno_python, str(HERE / "in_office" / "engine_faults.py"), str(folder / "words.json")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=400)
    assert done.returncode == 0, done.stderr
    assert (book.read_bytes(), second.read_bytes()) == before
    return json.loads(done.stdout.splitlines()[-1])


SAID = {
    "missing": "could not be started (No such file or directory). Is quotekit still installed?",
    "another program": "does not answer as quotekit does. Run `quotekit addin install` again",
    "older": f"The extension is of quotekit {version()}, the program is 0.0.1. Run",
    "newer": f"The extension is of quotekit {version()}, the program is 99.0. Run",
    "dies": "quotekit ended before it answered (a belt broke). Try again",
}


@pytest.mark.parametrize("what", SAID)
def test_a_fault_is_told_in_words(found: dict[str, Any], what: str) -> None:
    """In a window, with what to do; no traceback, no word of a fault of the extension."""
    said = " ".join(found["faults"][what].split())
    assert SAID[what] in said
    assert "Traceback" not in said and "fault of the extension" not in said


def test_it_is_started_again(found: dict[str, Any]) -> None:
    """Killed while idle nobody notices; after each fault it works again as soon as the program does."""
    faults = found["faults"]
    assert faults["well"] == faults["killed while idle"] == faults["well again"]
    assert "problem" in faults["well"].lower()
    assert faults["started again"] == 1
    assert faults["dead processes"] == []


OF_THE_OFFICE = ("PYTHON", "LD_", "URE_", "UNO_", "SAL_", "DYLD_", "OOO_", "VCL_", "STAR_", "GTK_", "QT_")


def test_the_engine_sees_nothing_of_the_office(found: dict[str, Any]) -> None:
    """The office was started with a PYTHONPATH and a library path of its own; its programs are not on the path."""
    seen = dict(line.partition("=")[::2] for line in found["faults"]["environment"].splitlines() if "=" in line)
    assert seen["QUOTEKIT_EXTENSION"] == version()
    assert {name for name in seen if name.startswith(OF_THE_OFFICE)} == {"PYTHONUTF8"}
    assert not [folder for folder in seen["PATH"].split(":") if "office" in folder.lower()]
    assert not [name for name, text in seen.items() if "vnd.sun.star" in text]


def test_the_office_stays_usable_while_the_engine_hangs(found: dict[str, Any]) -> None:
    """20 cells were typed in meanwhile; Stop ended the engine, and left no window and no copy."""
    hanging = found["hanging"]
    assert hanging["worked"] == 1
    assert hanging["slowest"] < 1
    assert hanging["windows after"] == [] and hanging["left"] == []


def test_cells_freeze_the_office_no_longer_than_the_limit(found: dict[str, Any]) -> None:
    """2,000 cells, worked out twice: an engine that hangs at start costs its limit once, one that is missing nothing.

    What is over the limit here is the office's own work with 4,000 errors, on a busy machine.
    """
    cells = found["cells"]
    seconds, shown, error = cells["hangs at start"]
    assert error and shown and seconds < CELL_START_SECONDS + 10
    seconds, shown, error = cells["missing"]
    assert error and seconds < 10
    seconds, shown, error = cells["well"]
    assert error == 0 and shown


def test_refused_cells_come_back_by_themselves(found: dict[str, Any]) -> None:
    """Seconds after the program is there again, without a word and without a change of the workbook."""
    back = found["cells"]["back"]
    assert back["errors"] == 0 and back["modified"] is False
    assert back["seconds"] < LONGEST_PAUSE + 25, "the longest pause, and a start on a busy machine"


def test_a_workbook_closed_meanwhile_is_no_fault(found: dict[str, Any]) -> None:
    assert found["closed"] == {"windows": [], "left": []}


def test_the_workbook_was_not_changed(found: dict[str, Any]) -> None:
    """Its bytes are compared where the office is started."""
    assert found["modified"] is False


def test_nothing_is_left_when_the_office_ends(found: dict[str, Any]) -> None:
    assert found["after the end"] == {"running": [], "left": []}


def test_an_office_that_is_closed_does_not_wait_for_the_engine(found: dict[str, Any]) -> None:
    """And the engine does not outlive it for long."""
    closed = found["closed while working"]
    assert closed["running"] == 1 and closed["after"] == [] and closed["office ended"] < 10


def test_an_office_that_is_killed_takes_the_engine_with_it(found: dict[str, Any]) -> None:
    """Its input ends; what it was reading it has a moment for. Its copy is swept by the next office."""
    killed = found["office killed"]
    assert killed["running"] == 1 and killed["after"] == [] and killed["seconds"] < 12
    assert found["next office"]["left"] == []
    assert found["at last"] == {"running": [], "left": []}
