"""Faults of formulas, wherever they stand: cells, names, drop-downs, conditional formats, charts."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.conformity.formula_shape import Shape, shape
from tests.conformity.package_parts import MAIN, Element, Parts

FUNCTIONS = frozenset(
    "IF OR AND MAX MIN SUM SUMPRODUCT SUMIF INT SIGN ABS INDEX MATCH EXACT ISERROR TRUE FALSE".split()
)
"""What Excel 2010, LibreOffice 7 and the web spreadsheets share and the live quote was proved with."""
MOST_CHARACTERS, MOST_LEVELS, MOST_ARGUMENTS, MOST_IN_A_TEXT = 8_192, 64, 60, 255
NAME = re.compile(r"[^\W\d][\w.]*")
LIKE_A_CELL = re.compile(r"[A-Za-z]{1,3}\d{1,7}|[Rr]\d*[Cc]\d*|[RrCc]")
BUILT_IN = "_xlnm."
CHART = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"


def formula_faults(parts: Parts, any_function: bool) -> Iterator[str]:
    """Faults as `place: what`."""
    sheets = {name.casefold() for name in parts.sheets}
    names = {(one.get("name") or "").casefold() for one in _defined(parts)}
    yield from _name_faults(parts)
    for place, formula in _formulas(parts):
        for fault in faults_of(formula, any_function):
            yield f"{place}: {fault}"
        for name in shape(formula).sheets:
            if name.casefold() not in sheets:
                yield f"{place}: refers to a sheet that is not there, {name}"
        for name in shape(formula).names:
            if name.casefold() not in names:
                yield f"{place}: refers to a name that is not there, {name}"


def faults_of(formula: str, any_function: bool = False) -> Iterator[str]:
    """What is wrong with one formula by itself."""
    found = shape(formula)
    if len(formula) > MOST_CHARACTERS:
        yield f"a formula of {len(formula)} characters"
    if found.depth > MOST_LEVELS:
        yield f"a formula of {found.depth} levels"
    if found.arguments > MOST_ARGUMENTS:
        yield f"a function with {found.arguments} arguments"
    if found.longest_text > MOST_IN_A_TEXT:
        yield f"a text of {found.longest_text} characters in a formula"
    yield from _reference_faults(found, formula)
    if not any_function:
        for name in sorted(found.functions - FUNCTIONS):
            yield f"the function {name}"


def _reference_faults(found: Shape, formula: str) -> Iterator[str]:
    if found.foreign:
        yield f"{found.foreign!r} belongs to no formula of ours"
    elif found.unbalanced:
        yield f"brackets that do not match: {formula[:40]}"
    for error in found.errors:
        yield f"a dead reference {error}"


def _defined(parts: Parts) -> Iterator[Element]:
    return parts.book.iter(f"{MAIN}definedName")


def _name_faults(parts: Parts) -> Iterator[str]:
    seen: set[tuple[str, str]] = set()
    for one in _defined(parts):
        name, scope = one.get("name") or "", one.get("localSheetId") or ""
        if (name.casefold(), scope) in seen:
            yield f"name {name}: defined twice"
        seen.add((name.casefold(), scope))
        if not name.startswith(BUILT_IN) and (not NAME.fullmatch(name) or LIKE_A_CELL.fullmatch(name)):
            yield f"name {name}: not a name a spreadsheet takes"
        if scope and int(scope) >= len(parts.sheets):
            yield f"name {name}: of a sheet that is not there"
        if not (one.text or "").strip():
            yield f"name {name}: refers to nothing"


def _formulas(parts: Parts) -> Iterator[tuple[str, str]]:
    """Every formula with its place, without a leading equals sign."""
    for one in _defined(parts):
        yield f"name {one.get('name')}", one.text or ""
    for name, part in parts.sheets.items():
        for place, formula in _of_sheet(parts.root(part)):
            yield f"{name}!{place}", formula
    for part in parts.data:
        if part.startswith("xl/charts/") and part.endswith(".xml"):
            for one in parts.root(part).iter(f"{CHART}f"):
                yield part, one.text or ""


def _of_sheet(sheet: Element) -> Iterator[tuple[str, str]]:
    for cell in sheet.iter(f"{MAIN}c"):
        formula = cell.findtext(f"{MAIN}f")
        if formula is not None:
            yield cell.get("r", ""), formula
    for kind in ("dataValidation", "conditionalFormatting"):
        for rule in sheet.iter(f"{MAIN}{kind}"):
            for one in rule.iter():
                literal = kind == "dataValidation" and (one.text or "").startswith('"')
                if one.tag.rpartition("}")[2] in ("formula1", "formula2", "formula") and not literal:
                    yield rule.get("sqref", ""), one.text or ""
