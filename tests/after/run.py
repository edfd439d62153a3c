"""The real command line in this process: what it printed, how it ended, and what it left behind."""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import sqlite3
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from quotekit.cli.main import main

CODES = (0, 1, 2, 3)


@dataclass(frozen=True)
class Ran:
    """One command as it ended."""

    words: tuple[str, ...]
    code: int
    out: str
    err: str
    raised: str

    @property
    def json(self) -> dict[str, Any]:
        """The object it printed; empty where it printed none."""
        try:
            told = json.loads(self.out)
        except ValueError:
            return {}
        return told if isinstance(told, dict) else {}

    @property
    def codes(self) -> set[str]:
        """Codes of the errors it told."""
        return {each["code"] for each in self.json.get("problems", ()) if each["severity"] == "error"}

    @property
    def line(self) -> str:
        """The command as a person types it."""
        return "quotekit " + " ".join(f'"{word}"' if " " in word or not word else word for word in self.words)


@dataclass(frozen=True)
class Left:
    """What stands in a folder and in its ledger."""

    files: dict[str, str]
    entries: tuple[tuple[Any, ...], ...]


def run(folder: Path, *words: str) -> Ran:
    """Run a command in a folder, as a person would who stands there."""
    out, err, raised, code = io.StringIO(), io.StringIO(), "", -1
    before = Path.cwd()
    os.chdir(folder)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(list(words))
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else 2
    except Exception:
        raised = traceback.format_exc()
    finally:
        os.chdir(before)
    return Ran(words, code, out.getvalue(), err.getvalue(), raised)


def left_in(folder: Path, ledger: Path) -> Left:
    """Every file of a folder by its digest, hidden ones too, and every entry of its ledger."""
    files = {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(ledger.name)
    }
    return Left(files, _entries(ledger))


def _entries(ledger: Path) -> tuple[tuple[Any, ...], ...]:
    if not ledger.exists():
        return ()
    with contextlib.closing(sqlite3.connect(ledger)) as connection:
        try:
            columns = "seq, kind, job, version, number, body, hash"
            return tuple(connection.execute(f"select {columns} from entries order by seq"))
        except sqlite3.OperationalError:
            return ()
