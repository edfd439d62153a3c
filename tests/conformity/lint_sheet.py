"""Faults of one sheet: order and doubles of rows and cells, values that are none, merged cells, drop-downs."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations
from math import isfinite
from typing import NamedTuple

from quotekit.workbook.addresses import column_number
from tests.conformity.package_parts import MAIN, RELATION, Element

ADDRESS = re.compile(r"([A-Z]{1,3})([1-9]\d{0,6})")
LINKED_CELL = re.compile(r"'([^'\\/?*\[\]:]|'')+'![A-Z]{1,3}[1-9]\d{0,6}")
NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?")
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
MOST_IN_A_LIST, MOST_IN_A_PROMPT, MOST_IN_A_TITLE = 255, 255, 32
MOST_IN_A_CELL = 32_767


class Box(NamedTuple):
    """A rectangle of cells, 1-based, ends included."""

    left: int
    top: int
    right: int
    bottom: int


def sheet_faults(sheet: Element, texts: int) -> Iterator[str]:
    """Faults as `cell: what`, without the sheet's name."""
    yield from _row_faults(sheet)
    for cell in sheet.iter(f"{MAIN}c"):
        for fault in _cell_faults(cell, texts):
            yield f"{cell.get('r')}: {fault}"
    yield from _merge_faults(sheet)
    for rule in sheet.iter(f"{MAIN}dataValidation"):
        for fault in _drop_down_faults(rule):
            yield f"{rule.get('sqref')}: {fault}"
    yield from _link_faults(sheet)
    if sheet.find(f"{MAIN}legacyDrawing") is not None:
        yield "A1: a comment or a form control"


def _link_faults(sheet: Element) -> Iterator[str]:
    """A link leads to one cell of a workbook beside it; whether that may be is the package's question."""
    if any(not len(links) for links in sheet.iter(f"{MAIN}hyperlinks")):
        yield "A1: a hyperlink is announced and none is there"
    for link in sheet.iter(f"{MAIN}hyperlink"):
        here, there = link.get("ref") or "", link.get("location") or ""
        if not (ADDRESS.fullmatch(here) and LINKED_CELL.fullmatch(there) and link.get(f"{RELATION}id")):
            yield f"{here or 'A1'}: a hyperlink to {there or 'nowhere'}"


def _row_faults(sheet: Element) -> Iterator[str]:
    last = 0
    for row in sheet.iter(f"{MAIN}row"):
        number = int(row.get("r") or 0)
        if not last < number <= LAST_ROW:
            yield f"A{number}: row {number} after row {last}"
        last = number
        yield from _order_faults(row, number)


def _order_faults(row: Element, number: int) -> Iterator[str]:
    last, seen = 0, set()
    for cell in row.iter(f"{MAIN}c"):
        address = cell.get("r") or ""
        parsed = ADDRESS.fullmatch(address)
        if parsed is None or int(parsed[2]) != number:
            yield f"{address or 'A1'}: a cell that is not of row {number}"
            continue
        column = column_number(parsed[1])
        if address in seen:
            yield f"{address}: the cell stands there twice"
        elif not last < column <= LAST_COLUMN:
            yield f"{address}: a cell after a later one"
        seen.add(address)
        last = column


def _cell_faults(cell: Element, texts: int) -> Iterator[str]:
    kind, value, formula = cell.get("t", "n"), cell.find(f"{MAIN}v"), cell.find(f"{MAIN}f")
    held = (value.text or "") if value is not None else None
    if formula is not None and (held is None or (held == "" and kind != "str")):
        yield "a formula without a stored value"
    elif kind == "e":
        yield f"an error value {held}"
    elif held is not None and (fault := _value_fault(kind, held, texts)):
        yield fault
    if formula is not None and formula.get("t"):
        yield f"a formula of kind {formula.get('t')}"


def _value_fault(kind: str, held: str, texts: int) -> str:
    """What is wrong with a stored value, empty for nothing."""
    if kind == "s" and not (held.isascii() and held.isdigit() and int(held) < texts):
        return f"text number {held} of {texts} texts"
    if kind == "b" and held not in ("0", "1"):
        return f"{held} is neither true nor false"
    if kind == "n" and not (NUMBER.fullmatch(held) and isfinite(float(held))):
        return f"{held!r} is no number"
    if kind == "str" and len(held) > MOST_IN_A_CELL:
        return f"a text of {len(held)} characters"
    return "" if kind in ("s", "b", "n", "str", "inlineStr", "d") else f"a cell of kind {kind}"


def _merge_faults(sheet: Element) -> Iterator[str]:
    boxes = [(one.get("ref", ""), box_of(one.get("ref", ""))) for one in sheet.iter(f"{MAIN}mergeCell")]
    for (name, one), (other_name, other) in combinations(boxes, 2):
        if one.left <= other.right and other.left <= one.right and one.top <= other.bottom and other.top <= one.bottom:
            yield f"{name}: merged cells overlap {other_name}"
    for name, one in boxes:
        if (one.left, one.top) == (one.right, one.bottom):
            yield f"{name}: one cell merged with itself"


def _drop_down_faults(rule: Element) -> Iterator[str]:
    first = rule.findtext(f"{MAIN}formula1") or ""
    if rule.get("type") == "list" and not first:
        yield "a list of nothing"
    if rule.get("type") == "list" and first.startswith('"') and len(first) - 2 > MOST_IN_A_LIST:
        yield f"a list of {len(first) - 2} characters"
    for limit, words in ((MOST_IN_A_PROMPT, ("prompt", "error")), (MOST_IN_A_TITLE, ("promptTitle", "errorTitle"))):
        for word in words:
            if len(rule.get(word, "")) > limit:
                yield f"{word} of {len(rule.get(word, ''))} characters"


def box_of(reference: str) -> Box:
    """A rectangle from `B2:D4` or `B2`."""
    first, _, last = reference.replace("$", "").partition(":")
    corners = [ADDRESS.fullmatch(corner) for corner in (first, last or first)]
    (left, top), (right, bottom) = ((column_number(c[1]), int(c[2])) if c else (0, 0) for c in corners)
    return Box(left, top, right, bottom)
