"""The rows of a list in an .xlsx, piece by piece: SpreadsheetML, ECMA-376 part 1, 18.3 and 18.4."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from xml.parsers import expat

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, address, column_number
from quotekit.workbook.list_rows import (
    ListSheet,
    Row,
    UnreadCells,
    day_text,
    in_currency,
    number_cell,
    open_parts,
    streamed,
)
from quotekit.workbook.number_formats import ShownStyles, currencies_of, read_formats, styles_of
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.scan_faults import value_fault
from quotekit.workbook.xml_parts import read_workbook_part

MOST_TEXTS = 4_000_000


def xlsx_sheets(file: str, data: bytes) -> list[ListSheet]:
    """Every sheet of an .xlsx. Raises BadPackage."""
    zipped = open_parts(data)
    members = {info.filename.lower(): info for info in zipped.infolist()}
    package = Package(file=file, data=data, sha256=hashlib.sha256(data).hexdigest(), members=members)
    parts = read_workbook_part(package)
    formats = read_formats(package, parts.styles)
    styles, currencies = styles_of(*formats), currencies_of(*formats)
    texts: list[str] = []
    if parts.strings:
        texts = _shared_texts(zipped, members[parts.strings.lower()].filename)
    found = []
    for sheet in parts.sheets:
        info = members.get(sheet.part.lower())
        if info is None:
            raise BadPackage("broken-workbook", f"the sheet {sheet.name[:40]} has no part")
        unread = UnreadCells()
        reader = _reader(zipped, info.filename, _Facts(texts, styles, currencies, parts.date_1904, unread))
        found.append(ListSheet(name=sheet.name, read=reader, unread=unread, hidden=sheet.hidden))
    return found


def _reader(package: zipfile.ZipFile, part: str, facts: _Facts) -> Callable[[], Iterator[Row]]:
    def read() -> Iterator[Row]:
        facts.unread.count = 0
        facts.unread.first.clear()
        rows = _SheetRows(facts)
        for _ in streamed(package, part, rows.parser):
            yield from rows.taken()

    return read


def _shared_texts(package: zipfile.ZipFile, part: str) -> list[str]:
    """The texts that cells share, phonetic hints left out."""
    texts: list[str] = []
    held: list[str] = []
    state = {"text": False, "hint": False}

    def start(tag: str, attributes: dict[str, str]) -> None:
        tag = tag.rpartition(":")[2]
        if tag == "si":
            held.clear()
            if len(texts) >= MOST_TEXTS:
                raise BadPackage("too-large", f"the workbook holds more than {MOST_TEXTS:,} different texts")
        state["hint"] = state["hint"] or tag == "rPh"
        state["text"] = tag == "t" and not state["hint"]

    def end(tag: str) -> None:
        tag = tag.rpartition(":")[2]
        state["text"] = False
        if tag == "rPh":
            state["hint"] = False
        elif tag == "si":
            texts.append("".join(held))

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = lambda text: held.append(text) if state["text"] else None
    for _ in streamed(package, part, parser):
        pass
    return texts


@dataclass
class _Facts:
    """What the rest of a workbook says of a sheet's cells."""

    texts: list[str]
    styles: ShownStyles
    currencies: Mapping[int, str]
    date_1904: bool
    unread: UnreadCells


class _SheetRows:
    """Handlers of one sheet's elements; finished rows wait until they are taken."""

    def __init__(self, facts: _Facts) -> None:
        self.facts = facts
        self.done: list[Row] = []
        self.cells: list[str] = []
        self.columns: dict[str, int] = {}
        self.row = self.column = 0
        self.kind, self.style, self.raw = "n", "", ""
        self.in_value = self.formula = False
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler, self.parser.EndElementHandler = self.start, self.end
        self.parser.CharacterDataHandler = self.text

    def taken(self) -> list[Row]:
        """The rows finished since the last time."""
        rows, self.done = self.done, []
        return rows

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        tag = tag if ":" not in tag else tag.rpartition(":")[2]
        if tag == "c":
            reference = attributes.get("r")
            self.column = self._column(reference) if reference else self.column + 1
            self.kind, self.style, self.raw = attributes.get("t", "n"), attributes.get("s", ""), ""
            self.formula = False
        elif tag == "v" or (tag == "t" and self.kind == "inlineStr"):
            self.in_value = True
        elif tag == "f":
            self.formula = True
        elif tag == "row":
            self._start_row(attributes.get("r", ""))

    def text(self, text: str) -> None:
        if self.in_value:
            self.raw += text

    def end(self, tag: str) -> None:
        tag = tag if ":" not in tag else tag.rpartition(":")[2]
        if tag == "v" or tag == "t":
            self.in_value = False
        elif tag == "c":
            if self.raw or self.formula or self.kind == "e":
                self._put(self._value())
        elif tag == "row":
            self.done.append((self.row, self.cells))

    def _start_row(self, number: str) -> None:
        row = int(number) if number.isdecimal() and len(number) < 9 else self.row + 1
        if row <= self.row or row > MOST_ROWS:
            raise BadPackage("broken-workbook", f"row {number[:12]} is there twice, out of order or too far down")
        self.row, self.column, self.cells = row, 0, []

    def _column(self, reference: str) -> int:
        letters = reference.rstrip("0123456789")
        column = self.columns.get(letters)
        if column is None:
            column = column_number(letters) if letters.isalpha() and letters.isascii() and len(letters) <= 3 else 0
            if not 1 <= column <= MOST_COLUMNS:
                raise BadPackage("cell-out-of-bounds", f"the cell {reference[:20]} lies outside a sheet")
            self.columns[letters] = column
        return column

    def _put(self, text: str) -> None:
        if not text:
            return
        missing = self.column - 1 - len(self.cells)
        if missing < 0:
            raise BadPackage("broken-workbook", f"a cell of row {self.row} is there twice or out of order")
        self.cells += [""] * missing
        self.cells.append(text)

    def _value(self) -> str:
        """The cell's text; nothing where it cannot be trusted."""
        raw, kind, facts = self.raw, self.kind, self.facts
        if kind in ("str", "inlineStr"):
            return raw
        style = int(self.style) if self.style.isdecimal() else 0
        if raw == "" and kind != "e":
            why = "a formula with no stored result"
        else:
            dated = style in facts.styles.dates
            fault = value_fault(
                kind, raw, len(facts.texts), calculated=self.formula, date=dated, date_1904=facts.date_1904
            )
            if fault is None:
                return self._trusted(style, dated=dated)
            why = fault[1].removeprefix("the cell ")
        facts.unread.add(address(self.row, self.column), why)
        return ""

    def _trusted(self, style: int, *, dated: bool) -> str:
        raw, kind = self.raw, self.kind
        if kind == "s":
            return self.facts.texts[int(raw)]
        if kind == "b":
            return "TRUE" if raw in ("1", "true") else "FALSE"
        if kind == "d":
            return raw.removesuffix("T00:00:00")
        if dated:
            return day_text(float(raw), date_1904=self.facts.date_1904)
        number = number_cell(raw, percent=style in self.facts.styles.percent)
        return in_currency(number, self.facts.currencies.get(style, ""))
