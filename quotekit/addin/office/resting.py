"""Tells when a workbook has come to rest: after a change nothing more was changed for a while, nor is being typed."""

from __future__ import annotations

import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Any, Callable, Dict, Optional

import unohelper
from com.sun.star.util import XModifyListener

from .being_typed import is_typing
from .timer import after

if TYPE_CHECKING:
    from .desk import Desk

QUIET = 1.0
"""Seconds without a change."""


class Resting:
    """One workbook, watched for whoever wants to know. `pause` may be made longer where what follows takes long."""

    def __init__(self, desk: Desk, document: Any, is_ours: Callable[[], bool]) -> None:
        self.desk, self.document, self._is_ours = desk, document, is_ours
        self.changes, self.pause = 0, QUIET
        self._told: Dict[str, Callable[[], None]] = {}
        self._timer: Optional[threading.Timer] = None
        self._listener: Optional[_Changed] = None

    def tell(self, who: str, work: Callable[[], None]) -> None:
        """Call this in the main thread whenever it has come to rest after a change."""
        self._told[who] = work
        if self._listener is None:
            self._listener = _Changed(self)
            self.document.addModifyListener(self._listener)

    def no_more(self, who: str) -> None:
        """Do not call it any more; without anybody to tell nothing is listened to."""
        self._told.pop(who, None)
        if not self._told and self._listener is not None:
            with suppress(Exception):  # the document may be gone
                self.document.removeModifyListener(self._listener)
            self._listener = None
            self._stop()

    def changed(self) -> None:
        """Something was changed: by a person, a macro, or by us."""
        if not self._is_ours():
            self.changes += 1
            self._wait()

    def _wait(self) -> None:
        self._stop()
        self._timer = after(self.desk, self.pause, self._look)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _look(self) -> None:
        if not self._told:
            return
        if is_typing(self.document):
            self._wait()
            return
        for work in list(self._told.values()):
            work()


class _Changed(unohelper.Base, XModifyListener):
    def __init__(self, resting: Resting) -> None:
        self.resting = resting

    def modified(self, _: Any) -> None:
        """Called by the office at each change, so it only takes note."""
        with suppress(Exception):
            self.resting.changed()

    def disposing(self, _: Any) -> None:
        """The workbook is closed."""
        self.resting._told.clear()
