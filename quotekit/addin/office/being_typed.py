"""Whether a person is typing in a cell just now: then nothing is done to the workbook by itself.

Where a person chooses something while typing, what is typed is put into the cell first, as when a workbook is saved:
it stands on the screen and belongs to what is checked or priced.

The office has no question for it. A command that only makes sense within a text, raising letters, can be chosen just
then; its state is asked for and given at once. (Tried with 7.4: numbers, texts, formulas, F2 without a change.)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import uno
import unohelper
from com.sun.star.frame import XStatusListener

if TYPE_CHECKING:
    from .desk import Desk

WITHIN_A_TEXT = ".uno:SuperScript"
NEXT_CELL = ".uno:JumpToNextCell"


def is_typing(document: Any) -> bool:
    """True while a cell of the document's window is being typed in."""
    controller = document.getCurrentController()
    if controller is None:
        return False
    url = uno.createUnoStruct("com.sun.star.util.URL")
    url.Complete, url.Main, url.Protocol, url.Path = WITHIN_A_TEXT, WITHIN_A_TEXT, ".uno:", WITHIN_A_TEXT[5:]
    dispatch = controller.getFrame().queryDispatch(url, "_self", 0)
    if dispatch is None:
        return False
    heard = _Heard()
    dispatch.addStatusListener(heard, url)
    dispatch.removeStatusListener(heard, url)
    return heard.can_be_chosen


def finish_typing(desk: Desk) -> None:
    """What is half typed in an open workbook is put into its cell; what is selected stays so.

    The office has no command for it: going to the next cell does it, and so does working out all cells.
    """
    for document in desk.documents():
        if not is_typing(document):
            continue
        controller, selection = document.getCurrentController(), document.getCurrentSelection()
        dispatcher = desk.make("com.sun.star.frame.DispatchHelper")
        dispatcher.executeDispatch(controller.getFrame(), NEXT_CELL, "", 0, ())
        if is_typing(document):
            document.calculateAll()
        controller.select(selection)


class _Heard(unohelper.Base, XStatusListener):
    def __init__(self) -> None:
        self.can_be_chosen = False

    def statusChanged(self, event: Any) -> None:
        """Told once when it is asked."""
        self.can_be_chosen = bool(event.IsEnabled)

    def disposing(self, _: Any) -> None:
        """The window is gone."""
