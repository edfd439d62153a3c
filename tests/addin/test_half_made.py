"""A window that a real LibreOffice makes half: it is made once more, and no empty one stays on the screen."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from quotekit.addin import office

HERE = Path(__file__).parent
WHOLE = ["quotekit", "The shaft is worn.\n\nPut in a new one.", "Close"]


@pytest.fixture(scope="module")
def found(uno_python: str, tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """The same window where the office fails never, once, twice."""
    folder = tmp_path_factory.mktemp("half made")
    shutil.copytree(Path(office.__file__).parent, folder / "package" / "quotekit_office")
    words = {"folder": str(folder), "package": str(folder / "package")}
    (folder / "words.json").write_text(json.dumps(words))
    command = [uno_python, str(HERE / "in_office" / "half_made.py"), str(folder / "words.json")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


def test_where_the_office_makes_it_well(found: list[dict[str, Any]]) -> None:
    assert found[0] == {"raised": "", "shown": [WHOLE], "left": 0, "held": 0}


def test_a_window_half_made_is_made_once_more(found: list[dict[str, Any]]) -> None:
    """One window, whole; its button closes it; it lets go of what listened to it."""
    assert found[1] == {"raised": "", "shown": [WHOLE], "left": 0, "held": 0}


def test_where_it_fails_again_nothing_is_left_on_the_screen(found: list[dict[str, Any]]) -> None:
    assert found[2] == {
        "raised": "unsatisfied query for interface of type com.sun.star.awt.XView!",
        "shown": [],
        "left": 0,
        "held": 0,
    }
