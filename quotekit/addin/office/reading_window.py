"""A window to read in: a line on top, a list to pick from and a page, buttons at the foot; its size is free.

It lies at the foot of the document's window, so that the cells it speaks of can be seen above it.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any, Callable, Optional, Sequence

import unohelper
from com.sun.star.awt import Size, XWindowListener
from com.sun.star.util import XCloseListener
from com.sun.star.util.MeasureUnit import APPFONT

from .windows import Window, open_windows

if TYPE_CHECKING:
    from .desk import Desk

WIDTH, HEIGHT = 330, 176
LEAST_WIDTH, LEAST_HEIGHT = 240, 120
EDGE, HEAD, FOOT, GAP = 6, 10, 14, 4
UPPER_SHARE = 0.58
"""Of the room between head and foot."""

WIDTH_SHARE, HEIGHT_SHARE = 0.55, 0.32
"""Of the window in front."""

PLACES = 3
"""What `setPosSize` is told where the place is meant, not the size."""


class Button:
    """A button or a box to tick at the foot, with its width."""

    def __init__(self, name: str, label: str, width: int, pressed: Callable[..., None], box: bool = False) -> None:
        self.name, self.label, self.width, self.pressed, self.box = name, label, width, pressed, box


class ReadingWindow(Window):
    """Head, list and page (which one first is said), foot; the last button stands at the right-hand end."""

    def __init__(
        self,
        desk: Desk,
        title: str,
        picked: Callable[[int], None],
        buttons: Sequence[Button],
        closed: Optional[Callable[[], None]] = None,
        text_first: bool = False,
    ) -> None:
        super().__init__(desk, title, WIDTH, HEIGHT)
        self._home: Any = desk.document
        self._over: Any = self._home
        self._leaves = _Leaves(self)
        if self._home is not None:
            self._home.addCloseListener(self._leaves)
        self.model.Sizeable = True
        self._buttons, self._closed, self._text_first = list(buttons), closed, text_first
        self.text("head", "", 0, 0, 10, 10)
        self.list("list", [], 0, 0, 10, 10, picked)
        self._put("Edit", "page", 0, 0, 10, 10, MultiLine=True, ReadOnly=True, VScroll=True, HideInactiveSelection=True)
        for one in self._buttons:
            if one.box:
                self.tick(one.name, one.label, 0, 0, one.width, FOOT)
                self.when_picked(one.name, one.pressed)
            else:
                self.button(one.name, one.label, 0, 0, one.width, FOOT, one.pressed)
        self._lay_out(WIDTH, HEIGHT)

    def read(self, text: str) -> None:
        """Other words on the page, from their beginning."""
        self.model.getByName("page").Text = text

    def set_tick(self, name: str, ticked: bool) -> None:
        """Tick a box, or take the tick away."""
        self.model.getByName(name).State = int(ticked)

    def show(self) -> None:
        """At the foot of the window in front, as wide as is good to read, never wider than that window."""
        parent = self._parent()
        if parent is not None and parent.getPosSize().Width > 0:
            self._made_for(parent)
        super().show()
        self._place(parent)

    def follow(self, document: Any) -> None:
        """Over the window of another document, which is in front by now, so that it can be read there.

        Where that document is closed it goes back to the one it is of.
        """
        if self not in open_windows or _same(document, self._over):
            return
        if not _same(self._over, self._home):
            self._over.removeCloseListener(self._leaves)
        self._over = document
        if not _same(document, self._home):
            document.addCloseListener(self._leaves)
        self._lay_over(document)

    def go_home(self) -> None:
        """Back over the document it is of."""
        self.follow(self._home)

    def _lay_over(self, document: Any) -> None:
        """The same window again, over another one: what stands in it is its model's."""
        before = self.dialog
        before.setVisible(False)
        self.dialog = self._new_dialog()
        parent = document.getCurrentController().getFrame().getContainerWindow()
        self._put_over(parent)
        self._listens_to_closing()
        self._place(parent)
        self.dialog.setVisible(True)
        before.dispose()

    def _parent(self) -> Optional[Any]:
        frame = self.desk.desktop.getCurrentFrame()
        return frame.getContainerWindow() if frame is not None else None

    def _place(self, parent: Optional[Any]) -> None:
        if parent is not None and parent.getPosSize().Width > 0:
            around, own = parent.getPosSize(), self.dialog.getPosSize()
            left, top = around.Width - own.Width - 30, around.Height - own.Height - 60
            self.dialog.setPosSize(max(0, left), max(0, top), 0, 0, PLACES)
        resized = _Resized(self)
        self._listeners.append(resized)
        self.dialog.addWindowListener(resized)

    def to_front(self) -> None:
        """Where it was left, before other windows."""
        self.dialog.setVisible(True)
        self.dialog.toFront()

    def close(self) -> None:
        """Take it off the screen, and tell whoever holds it."""
        was_open = self in open_windows
        super().close()
        for document in (self._home, self._over) if was_open else ():
            with suppress(Exception):  # a document may be gone
                document.removeCloseListener(self._leaves)
        if was_open and self._closed is not None:
            self._closed()

    def _made_for(self, parent: Any) -> None:
        """As large as is good for a window of this size; before it is shown, so that nothing is painted twice."""
        around = parent.getPosSize()
        own = parent.convertSizeToPixel(Size(WIDTH, HEIGHT), APPFONT)
        width = min(max(own.Width, int(around.Width * WIDTH_SHARE)), max(around.Width - 40, 200))
        height = min(max(own.Height, int(around.Height * HEIGHT_SHARE)), max(around.Height - 80, 150))
        room = parent.convertSizeToLogic(Size(width, height), APPFONT)
        self.model.Width, self.model.Height = room.Width, room.Height
        self._lay_out(max(room.Width, LEAST_WIDTH), max(room.Height, LEAST_HEIGHT))

    def _fit(self) -> None:
        """Lay it out for the size it has now."""
        own = self.dialog.getPosSize()
        room = self.dialog.convertSizeToLogic(Size(own.Width, own.Height), APPFONT)
        if room.Width > 0:
            self._lay_out(max(room.Width, LEAST_WIDTH), max(room.Height, LEAST_HEIGHT))

    def _lay_out(self, width: int, height: int) -> None:
        wide = width - 2 * EDGE
        top, foot = EDGE + HEAD + GAP, height - EDGE - FOOT
        room = foot - GAP - top
        upper = int((room - GAP) * UPPER_SHARE)
        above, beneath = ("page", "list") if self._text_first else ("list", "page")
        self._put_at("head", EDGE, EDGE, wide, HEAD)
        self._put_at(above, EDGE, top, wide, upper)
        self._put_at(beneath, EDGE, top + upper + GAP, wide, room - upper - GAP)
        left = EDGE
        for one in self._buttons[:-1]:
            self._put_at(one.name, left, foot, one.width, FOOT)
            left += one.width + GAP
        last = self._buttons[-1]
        self._put_at(last.name, width - EDGE - last.width, foot, last.width, FOOT)

    def _put_at(self, name: str, x: int, y: int, width: int, height: int) -> None:
        control = self.model.getByName(name)
        control.PositionX, control.PositionY, control.Width, control.Height = x, y, width, height


class _Resized(unohelper.Base, XWindowListener):
    def __init__(self, window: ReadingWindow) -> None:
        self.window = window

    def windowResized(self, _: Any) -> None:
        """The person pulled at its edge."""
        with suppress(Exception):  # it may be closing
            self.window._fit()

    def windowMoved(self, _: Any) -> None:
        """Nothing to do."""

    windowShown = windowHidden = disposing = windowMoved


class _Leaves(unohelper.Base, XCloseListener):
    """A document that the window is of, or lies over, is about to be closed: close too, or go back."""

    def __init__(self, window: ReadingWindow) -> None:
        self.window = window

    def queryClosing(self, *_: Any) -> None:
        """Asked before it is closed."""
        with suppress(Exception):
            self.window.go_home()

    def notifyClosing(self, event: Any) -> None:
        """It is being closed, and with the document that the window is of the window."""
        with suppress(Exception):
            if _same(event.Source, self.window._home):
                self.window.close()

    def disposing(self, _: Any) -> None:
        """It is gone."""


def _same(one: Any, other: Any) -> bool:
    try:
        return bool(one is not None and other is not None and one.RuntimeUID == other.RuntimeUID)
    except Exception:  # one of them is gone
        return False
