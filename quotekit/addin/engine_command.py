"""The command by which an office starts this very quotekit; it is tried before it is written down.

The office starts it in the person's home folder, with a bare environment: what only runs from the folder one stands in
would not be found there.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from quotekit.addin.office.environment import engine_environment
from quotekit.addin.refusals import CannotInstall, engine_not_started

SECONDS = 60.0

_VERB = "answer"
_RUN = "import sys; sys.path.insert(0, sys.argv.pop(1)); from quotekit.cli.main import main; sys.exit(main())"


def engine_command(version: str) -> list[str]:
    """What starts this quotekit. Raises CannotInstall where nothing does."""
    said = ""
    for command in possible_commands():
        said = greets(command, version)
        if not said:
            return command
    raise CannotInstall(engine_not_started(sys.executable, said))


def possible_commands() -> list[list[str]]:
    """Frozen into one program, from an archive, installed, or from its folder; -P keeps other files of home out."""
    if getattr(sys, "frozen", False):
        return [[sys.executable, _VERB]]
    place = Path(__file__).resolve().parents[2]
    if place.is_file():  # an archive that Python runs
        return [[sys.executable, str(place), _VERB]]
    return [[sys.executable, "-P", "-m", "quotekit", _VERB], [sys.executable, "-P", "-c", _RUN, str(place), _VERB]]


def greets(command: list[str], version: str) -> str:
    """Nothing where it answers as this version does, as the office would ask it; else what it said."""
    try:
        done = subprocess.run(
            command,
            input=b"",
            capture_output=True,
            timeout=SECONDS,
            env=engine_environment(os.environ),
            cwd=Path.home(),
            check=False,
        )
        hello = json.loads(done.stdout.partition(b"\n")[0])
    except subprocess.TimeoutExpired:
        return f"It did not answer within {SECONDS:g} seconds."
    except OSError as fault:
        return f"{command[0]}: {fault.strerror or fault}."
    except ValueError:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        return said[-1] if said else f"It ended with code {done.returncode}."
    other = hello.get("version") if isinstance(hello, dict) else None
    return "" if other == version else f"It is of version {other or '?'}, not {version or '?'}."
