"""Whether a person is typing in a cell just now: then nothing is done to the workbook.

The office has no question for it. A command that only makes sense within a text, raising letters, can be chosen just
then; its state is asked for and given at once. (Tried with 7.4: numbers, texts, formulas, F2 without a change.)
"""

from __future__ import annotations

from typing import Any

import uno
import unohelper
from com.sun.star.frame import XStatusListener

WITHIN_A_TEXT = ".uno:SuperScript"


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


class _Heard(unohelper.Base, XStatusListener):
    def __init__(self) -> None:
        self.can_be_chosen = False

    def statusChanged(self, event: Any) -> None:
        """Told once when it is asked."""
        self.can_be_chosen = bool(event.IsEnabled)

    def disposing(self, _: Any) -> None:
        """The window is gone."""
