"""Small parts of a workbook read with expat: no DTD, no entity, nothing fetched."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat

from quotekit.workbook.package import BadPackage, Package

Attributes = dict[str, str]
_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
_STRICT_RELATION = "http://purl.oclc.org/ooxml/officeDocument/relationships id"
_PERCENT_CODE = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]')


def parse_part(
    package: Package,
    name: str,
    start: Callable[[str, Attributes], None],
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    """Run handlers over a part; element names come without their namespace.

    Raises BadPackage for a missing part, a DTD, an entity or broken XML.
    """
    if name not in package.members:
        raise BadPackage("broken-workbook", f"the package lacks its part {name[:60]}")
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True

    def refuse(*_: object) -> None:
        raise BadPackage("dtd", f"{name[:60]} holds a document type or an entity", "Save it again in the spreadsheet.")

    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    parser.StartElementHandler = lambda tag, attributes: start(tag.rpartition(" ")[2], attributes)
    if end is not None:
        finish = end
        parser.EndElementHandler = lambda tag: finish(tag.rpartition(" ")[2])
    if text is not None:
        parser.CharacterDataHandler = text
    try:
        for chunk in package.chunks(name):
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except expat.ExpatError as fault:
        raise BadPackage("broken-workbook", f"{name[:60]} is not well formed ({fault})") from fault
    except (ValueError, LookupError) as fault:
        raise BadPackage("broken-workbook", f"{name[:60]} cannot be read") from fault


@dataclass(frozen=True, kw_only=True)
class SheetPart:
    """One sheet of the workbook: its name and the part that holds it."""

    name: str
    part: str
    visible: bool = True


@dataclass(kw_only=True)
class WorkbookParts:
    """What the workbook part says: sheets in order, the date system, and where styles and strings are."""

    sheets: list[SheetPart] = field(default_factory=list)
    date_1904: bool = False
    styles: str = ""
    strings: str = ""


def read_workbook_part(package: Package) -> WorkbookParts:
    """The sheets of the workbook. Raises BadPackage."""
    root = [part for kind, part in _relations(package, "").values() if kind == "officeDocument"]
    if len(root) != 1 or not root[0].lower().endswith(".xml"):
        raise BadPackage("not-a-workbook", "the package names no .xlsx workbook", "Save it as .xlsx.")
    relations = _relations(package, root[0])
    found = WorkbookParts()
    for kind, part in relations.values():
        found.styles = part if kind == "styles" else found.styles
        found.strings = part if kind == "sharedStrings" else found.strings

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "workbookPr":
            found.date_1904 = attributes.get("date1904") in ("1", "true")
        elif tag == "sheet":
            key = attributes.get(_RELATION) or attributes.get(_STRICT_RELATION) or ""
            kind, part = relations.get(key, ("", ""))
            if kind == "worksheet":
                visible = attributes.get("state", "visible") == "visible"
                found.sheets.append(SheetPart(name=attributes.get("name", ""), part=part, visible=visible))
            elif not kind:
                raise BadPackage("broken-workbook", f"the sheet {attributes.get('name', '')[:40]} has no part")

    parse_part(package, root[0], start)
    return found


def percent_styles(package: Package, part: str) -> frozenset[int]:
    """Cell style numbers whose number format is a percentage. Raises BadPackage."""
    if not part:
        return frozenset()
    formats: dict[str, str] = {"9": "0%", "10": "0.00%"}
    used: list[str] = []
    inside = False

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal inside
        if tag == "numFmt":
            formats[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")
        elif tag == "cellXfs":
            inside = True
        elif tag == "xf" and inside:
            used.append(attributes.get("numFmtId", "0"))

    def end(tag: str) -> None:
        nonlocal inside
        if tag == "cellXfs":
            inside = False

    parse_part(package, part, start, end)
    return frozenset(i for i, key in enumerate(used) if "%" in _PERCENT_CODE.sub("", formats.get(key, "")))


def count_strings(package: Package, part: str) -> int:
    """How many shared strings there are. Raises BadPackage."""
    if not part:
        return 0
    count = 0

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal count
        if tag == "si":
            count += 1

    parse_part(package, part, start)
    return count


def _relations(package: Package, part: str) -> dict[str, tuple[str, str]]:
    """Relations of a part: id to (kind, target part); those that lead outside are left out."""
    folder, base = posixpath.split(part)
    name = f"{folder}/_rels/{base}.rels" if folder else f"_rels/{base}.rels"
    found: dict[str, tuple[str, str]] = {}

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "Relationship" and attributes.get("TargetMode") != "External":
            target = attributes.get("Target", "")
            target = (
                target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            )
            found[attributes.get("Id", "")] = (attributes.get("Type", "").rpartition("/")[2], target)

    parse_part(package, name, start)
    return found
