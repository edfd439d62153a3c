"""A returned workbook as it was saved: constants and the text of formulas, read from the checked parts themselves.

The safety checks are the guard's. Faults of single cells are no matter here: a formula without a stored result is what
openpyxl writes, and an error is what a formula shows when the choice is strange.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from xml.parsers import expat

from quotekit.documents.canonical import canonical, canonical_number, decoded
from quotekit.problems import Place, Problem, error
from quotekit.workbook.addresses import Position, column_number
from quotekit.workbook.defined_names import Area, read_defined_names
from quotekit.workbook.number_formats import read_styles
from quotekit.workbook.package import BadPackage, Package, open_package
from quotekit.workbook.returned_notes import Note, read_notes
from quotekit.workbook.shared_formulas import SharedFormulas
from quotekit.workbook.sheet_facts import ScanRules
from quotekit.workbook.sheet_scan import scan_sheet
from quotekit.workbook.xml_parts import Attributes, SheetPart, count_strings, parse_xml, read_workbook_part

MOST_CELLS = 500_000
"""Cells with content in all sheets; a quote has a few thousand."""

MOST_BYTES = 40 << 20
"""Of one sheet's XML, unpacked."""

_FIRST_DAY = date(1899, 12, 30).toordinal()
_MOST_FORMULA = 65_536


@dataclass(frozen=True, slots=True)
class RawCell:
    """A cell that holds something: its kind as stored (`s`, `n`, `b`, `e`), its text, and its formula if it has one."""

    kind: str
    text: str
    formula: str | None = None

    @property
    def canonical(self) -> str:
        """One spelling of what it says; see documents/canonical."""
        if self.formula is not None:
            return canonical(None, f"={self.formula}")
        if self.kind == "n":
            return _number(self.text)
        if self.kind == "b":
            return f"b{int(self.text in ('1', 'true'))}"
        return canonical(self.text) if self.kind == "s" else f"{self.kind}{self.text}"

    @property
    def value(self) -> str | bool | Decimal | None:
        """What it shows as stored; None for nothing, and for an error."""
        if self.kind == "b":
            return self.text in ("1", "true")
        if self.kind == "n":
            spelled = _number(self.text)
            return Decimal(spelled[1:]) if spelled[:1] == "n" else None
        return decoded(self.text) if self.kind == "s" and self.text else None

    @property
    def shown(self) -> str:
        """What a person sees of it, for a problem."""
        return f"={self.formula}" if self.formula and not self.text else decoded(self.text)


@dataclass(frozen=True, kw_only=True)
class RawWorkbook:
    """A workbook's cells by sheet, names of areas, and sheets that hold no cells (charts, dialogs)."""

    file: str
    sheets: Mapping[str, Mapping[Position, RawCell]]
    names: Mapping[str, Area]
    other_sheets: tuple[str, ...] = ()
    date_1904: bool = False
    notes: tuple[Note, ...] = ()


def read_raw(path: Path | Package) -> tuple[RawWorkbook | None, list[Problem]]:
    """Every cell of a workbook that passes the safety checks, or why it is refused."""
    package, problems = open_package(path)
    if package is None:
        return None, problems
    try:
        return _read(package), []
    except BadPackage as fault:
        place = Place(package.file, cell=fault.cell)
        return None, [error(place, fault.code, str(fault), fault.remedy)]


def _read(package: Package) -> RawWorkbook:
    parts = read_workbook_part(package)
    rules = ScanRules(
        styles=read_styles(package, parts.styles),
        strings=count_strings(package, parts.strings),
        date_1904=parts.date_1904,
    )
    names, listed = read_defined_names(package, parts.part)
    strings = _strings(package, parts.strings)
    sheets: dict[str, dict[Position, RawCell]] = {}
    room = MOST_CELLS
    for sheet in parts.sheets:
        sheets[sheet.name] = _sheet(package, sheet, rules, strings, room)
        room -= len(sheets[sheet.name])
    return RawWorkbook(
        file=package.file,
        sheets=sheets,
        names=names,
        other_sheets=tuple(name for name in listed if name not in sheets),
        date_1904=parts.date_1904,
        notes=read_notes(package, parts.sheets),
    )


def _sheet(
    package: Package, sheet: SheetPart, rules: ScanRules, strings: list[str], room: int
) -> dict[Position, RawCell]:
    if package.size(sheet.part) > MOST_BYTES:
        raise BadPackage("too-large", f"a sheet unpacks to more than {MOST_BYTES >> 20} MB", "Save only what is used.")
    data = package.read(sheet.part)
    facts, _ = scan_sheet(package.file, sheet.name, sheet.part, data, rules)
    if facts.cells > room:
        raise BadPackage("too-large", f"the workbook holds more than {MOST_CELLS:,} cells", "Save only what is used.")
    reading = _Cells(strings)
    parser = _parser(reading.start, reading.end, reading.text)
    parse_xml(sheet.part, data, parser)
    return reading.cells


