"""The rows of a list in an .ods, piece by piece: OpenDocument 1.3, part 3, tables.

Numbers stand there as decimal text. A row or a cell may be repeated; blank repeats are only counted, filled ones are
written out up to a limit, so that no small file becomes a large one.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from decimal import Decimal
from xml.parsers import expat

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, address
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.list_rows import ListSheet, Row, StoredNumber, UnreadCells, in_currency, open_parts, streamed
from quotekit.workbook.package import BadPackage

_PART = "content.xml"
_MOST_REPEATED_ROWS = 10_000
_NUMBER = re.compile(r"-?[0-9]{1,20}(?:\.[0-9]{1,20})?(?:[eE][+-]?[0-9]{1,2})?")
_BREAKS = {"text:line-break": "\n", "text:tab": "\t"}
_Attributes = dict[str, str]


def ods_sheets(data: bytes) -> list[ListSheet]:
    """Every sheet of an .ods. Raises BadPackage."""
    package = open_parts(data)
    if _PART not in package.namelist():
        raise BadPackage("broken-workbook", "the workbook lacks its content")
    names: list[tuple[str, str]] = []
    hidden: set[str] = set()
    style = ""
    parser = expat.ParserCreate()

    def start(tag: str, attributes: _Attributes) -> None:
        nonlocal style
        if tag == "table:table":
            names.append((attributes.get("table:name", ""), attributes.get("table:style-name", "")))
        elif tag == "style:style":
            style = attributes.get("style:name", "")
        elif tag == "style:table-properties" and attributes.get("table:display") == "false":
            hidden.add(style)

    parser.StartElementHandler = start
    for _ in streamed(package, _PART, parser):
        pass
    sheets = []
    for at, (name, look) in enumerate(names):
        unread = UnreadCells()
        sheets.append(ListSheet(name=name, read=_reader(package, at, unread), unread=unread, hidden=look in hidden))
    return sheets


def _reader(package: zipfile.ZipFile, at: int, unread: UnreadCells) -> Callable[[], Iterator[Row]]:
    def read() -> Iterator[Row]:
        unread.count = 0
        unread.first.clear()
        rows = _TableRows(at, unread)
        for _ in streamed(package, _PART, rows.parser):
            yield from rows.taken()
            if rows.over:
                return

    return read


class _TableRows:
    """Handlers of the elements of one table; finished rows wait until they are taken."""

    def __init__(self, wanted: int, unread: UnreadCells) -> None:
        self.wanted, self.unread = wanted, unread
        self.table = -1
        self.over = False
        self.done: list[Row] = []
        self.row = self.repeat_row = self.repeat = self.missing = 0
        self.cells: list[str] = []
        self.attributes: _Attributes = {}
        self.paragraphs: list[str] = []
        self.in_cell = self.in_text = False
        self.note = 0
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler, self.parser.EndElementHandler = self.start, self.end
        self.parser.CharacterDataHandler = self.text

    def taken(self) -> list[Row]:
        """The rows finished since the last time."""
        rows, self.done = self.done, []
        return rows

    def start(self, tag: str, attributes: _Attributes) -> None:
        if tag == "table:table":
            self.table += 1
        if self.table != self.wanted:
            return
        if tag == "table:table-row":
            self.repeat_row = _times(attributes.get("table:number-rows-repeated"), MOST_ROWS)
            self.cells, self.missing = [], 0
        elif tag in ("table:table-cell", "table:covered-table-cell"):
            self.repeat = _times(attributes.get("table:number-columns-repeated"), MOST_COLUMNS)
            self.attributes, self.paragraphs, self.in_cell = attributes, [], True
        elif tag == "office:annotation":
            self.note += 1
        elif tag == "text:p" and self.in_cell and not self.note:
            self.paragraphs.append("")
            self.in_text = True
        elif tag == "text:s" and self.in_text and not self.note:
            self.paragraphs[-1] += " " * _times(attributes.get("text:c"), 1000)
        elif tag in _BREAKS and self.in_text and not self.note:
            self.paragraphs[-1] += _BREAKS[tag]

    def text(self, text: str) -> None:
        if self.in_text and not self.note:
            self.paragraphs[-1] += text

    def end(self, tag: str) -> None:
        if self.table != self.wanted:
            return
        if tag == "text:p":
            self.in_text = False
        elif tag == "office:annotation":
            self.note -= 1
        elif tag in ("table:table-cell", "table:covered-table-cell"):
            self.in_cell = False
            self._put(self._value())
        elif tag == "table:table-row":
            self._end_row()
        elif tag == "table:table":
            self.over = True

    def _put(self, text: str) -> None:
        if not text:
            self.missing += self.repeat
            return
        if len(self.cells) + self.missing + self.repeat > MOST_COLUMNS:
            raise BadPackage("cell-out-of-bounds", f"row {self.row + 1} is wider than a sheet")
        self.cells += [""] * self.missing + [text] * self.repeat
        self.missing = 0

    def _end_row(self) -> None:
        if self.cells:
            if self.repeat_row > _MOST_REPEATED_ROWS:
                raise BadPackage("too-large", f"row {self.row + 1} is repeated {self.repeat_row:,} times")
            self.done += [(self.row + at, self.cells) for at in range(1, self.repeat_row + 1)]
        self.row += self.repeat_row

    def _value(self) -> str:
        """The cell's text; nothing where it cannot be trusted."""
        attributes, shown = self.attributes, "\n".join(self.paragraphs)
        kind = attributes.get("office:value-type", "")
        if attributes.get("calcext:value-type") == "error" or (kind and re.match(r"#[A-Z/0]+[!?]?$|Err:\d+$", shown)):
            self.unread.add(address(self.row + 1, len(self.cells) + self.missing + 1), f"shows the error {shown[:20]}")
            return ""
        if kind in ("float", "currency", "percentage"):
            raw = attributes.get("office:value", "")
            if not _NUMBER.fullmatch(raw):
                self.unread.add(address(self.row + 1, len(self.cells) + self.missing + 1), "holds no readable number")
                return ""
            currency = attributes.get("office:currency", "")
            shown = currency if currency in CURRENCIES else ""
            return in_currency(_number(raw, percent=kind == "percentage"), shown)
        if kind == "date":
            return attributes.get("office:date-value", "")[:10]
        if kind == "boolean":
            return attributes.get("office:boolean-value", "").upper()
        return shown or attributes.get("office:string-value", "")


def _number(raw: str, *, percent: bool) -> StoredNumber:
    """The exact decimals; of a number worked out by a formula the fifteen digits that can be trusted."""
    digits = raw.lower().partition("e")[0].lstrip("-").replace(".", "").lstrip("0")
    value = Decimal(raw) if len(digits) <= 15 else Decimal(format(float(raw), ".15g"))
    if percent:
        return StoredNumber(f"{(value * 100).normalize():f}%")
    return StoredNumber(f"{value:f}")


def _times(text: str | None, most: int) -> int:
    """How often something is repeated, once where it does not say."""
    times = int(text) if text and text.isdecimal() and len(text) < 9 else 1
    if times > most:
        raise BadPackage("cell-out-of-bounds", f"something is repeated {times:,} times, more than a sheet holds")
    return times
