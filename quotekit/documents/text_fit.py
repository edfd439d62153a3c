"""How many lines a text takes in a width, so that a row can be made tall enough.

Wrapped text in merged cells does not grow its row, in any program. Widths are those of Arial (thousandths of the size),
with a little added for programs that set wider; unknown characters count as an `m`, East Asian ones as a square.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from decimal import ROUND_CEILING, Decimal
from functools import cache, lru_cache

from quotekit.documents.sheet import Cell, Look, Row, columns_of

_CLASSES = (
    (222, "ijl'"),
    (278, " !,./:;[\\]ftI|\u00a0"),
    (333, 'r()-`{}"\u201c\u201d\u2018\u2019*\u00b0'),
    (584, "\u00d7"),
    (556, "abdeghnopquL0123456789_#$?\u2013\u20ac\u00a3+<=>~"),
    (500, "cksvxyzJ"),
    (611, "FTZ"),
    (667, "ABEKPSVXY&"),
    (722, "CDHNRUw"),
    (778, "GOQ"),
    (833, "mM"),
    (944, "W"),
    (1000, "%@\u2014\u2026\u2610\u2611"),
)
_WIDTHS = {character: width for width, characters in _CLASSES for character in characters}
_UNKNOWN = 833
_SQUARE = 1040
_SPACE = 278
_BOLD = Decimal("1.08")
_SLACK = Decimal("1.04")
_POINTS_PER_CHARACTER = Decimal("5.25")
_PADDING = Decimal(4)
_BETWEEN = Decimal("3.75")
_LINE = Decimal("1.24")
_AROUND = Decimal("1.3")
_STEP = Decimal("0.75")
MOST_LINES = 16
"""Lines of one cell before its text goes on in a row of its own: a row holds at most 409 points."""


def lines_of(content: str, width: Decimal, look: Look) -> list[str]:
    """The lines a text breaks into in a width of points, longest words cut.

    >>> lines_of("one two three", Decimal(60), Look(size=10))
    ['one two', 'three']
    """
    return _lines(content, _room(width, look))


@cache
def width_of(characters: int | float, across: int = 1) -> Decimal:
    """Points for text in columns of so many characters altogether."""
    return max(Decimal(str(characters)) * _POINTS_PER_CHARACTER + _BETWEEN * across - _PADDING, Decimal(10))


def characters_for(content: str, look: Look) -> int:
    """How wide a column must be, in characters, to show a text on one line.

    >>> characters_for("$1,234.50", Look(size=10))
    9
    """
    return int(_ceiling((_breadth(content) * _scale(look) + _PADDING - _BETWEEN) / _POINTS_PER_CHARACTER))


def height_of(lines: int, look: Look) -> float:
    """Points a row needs for so many lines, in steps of three quarters, as screens draw it."""
    return _height(lines, look.size)


@cache
def _height(lines: int, size: float) -> float:
    points = lines * Decimal(str(size)) * _LINE + _AROUND
    return float(_ceiling(points / _STEP) * _STEP)


def fitted(
    cells: Sequence[Cell], widths: Sequence[float], looks: Mapping[str, Look], *, keep: bool = False, least: float = 0
) -> Row:
    """A row as tall as its tallest text; `least` points at the least."""
    heights = [least]
    for column, cell in columns_of(cells):
        look = looks[cell.style]
        lines = 1
        if isinstance(cell.content, str):
            characters = sum(widths[column : column + cell.across])
            room = _inside(characters, cell.across, look.size, look.bold, look.indent)
            lines = _count(cell.content, room)
        heights.append(height_of(lines, look))
    return Row(cells=tuple(cells), height=max(heights), keep_with_next=keep)


def in_pieces(content: str, width: Decimal, look: Look, most: int = MOST_LINES) -> Iterator[str]:
    """A long text as even pieces of at most so many lines each; a short one whole."""
    room = _room(width, look)
    lines = [(line, number == 0) for part in content.split("\n") for number, line in enumerate(_wrapped(part, room))]
    each = -(-len(lines) // -(-len(lines) // most))
    for start in range(0, len(lines), each):
        first, *more = lines[start : start + each]
        yield first[0] + "".join(f"\n{line}" if new else f" {line}" for line, new in more)


@cache
def _inside(characters: float, across: int, size: float, bold: bool, indent: int) -> int:
    """The room for text in columns, in thousandths of its size."""
    return int((width_of(characters, across) - Decimal(7) * indent) / _scale_of(size, bold))


@lru_cache(maxsize=16384)
def _count(content: str, room: int) -> int:
    """How many lines; a text stands in several places, and a layout is tried more than once."""
    return len(_lines(content, room))


def _lines(content: str, room: int) -> list[str]:
    return [line for part in content.split("\n") for line in _wrapped(part, room)]


def _wrapped(content: str, room: int) -> Iterator[str]:
    if _breadth(content) <= room:
        yield content
        return
    line: list[str] = []
    used = 0
    for word in _words(content, room):
        wide = _breadth(word)
        if line and used + _SPACE + wide > room:
            yield " ".join(line)
            line, used = [word], wide
        else:
            used += (_SPACE if line else 0) + wide
            line.append(word)
    yield " ".join(line)


def _words(content: str, room: int) -> Iterator[str]:
    """Words, those wider than the line cut where they would be."""
    for word in content.split(" "):
        rest = word
        if _breadth(word) > room:
            while (fit := _fitting(rest, room)) < len(rest):
                yield rest[:fit]
                rest = rest[fit:]
        yield rest


def _fitting(word: str, room: int) -> int:
    """How many characters go on one line, at least one."""
    used = 0
    for number, character in enumerate(word):
        used += _width(character)
        if used > room and number:
            return number
    return len(word)


def _room(width: Decimal, look: Look) -> int:
    """A width of points in thousandths of the type size."""
    return int(width / _scale(look))


@lru_cache(maxsize=65536)
def _breadth(content: str) -> int:
    return sum(map(_width, content))


def _scale(look: Look) -> Decimal:
    return _scale_of(look.size, look.bold)


@cache
def _scale_of(size: float, bold: bool) -> Decimal:
    return Decimal(str(size)) / 1000 * _SLACK * (_BOLD if bold else 1)


def _ceiling(value: Decimal) -> Decimal:
    return value.to_integral_value(ROUND_CEILING)


@cache
def _width(character: str) -> int:
    known = _WIDTHS.get(character)
    if known is not None:
        return known
    if unicodedata.east_asian_width(character) in "WF":
        return _SQUARE
    plain = unicodedata.normalize("NFD", character)[0]
    return _WIDTHS.get(plain, _UNKNOWN)
