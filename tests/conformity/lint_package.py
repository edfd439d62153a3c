"""Faults of the package: parts and links we never write, a text too long, properties that say too much."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from xml.etree import ElementTree

from tests.conformity.package_parts import Element, Parts

NEVER = {
    "vbaproject": "a macro",
    "macrosheets": "a macro",
    "externallinks": "a link to another workbook",
    "connections": "a connection",
    "querytables": "a connection",
    "docprops/custom": "a custom property",
    "customxml": "hidden data",
    "comments": "a comment",
    "persons": "a comment's author",
    "activex": "a control",
    "ctrlprops": "a control",
    "embeddings": "an embedded file",
    "printersettings": "a printer's settings",
    "webextensions": "an add-in",
}
"""What a part's name holds, and what it is; one of these words anywhere in the name, in lower case."""
XML = (".xml", ".rels", ".vml")
MOST_IN_A_CELL = 32_767
SHEET_NAME = re.compile(r"(?!')[^\\/?*\[\]:]{1,31}(?<!')")
WORKBOOK = re.compile(r"(?!\\\\|//)[^:\"<>#|?* ]+\.xlsx", re.IGNORECASE)
"""A relative path with what an address can't hold as its code."""
MIDNIGHT = re.compile(r"\d{4}-\d\d-\d\dT00:00:00Z")
ALLOWED_APP = {"Application", "DocSecurity", "ScaleCrop", "LinksUpToDate", "SharedDoc", "HyperlinksChanged",
               "AppVersion", "HeadingPairs", "TitlesOfParts"}  # fmt: skip


def package_faults(parts: Parts, shop: str | None, *, may_link: bool) -> Iterator[str]:
    """Faults as `part: what`; `may_link` to workbooks, in the shop's own papers."""
    for name, count in Counter(name.lower() for name in parts.names).items():
        if count > 1:
            yield f"{name}: the part stands there twice"
        for word, what in NEVER.items():
            if word in name:
                yield f"{name}: {what}"
    for name, relation in parts.all_relations():
        if relation.get("TargetMode", "Internal") != "Internal" and not (may_link and _to_a_workbook(relation)):
            yield f"{name}: a link to the outside, {relation.get('Target')}"
    yield from _xml_faults(parts)
    yield from _name_faults(parts)
    for number, text in enumerate(parts.texts):
        if len(text) > MOST_IN_A_CELL:
            yield f"text {number}: {len(text)} characters"
    if shop is not None:
        yield from _property_faults(parts, shop)


def _to_a_workbook(relation: Element) -> bool:
    """A hyperlink to a workbook by its path, not to a place on a network."""
    target = relation.get("Target") or ""
    return relation.get("Type", "").endswith("/hyperlink") and bool(WORKBOOK.fullmatch(target))


def _xml_faults(parts: Parts) -> Iterator[str]:
    for name, data in parts.data.items():
        if name.endswith(XML):
            if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
                yield f"{name}: a document type"
            try:
                ElementTree.fromstring(data)
            except ElementTree.ParseError as broken:
                yield f"{name}: {broken}"


def _name_faults(parts: Parts) -> Iterator[str]:
    names = [*parts.sheets]
    for name, count in Counter(name.casefold() for name in names).items():
        if count > 1:
            yield f"{name}: two sheets of one name"
    for name in names:
        if not SHEET_NAME.fullmatch(name):
            yield f"{name}: not a name of a sheet"


def _property_faults(parts: Parts, shop: str) -> Iterator[str]:
    """Author and company are the shop; the dates are midnight of the quote's; nothing else is said."""
    for name, allowed in (("docProps/core.xml", set()), ("docProps/app.xml", ALLOWED_APP)):
        for one in parts.root(name) if name in parts.data else ():
            tag, text = one.tag.rpartition("}")[2], "".join(one.itertext()).replace("_x005F_", "_")
            if tag in ("creator", "lastModifiedBy", "Company", "Manager"):
                fine = text == shop or not text
            elif tag in ("created", "modified"):
                fine = MIDNIGHT.fullmatch(text) is not None
            else:
                fine = tag in allowed or not text
            if not fine:
                yield f"{name}: property {tag} says {text!r}"
