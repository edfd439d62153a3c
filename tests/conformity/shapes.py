"""What a validator looks at in a workbook, and the fewest workbooks that hold all of it.

A shape is an element below its parent with the names of its attributes, an attribute with a word as its value, or an
element that follows another: what a schema has rules about. Numbers, references and texts are no shapes.

>>> sorted(cover({"a": {1, 2, 3}, "b": {3, 4}, "c": {4}}))
['a', 'b']
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Hashable, Iterator, Mapping, Set
from xml.etree import ElementTree

_WORD = re.compile("[A-Za-z]+")
_NUMBERS = re.compile(r"\d+")
_NAMED_BY_PEOPLE = frozenset({"definedName", "sheet"})


def shapes_of(workbook: bytes) -> frozenset[Hashable]:
    """Every shape of every part; a part that is no XML is one by its name."""
    found: set[Hashable] = set()
    with zipfile.ZipFile(io.BytesIO(workbook)) as package:
        for name in package.namelist():
            part = _NUMBERS.sub("", name)
            found.add(part)
            if name.endswith((".xml", ".rels")):
                found.update((part, *shape) for shape in _shapes(ElementTree.fromstring(package.read(name)), ""))
    return frozenset(found)


def _shapes(element: ElementTree.Element, parent: str) -> Iterator[tuple[Hashable, ...]]:
    tag = element.tag
    yield "below", parent, tag, frozenset(element.attrib)
    if tag.rpartition("}")[2] not in _NAMED_BY_PEOPLE:
        yield from ((tag, name, value) for name, value in element.attrib.items() if _WORD.fullmatch(value))
    before = ""
    for child in element:
        yield "after", tag, before, child.tag
        before = child.tag
        yield from _shapes(child, tag)


def cover(shapes: Mapping[str, Set[Hashable]]) -> set[str]:
    """Names of few that hold together what all hold: always the one that brings most, in text order."""
    left = set().union(*shapes.values())
    chosen: set[str] = set()
    while left:
        most = max(sorted(shapes), key=lambda name: len(shapes[name] & left))
        chosen.add(most)
        left -= shapes[most]
    return chosen
