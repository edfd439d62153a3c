"""Whether somebody is just typing in a cell: then nothing may be calculated again, as that would end the typing.

The office does not say so directly. But while a cell is typed in, its Undo is that of the typing: it names no action of
the document, or can't be used although the document has something to undo (seen with versions of 7.4).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Iterable, List, Tuple

import uno
import unohelper
from com.sun.star.frame import XStatusListener

if TYPE_CHECKING:
    from .desk import Desk


def somebody_types(desk: Desk, documents: Iterable[Any]) -> bool:
    """Whether a cell of one of these documents is open for typing."""
    return any(_is_typed_in(desk, document) for document in documents)


def _is_typed_in(desk: Desk, document: Any) -> bool:
    controller = document.getCurrentController()
    frame = controller.getFrame() if controller is not None else None
    if frame is None:
        return False
    status = _Undo()
    address = uno.createUnoStruct("com.sun.star.util.URL")
    address.Complete = ".uno:Undo"
    _, address = desk.make("com.sun.star.util.URLTransformer").parseStrict(address)
    dispatch = frame.queryDispatch(address, "", 0)
    if dispatch is None:
        return False
    dispatch.addStatusListener(status, address)
    dispatch.removeStatusListener(status, address)
    return any(is_of_typing(*one, document.getUndoManager().isUndoPossible()) for one in status.said)


def is_of_typing(enabled: bool, state: Any, possible: bool) -> bool:
    """Whether this is the Undo of a cell that is typed in; `possible`: the document has something to undo.

    >>> is_of_typing(True, "Undo: Input", True), is_of_typing(False, None, False)
    (False, False)
    >>> is_of_typing(True, 6683, False), is_of_typing(False, None, True)
    (True, True)
    """
    return not isinstance(state, str) if enabled else possible


class _Undo(unohelper.Base, XStatusListener):
    def __init__(self) -> None:
        self.said: List[Tuple[bool, Any]] = []

    def statusChanged(self, event: Any) -> None:
        """How the Undo of the window stands."""
        self.said.append((event.IsEnabled, event.State))

    def disposing(self, _: Any) -> None:
        """The window is closed."""
