"""Which new results are stored beside a change: those of a program that worked out the old ones too.

A temporary copy of the workbook as it was and one with the change are worked out. Where the first gives what is stored,
the second is believed. Where it does not, or where an error may only say that the program lacks a function, the stored
result is taken away: better none than one that may be wrong. A result that stays the same keeps its bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Context, Decimal

from quotekit.record import record
from quotekit.workbook.in_place.contents import NOTHING, Content, fifteen, same_content

Worked = Mapping[tuple[str, str], Content]
"""Contents by sheet (in small letters) and cell."""

_WIDE = Context(prec=40)
_CLOSE = Decimal("1E-12")
_TINY = Decimal("1E-12")
_PLAIN_ERRORS = ("#DIV/0!", "#N/A", "#NUM!", "#REF!", "#NULL!", "#VALUE!")
"""Errors that tell of the figures; any other may only say that a program lacks a function."""


@record
class WorkedOut:
    """What another program gives for the workbook before and after a change."""

    before: Worked
    after: Worked


WorkOut = Callable[[bytes, bytes, frozenset[tuple[str, str]]], WorkedOut]
"""Works out a workbook before and after a change, and gives the contents of some cells. May raise CannotWorkOut."""


class CannotWorkOut(Exception):
    """Why no results could be worked out: in words for a person."""


def new_result(stored: Content, before: Content, after: Content, *, clock: bool) -> Content | None:
    """The result to store, NOTHING to take it away, None to leave it as it is.

    `clock` says that the result changes by itself, so that another result before the change proves nothing.
    """
    before, after = _as_stored(before, stored), _as_stored(after, stored)
    proven = _agree(stored, before) or clock
    if stored.kind != "none" and not proven:
        return NOTHING
    if after.kind == "error" and (stored.kind == "none" or after.text not in _PLAIN_ERRORS):
        return NOTHING if after.text != stored.text else None
    if after.kind in ("none", "day"):
        return NOTHING
    return None if _agree(stored, after) else _plain(after)


def _as_stored(content: Content, stored: Content) -> Content:
    """A truth value that was written as a number, as one."""
    if stored.kind == "boolean" and content.kind == "number" and content.text in ("0", "1"):
        return Content(kind="boolean", text=content.text)
    if stored.kind == "number" and content.kind == "boolean":
        return Content(kind="number", text=content.text)
    return content


def _agree(one: Content, other: Content) -> bool:
    """True where two programs mean the same: numbers to twelve digits."""
    if one.kind != other.kind or one.kind != "number":
        return same_content(one, other)
    first, second = fifteen(one.text), fifteen(other.text)
    if isinstance(first, str) or isinstance(second, str):
        return first == second
    largest = max(first.copy_abs(), second.copy_abs())
    return _WIDE.subtract(first, second).copy_abs() <= max(_TINY, _WIDE.multiply(_CLOSE, largest))


def _plain(content: Content) -> Content:
    """A number in its shortest text; other programs write `2E+020`."""
    if content.kind != "number":
        return Content(kind=content.kind, text=content.text)
    number = fifteen(content.text)
    if isinstance(number, str):
        return NOTHING
    text = f"{number:f}"
    return Content(kind="number", text=text if len(text) <= 21 else f"{number:E}")
