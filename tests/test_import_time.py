"""What starting costs, held by what is loaded and not by a clock: a clock on a busy machine proves nothing."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SLOW = {"xlsxwriter", "openpyxl", "python_calamine", "pydantic", "babel", "numpy", "PIL", "rich"}


def loaded_after(statement: str) -> set[str]:
    """Top-level modules that a fresh interpreter holds after a statement."""
    script = f"import sys, json\n{statement}\nprint(json.dumps(sorted({{n.split('.')[0] for n in sys.modules}})))"
    run = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(json.loads(run.stdout.splitlines()[-1]))


@pytest.mark.parametrize(
    "statement",
    [
        "import quotekit.pricing",
        "from quotekit.pricing import build_quote",
        "import contextlib, io\nfrom quotekit.cli.main import main\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n    assert main(['--help']) == 0",
    ],
    ids=["import the engine", "import build_quote", "quotekit --help"],
)
def test_nothing_slow_is_loaded(statement: str) -> None:
    assert loaded_after(statement) & SLOW == set()


def test_a_command_loads_itself_alone() -> None:
    """Declaring ten commands to run one took as long as reading the shop book; a wrong name still lists them all."""
    script = (
        "import sys, contextlib, io\nfrom quotekit.cli.main import main\nsaid = io.StringIO()\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(said):\n"
        "    assert main(['quote', '--help']) == 0\n"
        "    alone = [name for name in ('demo', 'compare', 'explain') if 'quotekit.cli.' + name in sys.modules]\n"
        "    assert main(['quot']) == 2\n"
        "print(alone, *[name for name in ('new', 'read-choice', 'explain') if name in said.getvalue()])\n"
    )
    run = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["[]", "new", "read-choice", "explain"]
