"""Has the office make a window on the screen, once more where it fails half-way.

Seldom, on a busy computer, the office makes a window and then says that it can't draw it ("unsatisfied query for
interface"): an empty one without a title stays, with no button to close it, and what was to be told is not told.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any, Callable, Optional

from com.sun.star.accessibility.AccessibleRole import DIALOG
from com.sun.star.uno import RuntimeException

if TYPE_CHECKING:
    from .desk import Desk


def on_screen(desk: Desk, dialog: Any, parent: Optional[Any], anew: Callable[[], Any]) -> Any:
    """Make a dialog over the window `parent`; the dialog that was made, which is another where the first one failed.

    `anew` gives the same dialog once more. Raises what the office raises where that fails too; nothing is left on the
    screen then.
    """
    toolkit = desk.make("com.sun.star.awt.Toolkit")
    try:
        dialog.createPeer(toolkit, parent)
        return dialog
    except RuntimeException:
        _take_away(dialog, toolkit)
    again = anew()
    try:
        again.createPeer(toolkit, parent)
        return again
    except RuntimeException:
        _take_away(again, toolkit)
        raise


def _take_away(dialog: Any, toolkit: Any) -> None:
    """A dialog that was half made, and the empty window that may stand for it."""
    with suppress(RuntimeException):
        dialog.dispose()
    for number in reversed(range(toolkit.getTopWindowCount())):
        with suppress(RuntimeException):
            window = toolkit.getTopWindow(number)
            if window is not None and _is_empty(window.getAccessibleContext()):
                window.dispose()


def _is_empty(shown: Any) -> bool:
    """Whether nothing stands in a window of the kind that the extension's are, not even a title."""
    return bool(
        shown.getAccessibleRole() == DIALOG
        and not shown.getAccessibleName()
        and not any(_said(shown.getAccessibleChild(number)) for number in range(shown.getAccessibleChildCount()))
    )


def _said(child: Any) -> str:
    return str(child.getAccessibleContext().getAccessibleName())
