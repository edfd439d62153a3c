"""The rows of a large list in a workbook as text, piece by piece: a supplier's list of up to a million rows.

The shop's own workbooks are read whole (`grid`); a list may be far larger, so its sheet is unpacked and read as a
stream. A number becomes the text of its exact decimals, a date its ISO form. Error cells, formulas without a stored
result and other cells that cannot be trusted are no text of the list: they count as blank and are told with their cell.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from xml.parsers import expat

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.names import did_you_mean, or_list
from quotekit.workbook.package import BadPackage

MOST_UNPACKED = 4 << 30
_MOST_RATIO = 400
_SMALL = 64 << 20
_PIECE = 1 << 18
_SHOWN = 3
Row = tuple[int, list[str]]


class StoredNumber(str):
    """The text of a cell that holds a number: it has a decimal point, whatever marks the list's texts have."""

    currency = ""
    """The sign or code that the cell shows beside it, by its format."""


@dataclass(kw_only=True)
class UnreadCells:
    """Cells that count as blank because what they hold cannot be trusted: how many, and the first few with why."""

    count: int = 0
    first: list[tuple[str, str]] = field(default_factory=list)

    def add(self, cell: str, why: str) -> None:
        """Note one."""
        self.count += 1
        if len(self.first) < _SHOWN:
            self.first.append((cell, why))


@record
class ListSheet:
    """One sheet of a workbook; `read` gives its rows from the first on, each time anew."""

    name: str
    read: Callable[[], Iterator[Row]]
    unread: UnreadCells = field(default_factory=UnreadCells, compare=False)
    hidden: bool = False


def list_sheets(file: str, data: bytes, kind: str) -> tuple[list[ListSheet], list[Problem]]:
    """The sheets of an .xlsx or .ods, or why it can't be read."""
    from quotekit.workbook.ods_rows import ods_sheets
    from quotekit.workbook.xlsx_list_rows import xlsx_sheets

    try:
        return (ods_sheets(data) if kind == "ods" else xlsx_sheets(file, data)), []
    except BadPackage as fault:
        return [], [error(Place(file), fault.code, str(fault), fault.remedy)]


def choose_sheet(file: str, sheets: list[ListSheet], name: str) -> tuple[ListSheet | None, list[Problem]]:
    """The sheet of a name; without a name the only one."""
    if not name and len(sheets) == 1:
        return sheets[0], []
    found = next((sheet for sheet in sheets if sheet.name.casefold() == name.casefold()), None)
    if found is not None:
        return found, []
    names = [sheet.name for sheet in sheets]
    message = f"there is no sheet {name}" if name else f"the workbook has {len(sheets)} sheets"
    remedy = f"{did_you_mean(name, names)}Name the sheet of the list in the mapping: {or_list(names[:8])}."
    return None, [error(Place(file), "which-list-sheet", message, remedy)]


def open_parts(data: bytes) -> zipfile.ZipFile:
    """The package of a workbook, its sizes checked. Raises BadPackage."""
    try:
        package = zipfile.ZipFile(io.BytesIO(data))
    except Exception as fault:
        raise BadPackage("broken-workbook", "the workbook is damaged", "Fetch it again.") from fault
    infos = package.infolist()
    if sum(info.file_size for info in infos) > MOST_UNPACKED:
        raise BadPackage("too-large", f"it unpacks to more than {MOST_UNPACKED >> 30} GB", "Split the list.")
    for info in infos:
        if info.flag_bits & 0x1:
            raise BadPackage("encrypted", "the workbook is protected by a password", "Save it without one.")
        if info.file_size > _SMALL and info.file_size > _MOST_RATIO * max(1, info.compress_size):
            raise BadPackage(
                "too-large", f"{info.filename[:60]} unpacks to {info.file_size:,} bytes", "Split the list."
            )
    return package


def streamed(package: zipfile.ZipFile, part: str, parser: expat.XMLParserType) -> Iterator[None]:
    """Run a parser over a part piece by piece; after each piece there may be rows. Raises BadPackage."""
    left = package.getinfo(part).file_size
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = _refuse_dtd
    parser.buffer_text = True
    try:
        with package.open(part) as stream:
            while piece := stream.read(_PIECE):
                left -= len(piece)
                if left < 0:
                    raise BadPackage("too-large", f"{part[:60]} unpacks to more than it says")
                parser.Parse(piece, False)
                yield
            parser.Parse(b"", True)
            yield
    except (expat.ExpatError, zipfile.BadZipFile, zlib.error, EOFError) as fault:
        raise BadPackage("broken-workbook", f"{part[:60]} is damaged") from fault


def _refuse_dtd(*_: object) -> None:
    raise BadPackage("dtd", "the workbook holds a document type or an entity", "Save it again in the spreadsheet.")


def day_text(serial: float, *, date_1904: bool = False) -> str:
    """The day of a spreadsheet's number; a time of day is left out.

    >>> day_text(46000), day_text(44538, date_1904=True)
    ('2025-12-09', '2025-12-09')
    """
    first = date(1904, 1, 1) if date_1904 else date(1899, 12, 30 if serial >= 60 else 31)
    return (first + timedelta(days=int(serial))).isoformat()


def in_currency(number: StoredNumber, currency: str) -> StoredNumber:
    """The number with the currency that its cell shows."""
    if currency:
        number.currency = currency
    return number


def number_cell(raw: str, *, percent: bool = False) -> StoredNumber:
    """The exact decimals of a stored number; spreadsheets store 17 digits, of which 15 can be trusted.

    >>> number_cell("19.989999999999998"), number_cell("1.2E+05"), number_cell("0.25", percent=True)
    ('19.99', '120000', '25%')
    """
    if len(raw) > 15 or "e" in raw or "E" in raw:
        raw = f"{Decimal(format(float(raw), '.15g')):f}"
    if percent:
        return StoredNumber(f"{(Decimal(raw) * 100).normalize():f}%")
    return StoredNumber(raw)
