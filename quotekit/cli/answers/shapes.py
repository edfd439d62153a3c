"""What the words of a request are: held against them before it is answered.

A request of another shape comes from an extension of another version, or from no extension at all: it is refused as
such, and is no fault within. A word that is missing is told by whoever needs it.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import PurePath
from typing import Any

Fits = Callable[[Any], bool]

HELD_AGAINST = ("code", "measure", "unit", "fails_when", "limit")
"""Words of a finding that judging a measurement reads."""


def wrong_word(kind: str, request: Mapping[str, Any]) -> str | None:
    """The first word of a request that is not what it should be; None where all are."""
    shape = SHAPES.get(kind, {})
    return next((word for word, fits in shape.items() if word in request and not fits(request[word])), None)


def is_id(value: Any) -> bool:
    """Whether an answer can carry it: a number or a text; nothing else, which might be no JSON on the way back."""
    if isinstance(value, float):
        return math.isfinite(value)
    return value is None or isinstance(value, int | str)


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _number(value: Any) -> bool:
    return isinstance(value, int)


def _folder(value: Any) -> bool:
    """A path that a disk can have."""
    try:
        return isinstance(value, str) and b"\0" not in os.fsencode(value)
    except UnicodeEncodeError:
        return False


def _file(value: Any) -> bool:
    return _folder(value) and bool(PurePath(value).name)


def _day(value: Any) -> bool:
    try:
        return bool(date.fromisoformat(value))
    except (TypeError, ValueError):
        return False


def _document(value: Any) -> bool:
    return isinstance(value, dict) and _file(value.get("copy")) and _or_none(_file)(value.get("path"))


def _finding(value: Any) -> bool:
    """As `findings` gives it: what a measurement is held against is text, and a limit a number where there is one."""
    if not (isinstance(value, dict) and all(_text(value.get(word, "")) for word in HELD_AGAINST)):
        return False
    try:
        return Decimal(value.get("limit") or 0).is_finite()
    except InvalidOperation:
        return False


def _cell(value: Any) -> bool:
    """What a cell may hold; a text that names a file is one that a disk can have."""
    return not isinstance(value, str) or _folder(value)


def _list(value: Any) -> bool:
    return isinstance(value, list)


def _all(fits: Fits) -> Fits:
    return lambda value: isinstance(value, list) and all(map(fits, value))


def _or_none(fits: Fits) -> Fits:
    """Where nothing is said, or nothing is said of it."""
    return lambda value: value is None or value == "" or fits(value)


_WORKBOOKS = {"document": _document, "book": _or_none(_document)}

SHAPES: Mapping[str, Mapping[str, Fits]] = {
    "check": _WORKBOOKS,
    "choice": {"document": _document, "book": _document, "tier": _text, "extras": _or_none(_all(_text))},
    "costing": {"document": _document, "book": _or_none(_file)},
    "explain cell": _WORKBOOKS | {"others": _or_none(_all(_document)), "sheet": _text, "cell": _text},
    "findings": {"document": _document, "book": _document},
    "function": {
        "name": _text,
        "arguments": _list,
        "document": _or_none(_folder),
        "book": _cell,
        "day_zero": _or_none(_day),
    },
    "functions": {"asked": _all(lambda one: isinstance(one, dict))},
    "lists": {"folder": _folder, "book": _or_none(_file), "what": _all(_text)},
    "measurement": {"finding": _finding},
    "open book": {"document": _folder, "copy": _or_none(_file)},
    "price": {"document": _document, "book": _document, "token": _or_none(_number)},
    "returned": {"file": _file, "jobs": _all(_file), "on": _or_none(_day)},
    "run": {"words": _all(lambda one: isinstance(one, str | int | float)), "folder": _folder, "book": _or_none(_file)},
}
"""For each kind of request its words, and what each must be. Words that are not named may be anything."""
