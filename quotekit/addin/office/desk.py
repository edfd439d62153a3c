"""The office as the menu's actions need it: the open documents, work in the main thread, windows to tell and to ask."""

from __future__ import annotations

import sys
import threading
import traceback
from contextlib import suppress
from typing import Any, Callable, List, Optional

import uno
import unohelper
from com.sun.star.awt import XCallback
from com.sun.star.beans import PropertyValue
from com.sun.star.lang import DisposedException

from .pipe import Line, Stopped
from .progress import Progress
from .shared_engine import engine
from .trouble import Trouble
from .windows import tell

ACTION_SECONDS = 120.0
"""How long an action may show no sign of life; the office stays usable meanwhile."""


def values(**named: Any) -> Any:
    """Properties as the office takes them."""
    return tuple(PropertyValue(Name=name, Value=value) for name, value in named.items())


class Desk:
    """One office with its documents."""

    def __init__(self, context: Any) -> None:
        self.context = context

    def make(self, service: str) -> Any:
        """A new object of the office."""
        return self.context.ServiceManager.createInstanceWithContext(service, self.context)

    @property
    def desktop(self) -> Any:
        """The office's list of windows."""
        return self.make("com.sun.star.frame.Desktop")

    @property
    def document(self) -> Optional[Any]:
        """The spreadsheet in front; None where another kind of window is."""
        found = self.desktop.getCurrentComponent()
        return found if is_spreadsheet(found) else None

    def documents(self) -> List[Any]:
        """All open spreadsheets."""
        listed = self.desktop.getComponents().createEnumeration()
        found = []
        while listed.hasMoreElements():
            one = listed.nextElement()
            if is_spreadsheet(one):
                found.append(one)
        return found

    def has_open(self, document: Any) -> bool:
        """Whether a document that was open is open still."""
        try:
            return any(one.RuntimeUID == document.RuntimeUID for one in self.documents())
        except Exception:  # it is gone
            return False

    def open(self, path: str, hidden: bool = False) -> Any:
        """A workbook opened, or brought to the front where it is open already."""
        address = uno.systemPathToFileUrl(path)
        return self.desktop.loadComponentFromURL(address, "_default", 0, values(Hidden=hidden))

    def later(self, work: Callable[[], None]) -> None:
        """Do this in the main thread, as soon as the office is idle; from any thread."""
        self.make("com.sun.star.awt.AsyncCallback").addCallback(_Call(self, work), None)

    def ask(
        self,
        words: Line,
        label: str,
        done: Callable[[Line], None],
        document: Optional[Any] = None,
        otherwise: Optional[Callable[[], None]] = None,
    ) -> None:
        """Ask the engine while the office stays usable; `done` gets the answer in the main thread.

        A window shows what is going on and a button that stops it. A fault of the engine is told, `done` is not called.
        `otherwise` is called then, and where it was stopped.
        """
        progress = Progress(self, label, document, stop=lambda: engine().stop())

        def ended(then: Callable[[], None]) -> Callable[[], None]:
            def work() -> None:
                with suppress(DisposedException):  # its window went with that of the document
                    progress.end()
                then()

            return work

        def work() -> None:
            try:
                answer = engine().ask(words, ACTION_SECONDS, lambda step: self.later(lambda: progress.show(step)))
            except Stopped:
                self.later(ended(otherwise or _nothing))
            except Exception as fault:
                self.later(ended(_raising(fault, otherwise or _nothing)))
            else:
                self.later(ended(lambda: done(answer)))

        threading.Thread(target=work, daemon=True).start()

    def ask_quietly(
        self, words: Line, done: Callable[[Line], None], failed: Optional[Callable[[], None]] = None
    ) -> None:
        """Ask without a word to the person; `failed` is called where the engine ended, was stopped or is missing."""

        def work() -> None:
            try:
                answer = engine().ask(words, ACTION_SECONDS)
            except Exception:
                if failed is not None:
                    self.later(failed)
            else:
                self.later(lambda: done(answer))

        threading.Thread(target=work, daemon=True).start()

    def fault(self) -> None:
        """Tell what went wrong; called where an exception is being handled.

        Trouble has its own words. A document that was closed meanwhile needs none. Anything else is a fault of ours.
        """
        fault = sys.exc_info()[1]
        if isinstance(fault, Trouble):
            tell(self, fault.message, fault.remedy)
        elif not isinstance(fault, DisposedException):
            last = traceback.format_exc().strip().splitlines()[-1]
            tell(self, f"This is a fault of the extension, not of your workbook ({last}).", "Nothing was changed.")


def is_spreadsheet(document: Any) -> bool:
    """Whether an open window holds a spreadsheet; one that is just being closed has no sheets any more."""
    supports = getattr(document, "supportsService", None)
    return bool(supports and supports("com.sun.star.sheet.SpreadsheetDocument") and document.Sheets is not None)


def _raising(fault: BaseException, otherwise: Callable[[], None]) -> Callable[[], None]:
    """Raises in the main thread what was raised in another, to be told there; what else is to be done comes first."""

    def work() -> None:
        otherwise()
        raise fault

    return work


def _nothing() -> None:
    """Nothing is to be done."""


class _Call(unohelper.Base, XCallback):
    def __init__(self, desk: Desk, work: Callable[[], None]) -> None:
        self.desk, self.work = desk, work

    def notify(self, _: Any) -> None:
        """Called by the office in its main thread."""
        try:
            self.work()
        except Exception:
            self.desk.fault()
