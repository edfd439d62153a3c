"""Lists within what an entry tells, as tables of their own: the work and parts agreed, the lines of an order or a bill.

A cell of a spreadsheet holds 32,767 letters, less than what is agreed on a large job. So each list of records stands
in a file `KIND FIELD.csv` too, a row a record: the entry it is of, its place in the list (`2.1` is the first within the
second), and a column a field; groups within a record give `group.field`, lists within one a file of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

OF_ENTRY = ("seq", "day", "job", "version", "number", "line")


class Line(NamedTuple):
    """A record of a list: the names that lead to the list, its place, and what it holds."""

    path: str
    place: str
    fields: dict[str, Any]


def lines_of(body: Mapping[str, Any]) -> Iterator[Line]:
    """Every record of every list in what an entry tells.

    >>> [tuple(line) for line in lines_of({"agreed": {"work": [{"code": "A", "own": {"hours": "1"}}]}})]
    [('agreed work', '1', {'code': 'A', 'own.hours': '1'})]
    """
    for name, value in body.items():
        yield from _within(name, "", value)


def _within(path: str, place: str, value: Any) -> Iterator[Line]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _within(f"{path} {name}", place, inner)
    elif isinstance(value, list):
        for number, one in enumerate(value, start=1):
            if isinstance(one, Mapping):
                here = f"{place}.{number}".lstrip(".")
                yield Line(path, here, dict(_flat("", one)))
                for name, inner in one.items():
                    yield from _within(f"{path} {name}", here, inner)


def _flat(start: str, record: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for name, value in record.items():
        if isinstance(value, Mapping):
            yield from _flat(f"{start}{name}.", value)
        elif not (isinstance(value, list) and any(isinstance(one, Mapping) for one in value)):
            yield f"{start}{name}", value
