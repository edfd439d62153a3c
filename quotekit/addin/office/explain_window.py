"""The window that tells what a cell is: one of them, used again; a cell in its list is gone to when it is picked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, Dict, List, Optional, Sequence

from .jump import open_document, to_cell
from .reading_window import Button, ReadingWindow

if TYPE_CHECKING:
    from .desk import Desk

NO_PLACES = "No other cells"


class ExplainWindow:
    """What stands in it, and where its cells are."""

    _one: Optional[ExplainWindow] = None

    def __init__(self, desk: Desk, again: Callable[[], None]) -> None:
        self.desk = desk
        self._places: List[Dict[str, Any]] = []
        self._known: Dict[str, Any] = {}
        self._text = ""
        self._window = ReadingWindow(
            desk,
            "What this cell is",
            self._pick,
            [Button("again", "Explain the selected cell", 100, again), Button("close", "Close", 44, self._close)],
            self._closed,
            text_first=True,
        )
        self._window.show()

    @classmethod
    def of(cls, desk: Desk, again: Callable[[], None]) -> ExplainWindow:
        """The window that is open, or a new one."""
        if cls._one is None:
            cls._one = ExplainWindow(desk, again)
        return cls._one

    def show_told(self, title: str, text: str, places: Sequence[Dict[str, Any]], known: Dict[str, Any]) -> None:
        """Another cell is told; `known` are open documents by the name of their copy."""
        self._places, self._known, self._text = list(places), known, text
        self._window.say("head", title)
        self._window.read(text)
        self._window.lines("list", [one["words"] for one in self._places] or [NO_PLACES])
        self._window.to_front()

    def _pick(self, place: int) -> None:
        if not 0 <= place < len(self._places):
            return
        spot = self._places[place]
        document = self._document(spot)
        said = to_cell(document, spot["sheet"], spot["cell"]) if document is not None else "Its workbook is not open."
        self._window.read(f"{said}\n\n{self._text}" if said else self._text)
        if document is not None:
            self.desk.later(lambda: self._window.follow(document))

    def _document(self, spot: Dict[str, Any]) -> Optional[Any]:
        """The open document of a cell; opened where it is closed."""
        known = self._known.get(spot["file"])
        if known is not None and self.desk.has_open(known):
            return known
        found = open_document(self.desk, spot["path"])
        if found is None and spot["path"]:
            found = self.desk.open(spot["path"])
        return found

    def _close(self) -> None:
        self._window.close()

    def _closed(self) -> None:
        ExplainWindow._one = None
