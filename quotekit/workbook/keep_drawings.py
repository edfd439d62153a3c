"""A filled template is saved: openpyxl's package, with what it does not keep put back as it stands in the template.

Put back for each sheet: its drawing (pictures, shapes, charts), pictures of headers, footers and background, and the
text of headers and footers, letter for letter but for the marks in it. Dates of members and of the file are fixed.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Mapping, Sequence
from html import escape
from io import BytesIO
from typing import Any
from xml.parsers import expat

from openpyxl.worksheet.header_footer import HeaderFooter

from quotekit.record import record
from quotekit.workbook.carried_parts import CarriedParts
from quotekit.workbook.font_order import fonts_in_order
from quotekit.workbook.moved_formula import Moves
from quotekit.workbook.package import Package
from quotekit.workbook.xml_parts import Attributes, parse_xml, read_workbook_part, relations_of, relations_part

_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_STRICT = "http://purl.oclc.org/ooxml/officeDocument/relationships"
_AFTER_HEADER = "rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing".split()
_PLACED = {
    "drawing": "legacyDrawing tableParts extLst".split(),
    "legacyDrawingHF": "picture tableParts extLst".split(),
    "picture": "oleObjects controls tableParts extLst".split(),
}
_LOST = {
    "controls": "buttons and other controls",
    "oleObjects": "embedded objects",
    "conditionalFormattings": "conditional formats of newer kinds, such as data bars with a border",
    "dataValidations": "checks of what is typed that look at another sheet",
    "sparklineGroups": "charts inside cells",
    "slicerList": "slicers",
}
"""Elements of a sheet, those of newer kinds in its list of extensions."""
_IN_CELL = "pictures inside cells: place them over the cells"
_OLDER = ("controls", "oleObjects")
_MOST_LETTERS, _CUT = 255, 40
"""Letters of a header or footer, its codes among them; of a value where they are too many."""
_MARK = re.compile(r"(&[0-9]+)?qk_([a-z0-9_]+)", re.I)
_CORE = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*(</)")
_FIXED = b"2000-01-01T00:00:00Z"
_DATE = (1980, 1, 1, 0, 0, 0)


@record
class KeptSheet:
    """What a sheet of the template has that openpyxl does not keep."""

    header: tuple[tuple[str, str], ...] = ()
    """Element and text, `oddHeader` and the like."""
    header_facts: tuple[tuple[str, str], ...] = ()
    drawings: tuple[tuple[str, str], ...] = ()
    """Element and part: `drawing`, `legacyDrawingHF`, `picture`."""
    lost: tuple[str, ...] = ()
    """What is neither kept nor put back, in words."""


@record
class Saved:
    """One sheet of the document: its sheet in the template, how rows moved, and the texts of the marks."""

    of: str
    moves: Moves
    texts: Mapping[str, str]


def kept_sheets(package: Package) -> dict[str, KeptSheet]:
    """By sheet name in small letters. Raises BadPackage."""
    parts = read_workbook_part(package)
    return {sheet.name.casefold(): _kept(package, sheet.part) for sheet in parts.sheets}


def header_marks(sheet: KeptSheet) -> set[str]:
    """Marks in headers and footers."""
    return {found[2].casefold() for _, text in sheet.header for found in _MARK.finditer(text)}


def save_filled(book: Any, package: Package, sheets: Sequence[Saved]) -> bytes:
    """The bytes of a filled template; `sheets` in the order of the workbook's own."""
    kept = kept_sheets(package)
    for sheet in book.worksheets:
        sheet._images, sheet._charts = [], []
        sheet.HeaderFooter = HeaderFooter()
    stream = BytesIO()
    book.save(stream)
    with zipfile.ZipFile(stream) as saved:
        parts = {name: saved.read(name) for name in saved.namelist()}
    carried = CarriedParts(package)
    for number, one in enumerate(sheets, start=1):
        _put_back(parts, f"xl/worksheets/sheet{number}.xml", kept[one.of.casefold()], one, carried)
    parts |= carried.parts
    parts["[Content_Types].xml"] = _with_kinds(parts["[Content_Types].xml"], carried.kinds)
    parts["xl/styles.xml"] = fonts_in_order(parts["xl/styles.xml"])
    parts["docProps/core.xml"] = _CORE.sub(rb"\g<1>" + _FIXED + rb"\g<3>", parts["docProps/core.xml"])
    return _packed(parts)


