"""The shop book that a command changes itself: where it is open here it is closed first, after a yes, and opened again.

A file that is open would be saved over what was changed in it. What was not saved is never thrown away for that: then
nothing is done but to say so. A shop book that another program has open is refused by the command.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Callable, List, Optional

from .being_typed import finish_typing
from .open_files import Closed, close_all, open_at
from .question import Answer, ask
from .windows import tell

if TYPE_CHECKING:
    from .desk import Desk

CLOSE = "Close it and go on"


class BookAside:
    """The shop book while a command changes it."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._closed: List[Closed] = []

    def opened(self, book: str) -> List[Any]:
        """Where it is open here; nowhere for a command that changes none."""
        return open_at(self.desk, [book]) if book else []

    def unsaved(self, book: str, title: str) -> bool:
        """Whether it is open here with changes that were not saved; that is told."""
        opened = self.opened(book)
        if opened:
            finish_typing(self.desk)
        if not any(document.isModified() for document in opened):
            return False
        message = f"{os.path.basename(book)} is open here with changes that are not saved; this changes the saved file."
        tell(self.desk, message, "Save it, or close it without saving, then press the button again.", title)
        return True

    def ask_to_close(self, book: str, title: str, closed: Callable[[List[Any]], None]) -> None:
        """Ask whether it may be closed for as long; with a yes the caller goes on."""
        words = (
            f"{os.path.basename(book)} is open here, and this changes the saved file. It is closed first, and opened "
            "again when that is done."
        )
        ask(self.desk, title, words, [Answer(CLOSE, lambda: closed(self.opened(book)))])

    def close(self, book: str, title: str) -> bool:
        """Close it, unless something was typed into it meanwhile, or the office can't; that is told."""
        if self.unsaved(book, title):
            return False
        try:
            self._closed = close_all(self.opened(book))
        except Exception:  # it is being printed, or a window of its own waits for an answer
            tell(
                self.desk,
                f"The office can't close {os.path.basename(book)} now.",
                "Close it yourself, then go on.",
                title,
            )
            return False
        return True

    def open_again(self) -> Optional[Any]:
        """Open what was closed where it stood; the document, where there was one."""
        closed, self._closed = self._closed, []
        found = None
        for one in closed:
            try:
                found = one.open_again(self.desk)
            except Exception:  # what was done is told all the same
                tell(self.desk, f"{os.path.basename(one.path)} could not be opened again.", "Open it yourself.")
        return found
