"""What a command said, to read, with a button for each file it wrote."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Callable, Sequence, Tuple

from .open_files import open_with_its_program
from .plain_words import in_columns, short_name
from .windows import Window, tell

if TYPE_CHECKING:
    from .desk import Desk

WIDTH, EDGE, PAGE, FOOT, GAP = 340, 8, 130, 15, 4
FILE_BUTTON, CLOSE = 159, 52
MOST_FILES = 8
IN_OFFICE = (".xlsx", ".xlsm", ".ods", ".csv")
OPENED = (*IN_OFFICE, ".pdf", ".html", ".txt", ".toml", ".md")
"""Kinds of files that a person looks into."""


def show_results(
    desk: Desk, title: str, said: str, files: Sequence[str], more: Sequence[Tuple[str, Callable[[], None]]] = ()
) -> Window:
    """A page with what was said; `more` are buttons of the caller, with what they do."""
    lines = sum(1 + len(line) // 84 for line in said.split("\n"))
    page = min(max(9 * lines + 10, 40), PAGE)
    listed = [path for path in files if path.lower().endswith(OPENED)][:MOST_FILES]
    rows = (len(listed) + 1) // 2
    window = Window(desk, title, WIDTH, EDGE + page + GAP + rows * (FOOT + GAP) + GAP + FOOT + EDGE)
    window._put(
        "Edit", "page", EDGE, EDGE, WIDTH - 2 * EDGE, page, MultiLine=True, ReadOnly=True, VScroll=lines > 13, Text=said
    )
    if in_columns(said):
        window.model.getByName("page").FontName = "Liberation Mono"
    top = EDGE + page + GAP
    for number, path in enumerate(listed):
        left = EDGE + (number % 2) * (FILE_BUTTON + GAP + 2)
        name = f"open{number + 1}"
        label = f"Open {short_name(os.path.basename(path))}"
        window.button(name, label, left, top + number // 2 * (FOOT + GAP), FILE_BUTTON, FOOT, _opens(desk, path))
        window.model.getByName(name).HelpText = path
    foot = top + rows * (FOOT + GAP) + GAP
    left = EDGE
    for number, (label, work) in enumerate(more):
        window.button(f"more{number + 1}", label, left, foot, 104, FOOT, work)
        left += 104 + GAP
    window.button("close", "Close", WIDTH - EDGE - CLOSE, foot, CLOSE, FOOT, window.close, default=True)
    window.show()
    window.focus("close")
    return window


def _opens(desk: Desk, path: str) -> Callable[[], None]:
    return lambda: open_file(desk, path)


def open_file(desk: Desk, path: str) -> None:
    """A workbook in the office, anything else in the program the person has for it."""
    if not os.path.isfile(path):
        tell(desk, f"{os.path.basename(path)} is not there any more.", "It was moved or removed since.")
    elif path.lower().endswith(IN_OFFICE):
        desk.open(path)
    else:
        try:
            open_with_its_program(desk, path)
        except Exception:
            tell(desk, f"No program for {os.path.basename(path)} was found.", f"It lies in {os.path.dirname(path)}.")
