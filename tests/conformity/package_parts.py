"""A workbook's package, opened for the lint: parts by name, sheets by name, texts by number."""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
PACKAGE = "{http://schemas.openxmlformats.org/package/2006/relationships}"

Element = ElementTree.Element


@dataclass
class Parts:
    """The parts of a package in their order, as they are stored."""

    names: list[str]
    data: dict[str, bytes]

    @classmethod
    def of(cls, workbook: bytes) -> Parts:
        """All parts; a name that stands there twice is kept twice in `names`."""
        with zipfile.ZipFile(io.BytesIO(workbook)) as package:
            names = [entry.filename for entry in package.infolist()]
            return cls(names=names, data={name: package.read(name) for name in names})

    def root(self, name: str) -> Element:
        """The root element of a part."""
        return ElementTree.fromstring(self.data[name])

    def relations(self, name: str) -> dict[str, Element]:
        """Relationships of a part by id; `name` empty for those of the package."""
        folder, file = posixpath.split(name)
        path = posixpath.join(folder, "_rels", f"{file}.rels")
        return {one.get("Id", ""): one for one in self.root(path)} if path in self.data else {}

    @cached_property
    def book(self) -> Element:
        """The workbook part."""
        return self.root("xl/workbook.xml")

    @cached_property
    def sheets(self) -> dict[str, str]:
        """Part name of each sheet by the sheet's name."""
        relations = self.relations("xl/workbook.xml")
        found = {}
        for sheet in self.book.iter(f"{MAIN}sheet"):
            target = relations[sheet.get(f"{RELATION}id", "")].get("Target", "")
            found[sheet.get("name", "")] = posixpath.normpath(posixpath.join("xl", target)).lstrip("/")
        return found

    @cached_property
    def texts(self) -> list[str]:
        """Shared texts, their runs joined."""
        if "xl/sharedStrings.xml" not in self.data:
            return []
        items = self.root("xl/sharedStrings.xml").iter(f"{MAIN}si")
        return ["".join(part.text or "" for part in item.iter(f"{MAIN}t")) for item in items]

    def all_relations(self) -> Iterator[tuple[str, Element]]:
        """Each relationship of each part, with the name of its part."""
        for name in self.data:
            if name.endswith(".rels"):
                for one in self.root(name):
                    yield name, one


def formulas_of(workbook: bytes) -> int:
    """Formula cells of all sheets."""
    parts = Parts.of(workbook)
    return sum(1 for part in parts.sheets.values() for _ in parts.root(part).iter(f"{MAIN}f"))
