"""Fills in and presses what the extension's windows show, found by what a person reads; works without a screen."""

from __future__ import annotations

import time
from contextlib import suppress

from office import Office

LIST = 32
"""The role of a list, as the office numbers it."""


class Hands:
    """One window of the extension, by its title."""

    def __init__(self, office: Office, title: str, *, has: str = "", seconds: float = 60.0) -> None:
        self.office, self.title, self.has = office, title, has
        self.context = office.wait_for(self._found, seconds)
        self._parts: list[tuple[str, object]] = []
        """Names and contexts, asked for once: each question goes over the bridge."""

    def _found(self):
        toolkit = self.office.make("com.sun.star.awt.Toolkit")
        for number in range(toolkit.getTopWindowCount()):
            try:
                context = toolkit.getTopWindow(number).getAccessibleContext()
                named = context is not None and context.getAccessibleName() == self.title
                if named and (not self.has or any(one.getAccessibleName() == self.has for one in _children(context))):
                    return context
            except Exception:
                continue
        return None

    @property
    def is_open(self) -> bool:
        return self._found() is not None

    def type(self, label: str, text: str) -> None:
        """Type into a field."""
        self._of(label, "setText").setText(text)

    def text(self, label: str) -> str:
        """What stands in a field."""
        return self._of(label, "setText").getText()

    def said(self) -> str:
        """All that can be read in it."""
        return "\n".join(text for one in _all(self.context) for text in (one.getAccessibleName(), _text(one)) if text)

    def labels(self) -> list[str]:
        """Names of all its parts."""
        return [one.getAccessibleName() for one in _all(self.context)]

    def pick(self, label: str, begins: str) -> str:
        """Take the line of a list that begins so; the whole line."""
        for context in self._named(label):
            for number in range(context.getAccessibleChildCount()):
                child = context.getAccessibleChild(number).getAccessibleContext()
                if child.getAccessibleName().startswith(begins) and hasattr(context, "selectAccessibleChild"):
                    context.selectAccessibleChild(number)
                    return child.getAccessibleName()
        raise SystemExit(f"{label} has no line {begins}: {self.labels()}")

    def lines(self, label: str) -> list[str]:
        """The lines of a list."""
        found = []
        for context in self._named(label):
            if hasattr(context, "selectAccessibleChild"):
                children = [context.getAccessibleChild(n) for n in range(context.getAccessibleChildCount())]
                names = [child.getAccessibleContext().getAccessibleName() for child in children]
                found = max(found, names, key=len)
        return found

    def tick(self, label: str) -> None:
        self._of(label, "doAccessibleAction").doAccessibleAction(0)

    press = tick

    def press_twice(self, label: str) -> None:
        """As a hand does that is used to clicking twice; the second time there may be no button any more."""
        button = self._of(label, "doAccessibleAction")
        button.doAccessibleAction(0)
        with suppress(Exception):
            button.doAccessibleAction(0)

    def wait_closed(self, seconds: float = 60.0) -> None:
        self.office.wait_for(lambda: not self.is_open, seconds)

    def wait_closed_of(self, label: str, seconds: float = 60.0) -> None:
        """Until no window of this title has such a part any more; another of the same title may stay."""
        self.has = label
        self.office.wait_for(lambda: self._found() is None, seconds)

    def _of(self, label: str, can: str):
        """The part of this name that can do it; of a field of several lines its first line."""
        named = self._named(label)
        for context in [*named, *(line for one in named for line in _all(one))]:
            if hasattr(context, can):
                return context
        raise SystemExit(f"{self.title} has no {label} that can {can}: {self.labels()}")

    def _named(self, label: str):
        if not self._parts:
            self._parts = [(one.getAccessibleName().removesuffix(" *"), one) for one in _all(self.context)]
        return [one for name, one in self._parts if name == label]


def _all(context, deep: int = 0):
    """All parts within, but for the lines of lists."""
    if deep > 12 or context.getAccessibleRole() == LIST:
        return
    for child in _children(context):
        yield child
        yield from _all(child, deep + 1)


def _children(context):
    for number in range(min(context.getAccessibleChildCount(), 200)):
        with suppress(Exception):
            child = context.getAccessibleChild(number).getAccessibleContext()
            if child is not None:
                yield child


def _text(context) -> str:
    return context.getText() if hasattr(context, "setText") else ""


def settled(seconds: float = 0.3) -> None:
    """Let the office come to rest."""
    time.sleep(seconds)
