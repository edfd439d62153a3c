"""Parts of a template that are carried over as they stand: drawings with their pictures, shapes and charts.

A part comes with all parts it names. Rows in it move with the rows of its sheet: a picture keeps its size, a shape
drawn around rows stretches with them; the ranges of a chart follow as formulas do.
"""

from __future__ import annotations

import posixpath
import re
from html import escape, unescape
from xml.parsers import expat

from quotekit.workbook.moved_formula import Moves, moved_formula
from quotekit.workbook.package import Package
from quotekit.workbook.row_map import RowMap
from quotekit.workbook.xml_parts import Attributes, parse_small_part, parse_xml, relations_part

_ANCHOR = re.compile(r"<(?:\w+:)?(?:oneCell|twoCell)Anchor\b.*?</(?:\w+:)?(?:oneCell|twoCell)Anchor>", re.S)
_ROW = re.compile(r"(<(?:\w+:)?row>\s*)([0-9]+)(\s*</)")
_FORMULA = re.compile(r"(<(?:\w+:)?f>)([^<]*)(</)")
_TARGET = re.compile(r'(\bTarget=")([^"]*)(")')


class CarriedParts:
    """Parts taken from a template into a new package, each under a name of its own, with their kinds."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._known: dict[str, str] = {}
        self._count = 0
        self.parts: dict[str, bytes] = {}
        self.kinds: dict[str, str] = {}
        """Content types by new name."""
        self._overrides, self._defaults = content_kinds(package)

    def carry(self, part: str, sheet: str, moves: Moves) -> str:
        """Take a part, and all it names, for a sheet whose rows move; its new name."""
        fixed = not part.lower().endswith((".xml", ".vml"))
        if fixed and part in self._known:
            return self._known[part]
        self._count += 1
        folder, base = posixpath.split(part)
        name = f"{folder}/kept{self._count}-{base}"
        self._known[part] = name
        data = self._package.read(part)
        if part.lower().endswith(".xml"):
            data = _moved(part, data, sheet, moves)
        self.parts[name] = data
        self.kinds[name] = self._overrides.get(f"/{part}".lower()) or self._defaults.get(
            part.rpartition(".")[2].lower(), ""
        )
        relations = relations_part(part)
        if self._package.holds(relations):
            text = self._package.read(relations).decode("utf-8")
            self.parts[relations_part(name)] = self._renamed(text, folder, sheet, moves).encode("utf-8")
        return name

    def _renamed(self, relations: str, folder: str, sheet: str, moves: Moves) -> str:
        """Relations that name the new parts; what lies outside, or is not there, stays named as it is."""

        def rename(match: re.Match[str]) -> str:
            target = unescape(match[2])
            whole = target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            if not self._package.holds(whole):
                return match[0]
            return f"{match[1]}/{escape(self.carry(whole, sheet, moves))}{match[3]}"

        return _TARGET.sub(rename, relations)


def content_kinds(package: Package) -> tuple[dict[str, str], dict[str, str]]:
    """Content types of single parts, and of endings, in small letters."""
    overrides: dict[str, str] = {}
    defaults: dict[str, str] = {}

    def start(tag: str, attributes: Attributes) -> None:
        if tag == "Override":
            overrides[attributes.get("PartName", "").lower()] = attributes.get("ContentType", "")
        elif tag == "Default":
            defaults[attributes.get("Extension", "").lower()] = attributes.get("ContentType", "")

    parse_small_part(package, "[Content_Types].xml", start)
    return overrides, defaults


def check_parts(package: Package) -> None:
    """Every XML part is well formed and has no document type. Raises BadPackage."""
    for name, info in package.members.items():
        if name.endswith((".xml", ".rels", ".vml")):
            parser = expat.ParserCreate()
            parse_xml(info.filename, package.read(name), parser)


def _moved(part: str, data: bytes, sheet: str, moves: Moves) -> bytes:
    text = data.decode("utf-8")
    if "/charts/" in part.lower():
        text = _FORMULA.sub(
            lambda found: (
                found[1] + escape(moved_formula(f"={unescape(found[2])}", sheet, moves)[1:], False) + found[3]
            ),
            text,
        )
    elif "/drawings/" in part.lower() and sheet.casefold() in moves:
        rows = moves[sheet.casefold()].rows
        text = _ANCHOR.sub(lambda found: _moved_anchor(found[0], rows), text)
    return text.encode("utf-8")


def _moved_anchor(anchor: str, rows: RowMap) -> str:
    """An anchor at its new rows, which count from zero: a picture keeps its height in rows."""
    old = [int(found[2]) for found in _ROW.finditer(anchor)]
    if not old:
        return anchor
    first = rows.from_row(old[0] + 1) - 1
    new = [first + row - old[0] for row in old]
    whole = rows.span(old[0] + 1, old[-1] + 1)
    if not re.search(r"<(?:\w+:)?pic>|<(?:\w+:)?pic\s", anchor) and whole is not None:
        new = [whole[0] - 1, whole[1] - 1][: len(old)]
    places = iter(new)
    return _ROW.sub(lambda found: f"{found[1]}{next(places)}{found[3]}", anchor)