def _parser(
    start: Callable[[str, Attributes], None], end: Callable[[str], None], text: Callable[[str], None]
) -> expat.XMLParserType:
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = lambda tag, attributes: start(tag.rpartition(":")[2], attributes)
    parser.EndElementHandler = lambda tag: end(tag.rpartition(":")[2])
    parser.CharacterDataHandler = text
    return parser


@dataclass(kw_only=True)
class _Texts:
    """Collects the texts of `t` elements, those of a reading aid (`rPh`) left out."""

    pieces: list[str] = field(default_factory=list)
    aid: bool = False
    inside: bool = False

    def start(self, tag: str) -> None:
        self.aid = self.aid or tag == "rPh"
        self.inside = tag == "t" and not self.aid

    def end(self, tag: str) -> None:
        self.inside = False
        self.aid = self.aid and tag != "rPh"

    def text(self, text: str) -> None:
        if self.inside:
            self.pieces.append(text)

    def taken(self) -> str:
        whole = "".join(self.pieces)
        self.pieces.clear()
        return whole


def _strings(package: Package, part: str) -> list[str]:
    """The shared texts, in order, rich text as plain."""
    found: list[str] = []
    texts = _Texts()

    def end(tag: str) -> None:
        texts.end(tag)
        if tag == "si":
            found.append(texts.taken())

    if part:
        parse_xml(part, package.read(part), _parser(lambda tag, _: texts.start(tag), end, texts.text))
    return found


class _Cells:
    """Handlers of a sheet that the scan has found sound: rows and cells are in order and inside the sheet."""

    def __init__(self, strings: list[str]) -> None:
        self.strings, self.cells, self.shared = strings, dict[Position, RawCell](), SharedFormulas()
        self.row = self.column = 0
        self.kind, self.value, self.formula, self.of_formula = "n", "", "", Attributes()
        self.has_formula = self.in_data = self.in_cell = False
        self.within = ""
        self.texts = _Texts()

    def start(self, tag: str, attributes: Attributes) -> None:
        if tag == "sheetData":
            self.in_data = True
        elif tag == "row" and self.in_data:
            self.row, self.column = int(attributes.get("r", self.row + 1)), 0
        elif tag == "c" and self.in_data:
            letters = attributes.get("r", "").rstrip("0123456789")
            self.column = column_number(letters) if letters else self.column + 1
            self.kind = attributes.get("t", "n")
            self.value, self.formula, self.has_formula, self.in_cell = "", "", False, True
        elif self.in_cell:
            self._start_inside(tag, attributes)

    def _start_inside(self, tag: str, attributes: Attributes) -> None:
        self.texts.start(tag)
        self.within = tag if tag in ("v", "f") else ""
        if tag == "f":
            self.has_formula, self.of_formula = True, attributes

    def text(self, text: str) -> None:
        if self.within == "v":
            self.value += text
        elif self.within == "f" and len(self.formula) < _MOST_FORMULA:
            self.formula += text
        elif self.in_cell:
            self.texts.text(text)

    def end(self, tag: str) -> None:
        self.within = ""
        if tag == "c" and self.in_cell:
            self.in_cell = False
            self._keep()
        elif self.in_cell:
            self.texts.end(tag)
        elif tag == "sheetData":
            self.in_data = False

    def _keep(self) -> None:
        inline = self.texts.taken()
        kind, text = self.kind, inline if self.kind == "inlineStr" else self.value
        if kind == "s":
            text = self.strings[int(text)] if text.isdecimal() and int(text) < len(self.strings) else ""
        elif kind == "d":
            kind, text = _serial(text)
        kind = "s" if kind in ("s", "str", "inlineStr") else kind
        if self.has_formula or text:
            self.cells[self.row, self.column] = RawCell(kind, text, self._formula() if self.has_formula else None)

    def _formula(self) -> str:
        if self.of_formula.get("t") != "shared":
            return self.formula
        return self.shared.written_out(self.of_formula.get("si", ""), self.formula, (self.row, self.column))


def _number(text: str) -> str:
    """The canonical spelling of a stored number; what is none is kept as it is."""
    try:
        spelled = canonical_number(text.strip()) if len(text) < 400 and "_" not in text else ""
    except ValueError:
        spelled = ""
    return f"n{spelled}" if spelled[-1:].isdecimal() else f"?{text[:400]}"


def _serial(text: str) -> tuple[str, str]:
    """A date stored as ISO 8601, as a spreadsheet numbers it.

    >>> _serial("2026-11-25"), _serial("2026-11-25T12:00:00Z"), _serial("soon")
    (('n', '46351'), ('n', '46351.5'), ('s', 'soon'))
    """
    try:
        moment = datetime.fromisoformat(text.removesuffix("Z"))
    except ValueError:
        return "s", text
    seconds = Decimal(moment.hour * 3600 + moment.minute * 60 + moment.second)
    return "n", canonical_number(Decimal(moment.toordinal() - _FIRST_DAY) + seconds / 86400)
