"""Flags of an integer program: unknowns that are true or false, and their opposites.

A flag is a whole number from 0 to 1; as an `int` name it is the unknown's place plus one, its opposite the same below
zero.

Worked example: the unknown at place 4 is the flag 5; -5 is true where it is 0, and counts 1 - unknown in a sum.
"""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.pricing.exact.lines import Line, Number, exactly

Flag = int
TRUE: Flag = 1 << 60
FALSE: Flag = -TRUE


def sum_of(flags: Iterable[Flag]) -> Line:
    """How many of some flags are true."""
    found = Line()
    for flag in sorted(flags):
        add_flag(found, flag)
    return found


def add_flag(line: Line, flag: Flag, times: Number = 1) -> Line:
    """Add a flag times a number to a sum."""
    if flag == TRUE:
        return line.plus(times)
    if flag == FALSE:
        return line
    return line.add(flag - 1, times) if flag > 0 else line.plus(times).add(-flag - 1, -exactly(times))
