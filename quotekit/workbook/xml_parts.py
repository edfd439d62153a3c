"""Small parts of a workbook read with expat: no DTD, no entity, nothing fetched."""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat

from quotekit.record import record
from quotekit.workbook.package import BadPackage, Package

Attributes = dict[str, str]
MOST_SMALL_PART = 32 << 20
MOST_STRINGS = 2_000_000
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_STRICT_RELATIONS = "http://purl.oclc.org/ooxml/officeDocument/relationships"
_CHUNK = 1 << 16


def parse_xml(name: str, data: bytes, parser: expat.XMLParserType) -> None:
    """Run a parser's handlers over a part. Raises BadPackage for a DTD, an entity, broken XML or other than UTF-8."""

    def refuse(*_: object) -> None:
        raise BadPackage("dtd", f"{name[:60]} holds a document type or an entity", "Save it again in the spreadsheet.")

    def declare(version: str, encoding: str | None, standalone: int) -> None:
        if encoding and encoding.lower() not in ("utf-8", "utf8", "us-ascii", "ascii"):
            raise BadPackage("broken-workbook", f"{name[:60]} is not written in UTF-8")

    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise BadPackage("broken-workbook", f"{name[:60]} is not written in UTF-8")
    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    parser.XmlDeclHandler = declare
    try:
        for start in range(0, len(data), _CHUNK):
            parser.Parse(data[start : start + _CHUNK], False)
        parser.Parse(b"", True)
    except expat.ExpatError as fault:
        raise BadPackage("broken-workbook", f"{name[:60]} is not well formed ({fault})") from fault
    except (ValueError, LookupError) as fault:
        raise BadPackage("broken-workbook", f"{name[:60]} cannot be read") from fault


def parse_small_part(
    package: Package,
    name: str,
    start: Callable[[str, Attributes], None],
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    """Run handlers over a part that is small in every honest workbook; element names come without their namespace."""
    if package.size(name) > MOST_SMALL_PART:
        raise BadPackage("too-large", f"{name[:60]} unpacks to more than {MOST_SMALL_PART >> 20} MB")
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = lambda tag, attributes: start(tag.rpartition(" ")[2], attributes)
    if end is not None:
        finish = end
        parser.EndElementHandler = lambda tag: finish(tag.rpartition(" ")[2])
    if text is not None:
        parser.CharacterDataHandler = text
    parse_xml(name, package.read(name), parser)


@record
class SheetPart:
    """One sheet of the workbook: its name and the part that holds it."""

    name: str
    part: str
    hidden: bool = False


@dataclass(kw_only=True)
class WorkbookParts:
    """What the workbook part says: sheets in order, the date system, and where styles and strings are."""

    part: str = ""
    sheets: list[SheetPart] = field(default_factory=list)
    date_1904: bool = False
    styles: str = ""
    strings: str = ""


def read_workbook_part(package: Package) -> WorkbookParts:
    """The worksheets of the workbook; sheets that are only a chart are left out. Raises BadPackage."""
    root = [part for kind, part in relations_of(package, "").values() if kind == "officeDocument"]
    if len(root) != 1 or not root[0].lower().endswith(".xml"):
        raise BadPackage("not-a-workbook", "the package names no .xlsx workbook", "Save it as .xlsx.")
    relations = relations_of(package, root[0])
    found = WorkbookParts(part=root[0])
    for kind, part in relations.values():
        found.styles = part if kind == "styles" else found.styles
        found.strings = part if kind == "sharedStrings" else found.strings

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "workbookPr":
            found.date_1904 = attributes.get("date1904") in ("1", "true")
        elif tag == "sheet":
            key = attributes.get(f"{_RELATIONS} id") or attributes.get(f"{_STRICT_RELATIONS} id") or ""
            kind, part = relations.get(key, ("", ""))
            if kind == "worksheet":
                hidden = attributes.get("state") in ("hidden", "veryHidden")
                found.sheets.append(SheetPart(name=attributes.get("name", ""), part=part, hidden=hidden))
            elif not kind:
                raise BadPackage("broken-workbook", f"the sheet {attributes.get('name', '')[:40]} has no part")

    parse_small_part(package, root[0], start)
    _check_sheets(found.sheets)
    return found


def count_strings(package: Package, part: str) -> int:
    """How many shared strings there are. Raises BadPackage."""
    if not part:
        return 0
    count = 0

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal count
        if tag == "si" or tag.endswith(":si"):
            count += 1
            if count > MOST_STRINGS:
                raise BadPackage("too-large", f"the workbook holds more than {MOST_STRINGS:,} different texts")

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parse_xml(part, package.read(part), parser)
    return count


def relations_part(part: str) -> str:
    """Where the relations of a part are.

    >>> relations_part("xl/workbook.xml"), relations_part("")
    ('xl/_rels/workbook.xml.rels', '_rels/.rels')
    """
    folder, base = posixpath.split(part)
    return f"{folder}/_rels/{base}.rels" if folder else f"_rels/{base}.rels"


def relations_of(package: Package, part: str) -> dict[str, tuple[str, str]]:
    """Relations of a part: id to (kind, target part); those that lead outside are left out."""
    folder = posixpath.dirname(part)
    found: dict[str, tuple[str, str]] = {}

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "Relationship" and attributes.get("TargetMode") != "External":
            target = attributes.get("Target", "")
            target = (
                target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            )
            base, _, kind = attributes.get("Type", "").rpartition("/")
            known = base in (_RELATIONS, _STRICT_RELATIONS)
            key = attributes.get("Id", "")
            if key in found:
                raise BadPackage("broken-workbook", f"{relations_part(part)[:60]} names one relation twice")
            found[key] = (kind if known else "other", target)

    parse_small_part(package, relations_part(part), start)
    return found


def _check_sheets(sheets: list[SheetPart]) -> None:
    """Each sheet has a name and a part of its own."""
    for what in ([sheet.name.casefold() for sheet in sheets], [sheet.part.lower() for sheet in sheets]):
        if len(set(what)) < len(what):
            raise BadPackage("broken-workbook", "the workbook names one sheet twice")
