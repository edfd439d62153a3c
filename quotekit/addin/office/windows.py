"""Windows of the extension: never modal, so that the office stays usable and a cell can be looked at beside them.

Places and sizes are in the office's own units of a dialog (about a quarter of a letter's width).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, List, Optional, Sequence, Tuple

import unohelper
from com.sun.star.awt import XActionListener, XItemListener, XTextListener, XTopWindowListener

from .on_screen import on_screen

if TYPE_CHECKING:
    from .desk import Desk

open_windows: List["Window"] = []
"""Windows on the screen; held here, as the office itself keeps no hold of what was made in Python."""


class Window:
    """A window made of named texts, buttons, lists and fields."""

    def __init__(self, desk: Desk, title: str, width: int, height: int) -> None:
        self.desk = desk
        self._listeners: List[Any] = []
        self._heard: List[Tuple[str, str, Any]] = []
        self.model = desk.make("com.sun.star.awt.UnoControlDialogModel")
        self.model.Width, self.model.Height = width, height
        self.model.Title, self.model.Closeable, self.model.Moveable = title, True, True
        self.dialog = self._new_dialog()

    def text(self, name: str, text: str, x: int, y: int, width: int, height: int) -> None:
        """Words that nobody types in; long ones run on over several lines."""
        self._put("FixedText", name, x, y, width, height, Label=text, MultiLine=True)

    def button(
        self,
        name: str,
        label: str,
        x: int,
        y: int,
        width: int,
        height: int,
        pressed: Callable[[], None],
        default: bool = False,
    ) -> None:
        """A button, and what it does; the default one is pressed by Enter too."""
        self._put("Button", name, x, y, width, height, Label=label, DefaultButton=default)
        self._listen("addActionListener", name, _Pressed(self.desk, pressed))

    def relabel(self, name: str, label: str, pressed: Callable[[], None]) -> None:
        """A button that does something else from now on; on a window that was closed meanwhile nothing."""
        if not self.is_open:
            return
        self.model.getByName(name).Label = label
        listener = next(one for one in self._listeners if getattr(one, "name", "") == name)
        listener.work = pressed

    def tick(self, name: str, label: str, x: int, y: int, width: int, height: int, ticked: bool = False) -> None:
        """A box to tick."""
        self._put("CheckBox", name, x, y, width, height, Label=label, State=int(ticked))

    def ticked(self, name: str) -> bool:
        """Whether a box is ticked."""
        return bool(self.model.getByName(name).State)

    def pick(self, name: str, line: int) -> None:
        """Pick a line of a list."""
        self.model.getByName(name).SelectedItems = (line,)

    def picked(self, name: str) -> int:
        """The line picked in a list; -1 where none is."""
        lines = self.model.getByName(name).SelectedItems
        return int(lines[0]) if lines else -1

    def lines(self, name: str, lines: Sequence[str]) -> None:
        """Other lines in a list."""
        self.model.getByName(name).StringItemList = tuple(lines)

    def focus(self, name: str) -> None:
        """Where the keys go; after it is shown."""
        self.dialog.getControl(name).setFocus()

    def list(
        self, name: str, lines: Sequence[str], x: int, y: int, width: int, height: int, picked: Callable[[int], None]
    ) -> None:
        """A list, and what happens where a line is picked."""
        self._put("ListBox", name, x, y, width, height, StringItemList=tuple(lines))
        self.when_picked(name, picked)

    def when_picked(self, name: str, work: Callable[[int], None]) -> None:
        """What happens where a line is picked or a box is ticked."""
        self._listen("addItemListener", name, _Picked(self.desk, work))

    def when_typed(self, name: str, work: Callable[[], None]) -> None:
        """What happens where something is typed in a field."""
        self._listen("addTextListener", name, _Typed(self.desk, work))

    def field(self, name: str, text: str, x: int, y: int, width: int, height: int) -> None:
        """A field to type in."""
        self._put("Edit", name, x, y, width, height, Text=text)

    def say(self, name: str, text: str) -> None:
        """Other words in a text."""
        self.model.getByName(name).Label = text

    def typed(self, name: str) -> str:
        """What stands in a field."""
        return str(self.model.getByName(name).Text)

    def show(self) -> None:
        """Put it on the screen, over the middle of the window in front."""
        frame = self.desk.desktop.getCurrentFrame()
        parent = frame.getContainerWindow() if frame is not None else None
        self._put_over(parent)
        if parent is not None:
            around, own = parent.getPosSize(), self.dialog.getPosSize()
            self.dialog.setPosSize(
                max(0, (around.Width - own.Width) // 2), max(0, (around.Height - own.Height) // 3), 0, 0, 3
            )
        self._listens_to_closing()
        self.dialog.setVisible(True)
        open_windows.append(self)

    def _new_dialog(self) -> Any:
        """What the office draws of the model, with all that listens; not on the screen yet."""
        dialog = self.desk.make("com.sun.star.awt.UnoControlDialog")
        dialog.setModel(self.model)
        for how, name, listener in self._heard:
            getattr(dialog.getControl(name), how)(listener)
        return dialog

    def _put_over(self, parent: Optional[Any]) -> None:
        """Have the office make it over another window."""
        self.dialog = on_screen(self.desk, self.dialog, parent, self._new_dialog)

    def _listens_to_closing(self) -> None:
        """The cross of the window closes it."""
        closing = _Closing(self)
        self._listeners.append(closing)
        self.dialog.addTopWindowListener(closing)

    @property
    def is_open(self) -> bool:
        """Whether it is on the screen."""
        return self in open_windows

    def close(self) -> None:
        """Take it off the screen."""
        if self in open_windows:
            open_windows.remove(self)
            self.dialog.setVisible(False)
            self.dialog.dispose()
            self._listeners.clear()  # they hold the window as it holds them: it is let go of here and now, and not by a
            self._heard.clear()  # collector that may run in any thread, where the office's objects must not be freed

    def _put(self, kind: str, name: str, x: int, y: int, width: int, height: int, **more: Any) -> None:
        control = self.model.createInstance(f"com.sun.star.awt.UnoControl{kind}Model")
        control.PositionX, control.PositionY, control.Width, control.Height = x, y, width, height
        for key, value in more.items():
            setattr(control, key, value)
        self.model.insertByName(name, control)

    def _listen(self, how: str, name: str, listener: Any) -> None:
        self._listeners.append(listener)
        self._heard.append((how, name, listener))
        listener.name = name
        getattr(self.dialog.getControl(name), how)(listener)


def tell(desk: Desk, message: str, remedy: str = "", title: str = "quotekit") -> Window:
    """Say something to the person, with what to do."""
    words = f"{message}\n\n{remedy}" if remedy else message
    lines = sum(1 + len(line) // 58 for line in words.split("\n"))
    height = 12 + 9 * lines
    window = Window(desk, title, 240, height + 26)
    window.text("message", words, 8, 8, 224, height)
    window.button("close", "Close", 182, height + 7, 50, 14, window.close)
    window.show()
    return window


class _Listener(unohelper.Base):
    def __init__(self, desk: Desk, work: Callable[..., None]) -> None:
        self.desk, self.work = desk, work

    def disposing(self, _: Any) -> None:
        """The window is gone."""

    def done(self, *words: Any) -> None:
        """Do it; a fault is told, never lost in the office."""
        try:
            self.work(*words)
        except Exception:
            self.desk.fault()


class _Pressed(_Listener, XActionListener):
    def actionPerformed(self, _: Any) -> None:
        """A button was pressed."""
        self.done()


class _Picked(_Listener, XItemListener):
    def itemStateChanged(self, event: Any) -> None:
        """A line was picked."""
        self.done(event.Selected)


class _Typed(_Listener, XTextListener):
    def textChanged(self, _: Any) -> None:
        """Something was typed, or a line of a list was taken."""
        self.done()


class _Closing(unohelper.Base, XTopWindowListener):
    def __init__(self, window: Window) -> None:
        self.window = window

    def windowClosing(self, _: Any) -> None:
        """The cross of the window was pressed."""
        self.window.desk.later(self.window.close)

    def disposing(self, _: Any) -> None:
        """The window is gone."""

    def windowOpened(self, _: Any) -> None:
        """Nothing to do."""

    windowClosed = windowMinimized = windowNormalized = windowActivated = windowDeactivated = windowOpened
