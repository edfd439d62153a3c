"""What `quotekit watch` shows: a line for each job that was priced, and below them one that says how things stand."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import say

if TYPE_CHECKING:
    from quotekit.cli.watching import Told, Watching


def print_told(told: Told) -> None:
    """A line for each job that was tried."""
    from quotekit.cli.report import count_text

    at = time.strftime("%H:%M:%S")
    nothing = "nothing written" if told.priced.problems else "issued, and left as it is"
    what = ", ".join(Path(name).name for name in told.priced.files) or nothing
    found = f" {count_text(told.priced.problems)}" if told.priced.problems else ""
    _clear()
    print(f"{at} {told.job}: {what}.{found}", flush=True)


def show_status(watching: Watching, said: str) -> str:
    """One line that is written over, where somebody looks at a screen; else only why nothing can be priced.

    That is said once, so long as it stays so: `said` is what was said before, and what is given is for the next time.
    """
    if sys.stderr.isatty():
        _show(status_text(watching))
        return said
    idle = "" if watching.restless else watching.why_idle()
    if idle and idle != said:
        say(idle)
    return said if watching.restless else idle


def show_step(label: str) -> None:
    """What is going on with a job just now, in the same line."""
    if sys.stderr.isatty():
        _show(f"{label} ...")


def _show(text: str) -> None:
    print(f"\r\x1b[K{_fitting(text)}", end="", file=sys.stderr, flush=True)


def status_text(watching: Watching) -> str:
    """What the status line says: how many jobs, how many with problems, and what is not read."""
    jobs, bad = len(watching.jobs), len(watching.with_problems)
    here = watching.folder.resolve().name
    due = f", still to price {watching.due}" if watching.due else ""
    left = f", saved as .ods {len(watching.not_read)}" if watching.not_read else ""
    idle = watching.why_idle()
    if idle and watching.restless:
        return f"Looking at {here} ..."
    return idle or f"Watching {here}: jobs {jobs}, with problems {bad}{left}{due}. Ctrl+C ends."


def _fitting(text: str) -> str:
    """No more than a line of the screen holds: one that runs over could not be written over."""
    most = os.get_terminal_size(sys.stderr.fileno()).columns - 1
    return text if len(text) <= most or most < 10 else f"{text[: most - 1]}…"


def _clear() -> None:
    if sys.stderr.isatty():
        print("\r\x1b[K", end="", file=sys.stderr, flush=True)
