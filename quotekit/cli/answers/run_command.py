"""Request `run`: a command as it would be typed, carried out here for a form of the spreadsheet.

What it says is caught and given back, with the problems and their cells and the files it names. It works in the shop's
folder, reads nothing from a keyboard, and is one of those a form may run. The ledger is the one of the shop book that
is named beside it, where there is one and nothing else says which.
"""

from __future__ import annotations

import io
import os
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Refused, Words, told
from quotekit.problems import Place, error

if TYPE_CHECKING:
    from quotekit.problems import Problem

WITH_LEDGER = frozenset(
    (
        "issue", "accept", "decline", "revise", "pay", "work-order", "clock", "close",
        "order", "receive", "cancel-order", "shelf", "bill", "comeback", "review", "take-over", "jobs", "ledger",
        "prices", "batch",
    )
)  # fmt: skip
"""Commands of the day that read a ledger or record in it."""

WITHOUT_LEDGER = frozenset((("prices", "map"), ("prices", "read")))
"""What such a command can do that has nothing to do with it."""

RUNS = WITH_LEDGER | {"new", "rate", "compare", "life"}
"""All that may be run."""

SIGN_SECONDS = 30.0
"""How often a long command tells that it still runs."""

ONE_AT_A_TIME = threading.Lock()
"""Held where the working folder is another, or what is printed is caught."""


def answer(words: Words) -> dict[str, Any]:
    """`{"words": ["pay", "117", "60"], "folder": ..., "book": ... or null}` is answered by what the command said.

    `code` is its exit code, `said` all it printed in order, `problems` those among it, `files` the files it named.
    """
    command, folder = [str(word) for word in words["words"]], Path(words["folder"])
    _allowed(command, folder)
    from quotekit.cli.report import gathered_problems

    with ONE_AT_A_TIME, in_folder(folder), _signs_of_life(), _heard() as heard, gathered_problems() as problems:
        from quotekit.cli.main import main

        code = main([*command, *_which_ledger(command, words.get("book"))])
        files = [str(path) for path in _files(heard.printed, folder)]
    return {"code": code, "said": heard.said.rstrip(), "problems": told(problems), "files": files}


def known_ledger(book: str | None) -> Path | None:
    """The ledger of a shop book, else the only one beside it, where the environment names no other.

    A shop book that took times over has another name than its ledger: no second one is begun for it.
    """
    from quotekit.cli.which_ledger import ENDING, VARIABLE, ledger_address

    if not book or os.environ.get(VARIABLE, "").strip():
        return None
    path = Path(ledger_address(None, book=Path(book)))
    if path.is_file():
        return path
    beside = list(path.parent.glob(f"*{ENDING}"))
    return beside[0] if len(beside) == 1 else None


def folder_problem(folder: Path) -> Problem:
    """That the folder to work in is not there."""
    return error(Place(str(folder)), "missing-folder", "There is no such folder.", "Choose the folder of your shop.")


def _allowed(command: Sequence[str], folder: Path) -> None:
    if not command or command[0] not in RUNS:
        message = f"{command[0] if command else 'Nothing'} is no command that a spreadsheet may run."
        raise Refused([error(Place(""), "not-run-here", message, "Use the entries of the menu.")])
    if not folder.is_dir():
        raise Refused([folder_problem(folder)])


def _which_ledger(command: Sequence[str], book: str | None) -> list[str]:
    if command[0] not in WITH_LEDGER or tuple(command[:2]) in WITHOUT_LEDGER or "--ledger" in command:
        return []
    ledger = known_ledger(book)
    return ["--ledger", str(ledger)] if ledger is not None else []


@contextmanager
def _signs_of_life() -> Iterator[None]:
    """Tells every now and then that it still runs: a silent engine is stopped, and a long command may be recording."""
    from quotekit.cli.report import hears_steps

    hears = hears_steps()
    if hears is None:
        yield
        return
    ended = threading.Event()

    def tell() -> None:
        while not ended.wait(SIGN_SECONDS):
            hears("Still at it")

    teller = threading.Thread(target=tell, daemon=True)
    teller.start()
    try:
        yield
    finally:
        ended.set()
        teller.join()


@contextmanager
def in_folder(folder: Path) -> Iterator[None]:
    """Work in a folder, as if the command were typed there."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


class _Heard:
    """All that was said, in order, and apart from it what was printed as a result."""

    def __init__(self) -> None:
        self._all, self._printed = io.StringIO(), _Twice()
        self._printed.beside = self._all

    @property
    def said(self) -> str:
        return self._all.getvalue()

    @property
    def printed(self) -> str:
        return self._printed.getvalue()

    @contextmanager
    def listening(self) -> Iterator[None]:
        keyboard, sys.stdin = sys.stdin, io.TextIOWrapper(io.BytesIO())
        try:
            with redirect_stdout(self._printed), redirect_stderr(self._all):
                yield
        finally:
            sys.stdin = keyboard


class _Twice(io.StringIO):
    """Keeps what is written, and passes it on."""

    beside: io.StringIO

    def write(self, text: str) -> int:
        self.beside.write(text)
        return super().write(text)


@contextmanager
def _heard() -> Iterator[_Heard]:
    heard = _Heard()
    with heard.listening():
        yield heard


def _files(printed: str, folder: Path) -> Iterator[Path]:
    """Lines that are the name of a file that is there, each once."""
    lines = dict.fromkeys(line for line in printed.splitlines() if line.strip() == line and line)
    for line in lines:
        try:
            path = (folder / line).resolve()
            if path.is_file():
                yield path
        except (OSError, ValueError):
            continue
