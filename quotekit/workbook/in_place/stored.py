"""What a cell of the file holds, read from where it is written."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from quotekit.workbook.in_place.contents import NOTHING, CellKind, Content, meant_text
from quotekit.workbook.in_place.dimmed import TAG
from quotekit.workbook.in_place.spans import CellSpan, SheetCells
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.xml_parts import Attributes, parse_xml

_KINDS: dict[str, CellKind] = {"n": "number", "b": "boolean", "e": "error", "d": "day", "str": "text"}


def shared_texts(package: Package, part: str, wanted: Collection[int]) -> dict[int, Content]:
    """Some of the shared texts by their number. Raises BadPackage."""
    if not part or not wanted:
        return {}
    data = package.read(part)
    scan = _Strings(data, frozenset(wanted))
    parse_xml(part, data, scan.parser)
    return scan.found


def wanted_texts(cells: Collection[CellSpan]) -> set[int]:
    """The numbers of the shared texts that cells show."""
    return {
        int(cell.value) for cell in cells if cell.attributes.get("t") == "s" and cell.value and cell.value.isdecimal()
    }


def stored_content(cells: SheetCells, cell: CellSpan | None, texts: Mapping[int, Content]) -> Content:
    """What a cell holds, whether typed or calculated. Raises BadPackage for a text that is not there."""
    if cell is None or cell.value is None:
        return NOTHING
    kind, value = cell.attributes.get("t", "n"), cell.value
    if kind == "inlineStr":
        inside = cells.data[cell.rich.start : cell.rich.end] if cell.rich else b""
        return Content(kind="text", text=meant_text(value), rich=_rich(inside, cells.prefix))
    if kind == "s":
        number = int(value) if value.isdecimal() else -1
        if number not in texts:
            raise BadPackage("broken-workbook", f"a cell shows the text number {value[:12]}, which is not there")
        return texts[number]
    if kind == "str":
        return Content(kind="text", text=meant_text(value))
    if not value.strip():
        return NOTHING
    return Content(kind=_KINDS.get(kind, "error"), text={"true": "1", "false": "0"}.get(value, value))


def _rich(inside: bytes, prefix: str) -> str:
    """The XML of a text's runs, kept where it is more than plain and can be put into a sheet without a prefix."""
    if prefix or (inside.count(b"<") <= 2 and b"/>" not in inside):
        return ""
    return inside.decode()


@dataclass(kw_only=True)
class _Entry:
    """One shared text while it is read."""

    opened: int = 0
    words: list[str] = field(default_factory=list)


class _Strings:
    """Handlers of the shared texts."""

    def __init__(self, data: bytes, wanted: frozenset[int]) -> None:
        self.data, self.wanted = data, wanted
        self.found: dict[int, Content] = {}
        self.number, self.entry = -1, _Entry()
        self.reading = self.phonetic = False
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.parser.CharacterDataHandler = self.text

    def start(self, tag: str, attributes: Attributes) -> None:
        local = tag.rpartition(":")[2]
        if local == "si":
            self.number += 1
            match = TAG.match(self.data, self.parser.CurrentByteIndex)
            self.entry = _Entry(opened=match.end() if match else 0)
        elif local == "rPh":
            self.phonetic = True
        self.reading = local == "t" and not self.phonetic

    def end(self, tag: str) -> None:
        local = tag.rpartition(":")[2]
        self.reading = False
        if local == "rPh":
            self.phonetic = False
        elif local == "si" and self.number in self.wanted:
            inside = self.data[self.entry.opened : max(self.parser.CurrentByteIndex, self.entry.opened)]
            text = meant_text("".join(self.entry.words))
            self.found[self.number] = Content(kind="text", text=text, rich=_rich(inside, tag[:-2]))

    def text(self, text: str) -> None:
        if self.reading and self.number in self.wanted:
            self.entry.words.append(text)