def _kept(package: Package, part: str) -> KeptSheet:
    header: list[tuple[str, str]] = []
    facts: list[tuple[str, str]] = []
    drawings: list[tuple[str, str]] = []
    lost: dict[str, None] = {}
    relations = relations_of(package, part) if package.holds(relations_part(part)) else {}
    stack: list[str] = []

    def start(tag: str, attributes: Attributes) -> None:
        name = tag.rpartition(" ")[2]
        if stack[1:] == ["headerFooter"]:
            header.append((name, ""))
        elif len(stack) == 1 and name == "headerFooter":
            facts.extend(sorted(attributes.items()))
        elif len(stack) == 1 and name in _PLACED:
            key = attributes.get(f"{_OFFICE} id") or attributes.get(f"{_STRICT} id") or ""
            if key in relations:
                drawings.append((name, relations[key][1]))
        if name in _LOST and (len(stack) == 1 if name in _OLDER else "extLst" in stack):
            lost[_LOST[name]] = None
        if name == "c" and "vm" in attributes:
            lost[_IN_CELL] = None
        stack.append(name)

    def text(content: str) -> None:
        if len(stack) == 3 and stack[1] == "headerFooter":
            header[-1] = (header[-1][0], header[-1][1] + content)

    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler, parser.CharacterDataHandler = start, text
    parser.EndElementHandler = lambda _: stack.pop()
    parse_xml(part, package.read(part), parser)
    return KeptSheet(header=tuple(header), header_facts=tuple(facts), drawings=tuple(drawings), lost=tuple(lost))


def _put_back(parts: dict[str, bytes], part: str, kept: KeptSheet, sheet: Saved, carried: CarriedParts) -> None:
    text = parts[part].decode("utf-8")
    if kept.header:
        facts = "".join(f' {name}="{escape(value)}"' for name, value in kept.header_facts)
        inside = "".join(f"<{name}>{escape(_filled(said, sheet.texts), False)}</{name}>" for name, said in kept.header)
        text = _before(text, f"<headerFooter{facts}>{inside}</headerFooter>", _AFTER_HEADER + _PLACED["drawing"])
    for number, (element, target) in enumerate(kept.drawings, start=1):
        name = carried.carry(target, sheet.of, sheet.moves)
        key = f"kept{number}"
        text = _before(text, f'<{element} xmlns:r="{_OFFICE}" r:id="{key}"/>', _PLACED[element])
        _relate(parts, relations_part(part), key, _kind(element), name)
    parts[part] = text.encode("utf-8")


def _filled(text: str, texts: Mapping[str, str]) -> str:
    """A header's text with the values of its marks; a figure after a size is set apart from it.

    The spreadsheet takes 255 letters and no more: where they would be too many, long values are cut.
    """
    whole = _with_values(text, texts, _MOST_LETTERS)
    return whole if len(whole) <= _MOST_LETTERS else _with_values(text, texts, _CUT)[:_MOST_LETTERS]


def _with_values(text: str, texts: Mapping[str, str], most: int) -> str:
    def fill(match: re.Match[str]) -> str:
        said = texts.get(match[2].casefold(), "")
        value = (said if len(said) <= most else said[: most - 1] + "…").replace("&", "&&")
        return (match[1] or "") + (" " if match[1] and value[:1].isdigit() else "") + value

    return _MARK.sub(fill, text)


def _before(sheet: str, element: str, followers: Sequence[str]) -> str:
    """Put an element where the order of a sheet's elements wants it: before the first of those that follow it."""
    places = [found.start() for name in followers if (found := re.search(rf"<{name}[ />]", sheet))]
    place = min(places, default=sheet.rindex("</"))
    return sheet[:place] + element + sheet[place:]


def _kind(element: str) -> str:
    return {"legacyDrawingHF": "vmlDrawing", "picture": "image"}.get(element, element)


def _relate(parts: dict[str, bytes], relations: str, key: str, kind: str, target: str) -> None:
    empty = b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>'
    text = parts.get(relations, empty).decode("utf-8")
    if text.rstrip().endswith("/>"):
        text = empty.decode("utf-8")
    place = text.rindex("</")
    line = f'<Relationship Id="{key}" Type="{_OFFICE}/{kind}" Target="/{escape(target)}"/>'
    parts[relations] = (text[:place] + line + text[place:]).encode("utf-8")


def _with_kinds(content_types: bytes, kinds: Mapping[str, str]) -> bytes:
    text = content_types.decode("utf-8")
    lines = "".join(
        f'<Override PartName="/{escape(name)}" ContentType="{escape(kind)}"/>' for name, kind in kinds.items() if kind
    )
    place = text.rindex("</")
    return (text[:place] + lines + text[place:]).encode("utf-8")


def _packed(parts: Mapping[str, bytes]) -> bytes:
    held = BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in parts.items():
            info = zipfile.ZipInfo(name, _DATE)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o600 << 16
            package.writestr(info, data)
    return held.getvalue()
