"""What is held of each open workbook while it is open: its notes, and whether it has come to rest."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, Dict, List

import unohelper
from com.sun.star.document import XDocumentEventListener

from .cell_notes import CellNotes
from .copies import is_ours
from .resting import Resting

if TYPE_CHECKING:
    from .desk import Desk


class OpenWorkbook:
    """One open workbook, whoever looks at it."""

    def __init__(self, desk: Desk, document: Any) -> None:
        self.document = document
        self.notes = CellNotes(desk, document)
        self.resting = Resting(desk, document, lambda: self.notes.ours or is_ours(document))
        self.when_closed: List[Callable[[], None]] = []
        self._listener = _Closes(self)
        document.addDocumentEventListener(self._listener)


def workbook_of(desk: Desk, document: Any) -> OpenWorkbook:
    """What is held of an open document."""
    uid = document.RuntimeUID
    if uid not in _held:
        _held[uid] = OpenWorkbook(desk, document)
    return _held[uid]


def is_held(document: Any) -> bool:
    """Whether anything is held of it."""
    return document.RuntimeUID in _held


_held: Dict[str, OpenWorkbook] = {}


class _Closes(unohelper.Base, XDocumentEventListener):
    def __init__(self, workbook: OpenWorkbook) -> None:
        self.workbook, self.uid = workbook, workbook.document.RuntimeUID

    def documentEventOccured(self, event: Any) -> None:
        """The workbook is being closed: forget it."""
        if event.EventName == "OnUnload" and _held.pop(self.uid, None) is not None:
            for work in self.workbook.when_closed:
                work()
            self.workbook.notes.end()

    def disposing(self, _: Any) -> None:
        """It is closed."""
        _held.pop(self.uid, None)
