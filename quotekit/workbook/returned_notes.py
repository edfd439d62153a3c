"""What a customer wrote beside the cells of a returned quote: comments, and boxes of text laid over a sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, address
from quotekit.workbook.package import Package
from quotekit.workbook.xml_parts import Attributes, SheetPart, parse_small_part, relations_of, relations_part

MOST_NOTES = 200
_MOST_CHARACTERS = 2_000


@dataclass(frozen=True, kw_only=True)
class Note:
    """One comment or box of text, and the cell it belongs to or begins at."""

    sheet: str
    cell: str
    text: str


def read_notes(package: Package, sheets: Iterable[SheetPart]) -> tuple[Note, ...]:
    """Every note with words in it, once each, by sheet. Raises BadPackage."""
    found: list[Note] = []
    for sheet in sheets:
        if not package.holds(relations_part(sheet.part)):
            continue
        for kind, part in relations_of(package, sheet.part).values():
            if kind in ("comments", "drawing") and package.holds(part) and len(found) < MOST_NOTES:
                reading = _Notes(sheet=sheet.name)
                parse_small_part(package, part, reading.start, reading.end, reading.text)
                found += reading.notes
    return tuple(dict.fromkeys(found[:MOST_NOTES]))


@dataclass(kw_only=True)
class _Notes:
    """Handlers of a part of comments, or of a drawing, in which only shapes hold words of their own."""

    sheet: str
    notes: list[Note] = field(default_factory=list)
    cell: str = ""
    words: list[str] = field(default_factory=list)
    inside: str = ""
    of_words: bool = False
    corner: dict[str, str] = field(default_factory=dict)

    def start(self, tag: str, attributes: Attributes) -> None:
        self.inside = tag
        if tag in ("comment", "sp"):
            self.of_words = True
            self.words.clear()
            self.cell = attributes.get("ref", "")[:12] or self._corner()
        elif tag == "from":
            self.corner.clear()

    def text(self, text: str) -> None:
        if self.inside == "t" and self.of_words:
            self.words.append(text)
        elif self.inside in ("row", "col") and self.inside not in self.corner:
            self.corner[self.inside] = text

    def end(self, tag: str) -> None:
        self.inside = ""
        if tag == "p" and self.of_words:
            self.words.append(" ")
        if tag in ("comment", "sp"):
            self.of_words = False
            words = " ".join("".join(self.words).split())[:_MOST_CHARACTERS]
            if words and len(self.notes) < MOST_NOTES:
                self.notes.append(Note(sheet=self.sheet, cell=self.cell, text=words))

    def _corner(self) -> str:
        """The cell in which a shape begins; rows and columns of a drawing count from 0."""
        row, column = (self.corner.get(name, "").strip() for name in ("row", "col"))
        if not (row.isdecimal() and column.isdecimal() and len(row) < 8 and len(column) < 6):
            return ""
        return address(min(int(row) + 1, MOST_ROWS), min(int(column) + 1, MOST_COLUMNS))
