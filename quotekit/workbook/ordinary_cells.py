"""The rows of a sheet found by pattern, where all are written as spreadsheets write them.

A parser of XML calls back four times for each cell, which is most of the time that a large sheet takes. Nearly every
sheet has nothing but plain cells: address, style, kind, a formula, a value, in this order. These are found by a pattern
that lets nothing else through, so that what it takes is well-formed and means the same to a parser. What is around the
table of cells the parser reads; and where a single row is otherwise, or anything is to be refused, it reads all.
Each byte is taken as one character here, so that places are the same; texts are decoded where they are looked at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from typing import NamedTuple

_TEXT = r"(?:[^<>&\x00-\x08\x0b-\x1f\x7f]|&(?:amp|lt|gt|quot|apos);)"
_FORMULA = (
    r'<f(?: aca="(?:false|true)")?(?: t="[a-zA-Z]{1,12}")?(?: ref="[A-Z0-9:]{1,30}")?(?: ca="1")?(?: si="[0-9]{1,9}")?'
    rf"(?: ?/>|>{_TEXT}*+</f>)"
)
_CELL = re.compile(
    r'(<c r="([A-Z]{1,3})([1-9][0-9]{0,6})"(?: s="(0|[1-9][0-9]{0,8})")?(?: t="(s|n|str|inlineStr|b|e|d)")?'
    rf"(?: ?/>|>({_FORMULA})?(<v ?/>|<v>({_TEXT}{{0,300}}+)</v>)?"
    rf'(<is><t(?: xml:space="preserve")?>({_TEXT}*+)</t></is>)?</c>))'
)
_ATTRIBUTE = re.compile(r' ([A-Za-z_][A-Za-z0-9_.:-]*)="([^"<&\x00-\x1f]*)"')
_SPACES = re.compile(r"[ \t\r\n]*+")
_ROW, _ROW_END, _TABLE, _TABLE_END = "<row", "</row>", b"<sheetData>", b"</sheetData>"


class Parts(NamedTuple):
    """A sheet's XML around the inside of its table of cells, and where that begins and ends."""

    around: bytes
    begin: int
    end: int


class OrdinaryRow(NamedTuple):
    """A row's attributes and cells; `at` is where the first of these begins.

    A cell as it is written, then letters and row of its address, style, kind, formula's element, value's element and
    the value in it, inline text's element and the text in it; empty where it has none.
    """

    attributes: dict[str, str]
    cells: list[tuple[str, str, str, str, str, str, str, str, str, str]]
    at: int


class NotOrdinary(Exception):
    """Something is written otherwise: a parser must say what it means."""


def table_of_cells(data: bytes) -> Parts:
    """Where the only table of cells stands, and what is around it.

    Raises NotOrdinary where there is a comment, a second instruction, a character that is none, or not one table.
    """
    begin, end = data.find(_TABLE) + len(_TABLE), data.find(_TABLE_END)
    odd = b"<!" in data or data.rfind(b"<?") > 0
    if odd or not len(_TABLE) <= begin <= end or data.count(b"sheetData") != 2 or not _is_text(data):
        raise NotOrdinary
    return Parts(around=data[:begin] + data[end:], begin=begin, end=end)


def _is_text(data: bytes) -> bool:
    """Whether bytes are UTF-8 of characters that XML knows."""
    if data.isascii():
        return True
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return b"\xef\xbf\xbe" not in data and b"\xef\xbf\xbf" not in data


def decoded(raw: str) -> str:
    """A text found in the sheet as its author sees it.

    >>> decoded("1 &lt; 2"), decoded("GrÃ¶Ã\x9fe")
    ('1 < 2', 'Größe')
    """
    text = raw if raw.isascii() else raw.encode("latin-1").decode("utf-8")
    return unescape(text) if "&" in text else text


def ordinary_rows(text: str, begin: int, end: int) -> Iterator[OrdinaryRow]:
    """Every row between two places; raises NotOrdinary at the first that is written otherwise."""
    at = _after_spaces(text, begin)
    while at < end:
        close = text.find(">", at, end)
        if close < 0 or not text.startswith(_ROW, at):
            raise NotOrdinary
        empty = text[close - 1] == "/"
        attributes = _attributes(text[at + len(_ROW) : close - empty].removesuffix(" "))
        if empty:
            yield OrdinaryRow(attributes, [], close)
            at = _after_spaces(text, close + 1)
            continue
        last = text.find(_ROW_END, close, end)
        if last < 0:
            raise NotOrdinary
        inside = text[close + 1 : last]
        cells = _CELL.findall(inside)
        if sum([len(cell[0]) for cell in cells]) != len(inside):
            raise NotOrdinary
        yield OrdinaryRow(attributes, cells, close + 1)
        at = _after_spaces(text, last + len(_ROW_END))


def _after_spaces(text: str, at: int) -> int:
    found = _SPACES.match(text, at)
    return found.end() if found else at


def _attributes(text: str) -> dict[str, str]:
    found = _ATTRIBUTE.findall(text)
    attributes = dict(found)
    # a name, its value, a space, an equals sign and two quotes
    if len(attributes) < len(found) or sum([len(name) + len(value) + 4 for name, value in found]) != len(text):
        raise NotOrdinary
    return attributes
