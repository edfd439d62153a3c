"""By a real mouse and keyboard on a virtual screen: the menu is clicked, cells are typed in, forms are filled in.

The pictures are kept where QUOTEKIT_SCREENS names a folder, to be looked at.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.addin.engine_command import engine_command
from quotekit.cli.answers.functions import figure_of
from quotekit.cli.answers.serve import version
from quotekit.cli.answers.shop_books import ShopBooks
from quotekit.cli.main import main
from tests.conftest import in_ci

SCREENS = Path(__file__).with_name("screens")
PROGRAMS = ("Xvfb", "openbox", "xdotool", "import")


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    for program in PROGRAMS:
        if shutil.which(program) is None:
            if in_ci():
                pytest.fail(f"{program} is missing; with CI set this test must run")
            pytest.skip(f"{program} is not installed")
    kept = os.environ.get("QUOTEKIT_SCREENS")
    return Path(kept) if kept else tmp_path_factory.mktemp("pictures")


@pytest.fixture(scope="module")
def work(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The worked example, as `quotekit demo` leaves it."""
    folder = tmp_path_factory.mktemp("work") / "shop"
    assert main(["demo", str(folder)]) == 0
    return folder


def seen(script: str, python: str, pictures: Path, work: Path, tmp_path: Path) -> dict[str, Any]:
    extension = tmp_path / "quotekit.oxt"
    extension.write_bytes(extension_bytes(version(), engine_command(version())))
    done = subprocess.run(
        [python, str(SCREENS / script), str(pictures), str(extension), str(work)],
        capture_output=True, text=True, timeout=600, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    told: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return told


def figure(work: Path, name: str, *arguments: object) -> float:
    """What the engine says of a function for a document beside the shop book."""
    words = {"name": name, "arguments": list(arguments), "document": str(work / "sums.ods")}
    return float(str(figure_of(words, ShopBooks(), date.today())))


def test_typed_in_cells(uno_python: str, pictures: Path, work: Path, tmp_path: Path) -> None:
    """A wrong measurement and four formulas, by the keyboard; the menu by the mouse.

    The menu is chosen while the measurement is still being typed: what stands on the screen is what is checked. While
    the right one is being typed nothing happens; after Return its line and its note are gone.
    """
    told = seen("check.py", uno_python, pictures, work, tmp_path)
    assert (told["typed"], told["selected"]) == ("About 0.78", "$Findings.$D$3")
    assert "Type a plain number." in told["note"]
    assert [line for line in told["lines"] if line.startswith("Error   Findings!D3: Measured is wanted")]
    assert told["while typing"] == ["About 0.78", True] and told["mended"] == 0.782
    assert told["B2"] == figure(work, "SELLING_PRICE", 5.5, 8.0)
    assert told["B3"] == figure(work, "SELLING_PRICE", told["B2"] * 4)
    assert told["B4"] == figure(work, "TAX_ON", 100.0, "parts")
    assert (told["B5"], told["typed over"]) == ("Err:502", figure(work, "SELLING_PRICE", 4.0))
    assert told["why"].endswith("It gives an error: The cost is negative. Check the number.")
    assert len(list(pictures.glob("typing *.png"))) == 6


def test_a_day_after_the_quote(uno_python: str, pictures: Path, work: Path, tmp_path: Path) -> None:
    """Issued, agreed by telephone, ordered, come in, work order, money: each by the menu and a form."""
    shop = tmp_path / "priced by nobody yet"
    shutil.copytree(work, shop, ignore=shutil.ignore_patterns("* quote.*", "* costing.*"))
    told = seen("day.py", uno_python, pictures, shop, tmp_path)
    assert told["day 6 agreed"][1] == "Total 667.89 USD; deposit 52.93; paid 0.00; due 667.89."
    assert told["day 7 order, done"][1] == "North County Parts: goods 54.80, freight 11.95, together 66.75"
    assert told["day 10 money, done"][1] == "Paid so far 667.89; due 0.00."
    assert told["day 11 where each job stands"][0].endswith("version 1 is agreed, in work")
    assert len(list(pictures.glob("day *.png"))) >= 14
