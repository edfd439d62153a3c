"""Nobody's typing is ended by our recalculation: what was half typed would be a cell's content, the rest another's."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.cli.answers.serve import version
from tests.cli.small_shop import shop_book, write_book
from tests.conftest import in_ci

HERE = Path(__file__).parent
PROGRAMS = ("Xvfb", "openbox", "xdotool")


def test_cells_wait_until_the_typing_is_done(uno_python: str, tmp_path: Path) -> None:
    """A real keyboard: in a cell and in the line above the cells; the new figures come with the Return."""
    missing = [program for program in PROGRAMS if shutil.which(program) is None]
    if missing:
        (pytest.fail if in_ci() else pytest.skip)(f"{', '.join(missing)} is not installed")
    write_book(tmp_path / "shop book.xlsx", shop_book())
    (tmp_path / "plain.oxt").write_bytes(extension_bytes(version(), [sys.executable, "-m", "quotekit", "answer"]))
    told = subprocess.run(
        [uno_python, "typed_meanwhile.py", str(tmp_path)],
        cwd=HERE / "in_office",
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert told.returncode == 0, told.stderr[-3000:]
    assert json.loads(told.stdout) == {
        "in the cell": {"meanwhile": True, "typed": "half and half", "then": 11.0},
        "in the line": {"meanwhile": True, "typed": "half and half", "then": 16.5},
    }
