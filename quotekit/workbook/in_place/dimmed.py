"""A sheet's bytes with the cells that nobody asked for made blanks, so that the slow pass over it meets few of them.

Places stay where they are: a blank stands for each byte that is taken away. It leans on what XML forbids: outside
comments and the like, a `<` begins a tag and nothing else, also within attributes. A sheet that holds any comment, or
cells whose place is only counted, is left as it is there.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Collection, Iterator

from quotekit.workbook.in_place.spans import Span, rectangle_of

TAG = re.compile(rb"<(?:[^\"'>]|\"[^\"]*\"|'[^']*')*>")
"""A whole tag; a `>` within an attribute does not end it."""

_ROW = re.compile(rb"<([\w.-]+:)?row(?=[\s/>])")
_NUMBER = re.compile(rb"\sr\s*=\s*[\"'](\d{1,7})[\"']")
_ADDRESSED = re.compile(rb"\sr\s*=\s*[\"'][A-Z]")
_FILLS = re.compile(rb"<(?:[\w.-]+:)?f\s[^<]*?\sref\s*=\s*[\"']([A-Z0-9:$]+)[\"']")


def dimmed(data: bytes, wanted_rows: Collection[int], *, formulas: bool) -> bytes:
    """The sheet with blanks in place of its cells, but for rows that are wanted and, where asked for, formulas.

    >>> dimmed(b'<row r="1"><c r="A1"/><c r="B1"><f>1</f></c></row>', (), formulas=True)
    b'<row r="1">            <c r="B1"><f>1</f></c></row>'
    """
    head = data.find(b"?>") + 2 if data[:8].lstrip(b"\xef\xbb\xbf").startswith(b"<?xml") else 0
    if b"<!" in data or data.find(b"<?", head) >= 0:
        return data
    filled = _Rows(data if formulas else b"")
    pieces, position, number = [], 0, 0
    for match in _ROW.finditer(data):
        if match.start() < position:
            return data
        opened = _tag_end(data, match.start())
        tag = data[match.start() : opened]
        told = _NUMBER.search(tag)
        number = int(told[1]) if told else number + 1
        if tag.endswith(b"/>") or number in wanted_rows or number in filled:
            continue
        closing = data.find(b"</" + (match[1] or b"") + b"row", opened)
        kept = list(_formula_cells(data, Span(opened, closing), match[1] or b"")) if formulas else []
        if closing < 0 or None in kept:
            continue
        pieces.append(data[position:opened])
        position = opened
        for cell in filter(None, kept):
            pieces += [b" " * (cell.start - position), data[cell.start : cell.end]]
            position = cell.end
        pieces.append(b" " * (closing - position))
        position = closing
    return b"".join([*pieces, data[position:]])


def _formula_cells(data: bytes, row: Span, prefix: bytes) -> Iterator[Span | None]:
    """The cells of a row that hold a formula; None where one does not tell its place or is not found."""
    formula, end_tag = b"<" + prefix + b"f", b"</" + prefix + b"c>"
    at = data.find(formula, row.start, row.end)
    while at >= 0:
        if data[at + len(formula) : at + len(formula) + 1] in (b" ", b">", b"/", b"\n", b"\r", b"\t"):
            start = _cell_before(data, row.start, at, prefix)
            end = data.find(end_tag, at, row.end)
            if start < 0 or end < 0 or not _ADDRESSED.search(data, start, _tag_end(data, start)):
                yield None
                return
            yield Span(start, end + len(end_tag))
            at = end
        at = data.find(formula, at + 1, row.end)
    if prefix == b"" and data.find(b":f", row.start, row.end) >= 0:
        yield None


def _cell_before(data: bytes, low: int, high: int, prefix: bytes) -> int:
    """Where the cell begins that a formula stands in."""
    opening = b"<" + prefix + b"c"
    at = data.rfind(opening, low, high)
    while at >= 0 and data[at + len(opening) : at + len(opening) + 1] not in (b" ", b">", b"\n", b"\r", b"\t"):
        at = data.rfind(opening, low, at)
    return at


def _tag_end(data: bytes, start: int) -> int:
    match = TAG.match(data, start)
    return match.end() if match else len(data)


class _Rows:
    """Rows that formulas of several cells fill."""

    def __init__(self, data: bytes) -> None:
        areas = (rectangle_of(match[1].decode()) for match in _FILLS.finditer(data))
        spans = sorted((area.top, area.bottom) for area in areas if area is not None and area.size > 1)
        merged: list[list[int]] = []
        for top, bottom in spans:
            if merged and top <= merged[-1][1] + 1:
                merged[-1][1] = max(merged[-1][1], bottom)
            else:
                merged.append([top, bottom])
        self.tops = [top for top, _ in merged]
        self.bottoms = [bottom for _, bottom in merged]

    def __contains__(self, row: int) -> bool:
        place = bisect_right(self.tops, row) - 1
        return place >= 0 and row <= self.bottoms[place]
