"""Shows that something is going on: a line at the foot of the document's window, and a window with a button to stop it.

The window comes only where it takes longer than a moment, so that quick work does not flicker.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Callable, Optional

from com.sun.star.lang import DisposedException
from com.sun.star.uno import RuntimeException

from .timer import after
from .windows import Window

if TYPE_CHECKING:
    from .desk import Desk

MOMENT = 0.7
"""Seconds until the window comes."""


class Progress:
    """What is shown while the engine works; used in the main thread only."""

    def __init__(self, desk: Desk, label: str, document: Optional[Any], stop: Callable[[], None]) -> None:
        self.desk, self.label, self.stop = desk, label, stop
        self._ended, self._parts = False, 0
        self._window: Optional[Window] = None
        self._indicator: Any = None
        controller = getattr(document or desk.document, "CurrentController", None)
        if controller is not None:
            self._indicator = controller.Frame.createStatusIndicator()
            self._point(lambda line: line.start(label, 10))
        after(desk, MOMENT, self._come)

    def show(self, step: str) -> None:
        """The next step has begun."""
        if self._ended:
            return
        self.label, self._parts = step, min(self._parts + 2, 9)
        self._point(lambda line: line.setText(step))
        self._point(lambda line: line.setValue(self._parts))
        if self._window is not None:
            self._window.say("what", f"{step} ...")

    def end(self) -> None:
        """All is done or was stopped."""
        self._ended = True
        self._point(lambda line: line.end())
        self._indicator = None
        if self._window is not None:
            self._window.close()
            self._window = None

    def _point(self, how: Callable[[Any], None]) -> None:
        """Change the line at the foot, where the document is still open."""
        try:
            if self._indicator is not None:
                how(self._indicator)
        except (DisposedException, RuntimeException):
            self._indicator = None

    def _come(self) -> None:
        if self._ended or self._window is not None:
            return
        window = Window(self.desk, "quotekit is working", 170, 44)
        window.text("what", f"{self.label} ...", 6, 6, 158, 14)
        window.button("stop", "Stop", 114, 24, 50, 14, self.stop)
        window.show()
        self._window = window
