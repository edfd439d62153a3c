"""Lines by what they are known as, each under a name of its own.

A one-off line is known by its text, since its code counts rows and a row put in above gives it another; two may have
the same text. The second of one name is known as `NAME, another`, the third as `NAME, another, another`.
Source: shop policy.

Worked example: two one-off lines `Weld bracket` before and now, in whatever rows: the first is compared with the first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

Line = TypeVar("Line")


def told_apart(lines: Iterable[Line], known_as: Callable[[Line], str]) -> dict[str, Line]:
    """Lines by name, in their order.

    >>> told_apart(["belt", "bolt", "bush"], lambda line: line[:2])
    {'be': 'belt', 'bo': 'bolt', 'bu': 'bush'}
    >>> list(told_apart(["belt", "bell"], lambda line: line[:2]))
    ['be', 'be, another']
    """
    found: dict[str, Line] = {}
    for line in lines:
        name = known_as(line)
        while name in found:
            name = f"{name}, another"
        found[name] = line
    return found
