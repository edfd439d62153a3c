"""Which files of a folder have come to rest, from one look at the folder after another; it opens and waits for nothing.

Spreadsheet programs save in several ways: they write a file of another name and rename it onto the old one (LibreOffice
`lu1234.tmp`, Excel eight hexadecimal letters without an ending), delete the old one first, or write into it. So what
happened is never followed step by step. A file counts as saved when it was there, whole in size and time, for a while;
names that programs use in passing do not count at all.

    look 0.0 s   job.xlsx 9 kB                 not yet at rest
    look 0.2 s   job.xlsx 9 kB, ~$job.xlsx     the same for 0.2 s
    look 0.5 s   job.xlsx 9 kB, ~$job.xlsx     at rest: told once
    look 3.0 s   (gone)                        Excel deletes before it renames
    look 3.1 s   job.xlsx 10 kB                another file: told again at 3.5 s
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

QUIET = 0.4
"""Seconds without a change: common practice of the programs that watch folders; a save takes less between its steps."""

KINDS = (".xlsx", ".xlsm")
_PASSING = re.compile(r"~\$.*|\.~lock\..*#|\..*|.*\.tmp|[0-9a-f]{8}", re.IGNORECASE)


class Look(NamedTuple):
    """How a file looks from outside; another file of the same name looks otherwise."""

    size: int
    changed: int
    """Nanoseconds."""
    place: int
    """The number of the file on its disk."""
    touched: int = 0
    """When anything of it changed, in nanoseconds: a program may set the other time back to what it was."""


def is_workbook_name(name: str) -> bool:
    """Whether a name is that of a workbook, and none that a program uses in passing.

    >>> [is_workbook_name(name) for name in ("job.xlsx", "~$job.xlsx", ".~lock.job.xlsx#", "lu5x.tmp", "1A2B3C4D")]
    [True, False, False, False, False]
    """
    return name.lower().endswith(KINDS) and not is_passing(name)


def is_passing(name: str) -> bool:
    """Whether a program uses such a name in passing."""
    return _PASSING.fullmatch(name) is not None


class SettledFiles:
    """What each look at the folder showed, as far as it matters for the next."""

    def __init__(self, quiet: float = QUIET) -> None:
        self._quiet = quiet
        self._since: dict[str, tuple[Look, float]] = {}
        self._told: dict[str, Look] = {}

    def look(self, there: Mapping[str, Look], now: float) -> list[str]:
        """Names that came to rest since they were last told, in text order.

        `now` is seconds on any clock that does not go back.
        """
        since = {name: self._since.get(name, (look, now)) for name, look in there.items()}
        self._since = {name: was if was[0] == there[name] else (there[name], now) for name, was in since.items()}
        self._told = {name: look for name, look in self._told.items() if there.get(name) == look}
        rested = sorted(
            name
            for name, (look, start) in self._since.items()
            if now - start >= self._quiet and self._told.get(name) != look
        )
        self._told |= {name: there[name] for name in rested}
        return rested

    def again(self, name: str, now: float) -> None:
        """Tell a name once more after another quiet time, though nothing changed: it could not be read yet."""
        look = self._told.pop(name, None)
        if look is not None:
            self._since[name] = (look, now)

    @property
    def restless(self) -> bool:
        """Whether a file is there that has not been told as it looks now."""
        return any(self._told.get(name) != look for name, (look, _) in self._since.items())
