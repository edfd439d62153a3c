"""Files that are open in this office: closed so that they can be written, and opened anew where they stood."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Iterable, List

import uno

from .copies import path_of, same_path
from .shop_book_for import in_sight

if TYPE_CHECKING:
    from .desk import Desk

ALL = 15
"""Place and size are both meant."""


class Closed:
    """A document that was closed: where its window stood and what it showed."""

    def __init__(self, document: Any) -> None:
        self.path = path_of(document) or ""
        controller = document.CurrentController
        self._sheet, self._window, self._maximised = "", None, False
        if controller is None:
            return
        self._sheet = controller.getActiveSheet().Name
        window = controller.Frame.ContainerWindow
        self._window = window.getPosSize()
        self._maximised = bool(getattr(window, "IsMaximized", False))

    def open_again(self, desk: Desk) -> Any:
        """Open it where it stood, on the sheet it showed."""
        document = desk.open(self.path)
        controller = getattr(document, "CurrentController", None)
        if controller is None:
            return document
        window, was = controller.Frame.ContainerWindow, self._window
        if self._maximised:
            window.IsMaximized = True
        elif was is not None:
            window.setPosSize(was.X, was.Y, was.Width, was.Height, ALL)
        if self._sheet and document.Sheets.hasByName(self._sheet):
            controller.setActiveSheet(document.Sheets.getByName(self._sheet))
        return document


def open_at(desk: Desk, paths: Iterable[str]) -> List[Any]:
    """The open documents among these files."""
    wanted = {same_path(path) for path in paths}
    return [one for one in desk.documents() if in_sight(one) and same_path(path_of(one) or "") in wanted]


def close_all(documents: Iterable[Any]) -> List[Closed]:
    """Close them, with whatever was not saved."""
    closed = []
    for document in documents:
        before = Closed(document)
        document.setModified(False)
        document.close(True)
        closed.append(before)
    return closed


def open_with_its_program(desk: Desk, path: str) -> None:
    """Open a file that is no workbook with the program the person uses for its kind."""
    shell = desk.make("com.sun.star.system.SystemShellExecute")
    shell.execute(uno.systemPathToFileUrl(path), "", 1)
