"""Stand-ins for LibreOffice: small shell scripts that sleep, fail, or make nothing."""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

import pytest

from quotekit.workbook import office


class StandIn:
    """A script in the place of LibreOffice, and what it leaves to be looked at."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.program, self.notes = folder / "stand-in soffice", folder / "notes"
        self.temp = folder / "temp"
        self.notes.mkdir()
        self.temp.mkdir()
        monkeypatch.setattr(tempfile, "tempdir", str(self.temp))
        monkeypatch.setattr(office, "_GRACE_SECONDS", 0.2)
        monkeypatch.setenv(office.PROGRAM_SETTING, str(self.program))

    def does(self, script: str) -> str:
        """Write the script; `$NOTES` in it is a folder of its own."""
        self.program.write_text(f"#!/bin/sh\nNOTES='{self.notes}'\n{script}\n", encoding="utf-8")
        self.program.chmod(0o755)
        return str(self.program)

    def noted(self, name: str) -> list[str]:
        """The lines the script wrote."""
        return (self.notes / name).read_text(encoding="utf-8").splitlines()

    def still_runs(self) -> list[str]:
        """Processes it noted that have not ended."""
        return [number for number in self.noted("processes") if is_running(number)]

    def left_behind(self) -> list[str]:
        """What is still in the temporary folder."""
        return sorted(path.name for path in self.temp.iterdir())


SLEEPS = 'sleep 600 & echo $$ $! | tr " " "\\n" > "$NOTES/processes"; wait'
SLEEPS_THROUGH = f"trap '' TERM\n{SLEEPS}"
"""A polite request to end is not heard, by its child neither."""


def is_running(number: str) -> bool:
    """True for a process that lives; one that ended and was not yet collected does not."""
    shown = subprocess.run(["ps", "-o", "stat=", "-p", number], capture_output=True, text=True, check=False)
    return shown.stdout.strip()[:1] not in ("", "Z")
