"""Where the pieces of a sheet lie in its bytes, and areas of cells."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, Position, column_number
from quotekit.workbook.xml_parts import Attributes

ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_AREA = re.compile(r"\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})(?::\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6}))?")


class Span(NamedTuple):
    """A stretch of a part's bytes."""

    start: int
    end: int


class Rectangle(NamedTuple):
    """Cells of a sheet, 1-based, both ends included."""

    top: int
    left: int
    bottom: int
    right: int

    def holds(self, at: Position) -> bool:
        """True for a cell within."""
        return self.top <= at[0] <= self.bottom and self.left <= at[1] <= self.right

    @property
    def size(self) -> int:
        """How many cells it has."""
        return (self.bottom - self.top + 1) * (self.right - self.left + 1)


@dataclass(kw_only=True, slots=True)
class CellSpan:
    """A cell as it is written: its tag ends at `opened`, and `inside` are the spans of formula, value and text."""

    at: Position
    start: int
    opened: int
    closing: int = 0
    """Where its end tag begins; `opened` for a cell that has none."""
    end: int = 0
    attributes: Attributes
    inside: list[Span] = field(default_factory=list)
    value: str | None = None
    formula: str | None = None
    formula_span: Span | None = None
    formula_attributes: Attributes = field(default_factory=dict)
    rich: Span | None = None
    """What stands between the tags of its `is`."""


@dataclass(kw_only=True, slots=True)
class RowSpan:
    """A row that holds a cell asked for, or should: its own attributes and where its cells begin."""

    number: int
    start: int
    opened: int
    closing: int = 0
    attributes: Attributes
    cells: list[tuple[int, int]] = field(default_factory=list)
    """Column and start of each cell."""


@dataclass(kw_only=True)
class SheetCells:
    """What the pass found."""

    data: bytes
    table: Span = field(default_factory=lambda: Span(0, 0))
    """From after the opening tag of `sheetData` to its closing tag."""
    table_tag: Span = field(default_factory=lambda: Span(0, 0))
    prefix: str = ""
    cells: dict[Position, CellSpan] = field(default_factory=dict)
    rows: dict[int, RowSpan] = field(default_factory=dict)
    row_starts: list[tuple[int, int]] = field(default_factory=list)
    around: list[tuple[str, Attributes, Span]] = field(default_factory=list)
    """Elements outside the table, with their tags: name without prefix, attributes, span of the tag."""
    texts: dict[int, str] = field(default_factory=dict)
    """The text of those that have one, by their place in `around`."""


def rectangle_of(text: str) -> Rectangle | None:
    """An area such as `B2:D9`, one cell too; None for anything else.

    >>> rectangle_of("D9:$B$2"), rectangle_of("A:A")
    (Rectangle(top=2, left=2, bottom=9, right=4), None)
    """
    match = _AREA.fullmatch(text.upper())
    if match is None:
        return None
    rows = sorted((int(match[2]), int(match[4] or match[2])))
    columns = sorted((column_number(match[1]), column_number(match[3] or match[1])))
    if rows[1] > MOST_ROWS or columns[1] > MOST_COLUMNS:
        return None
    return Rectangle(rows[0], columns[0], rows[1], columns[1])


def position_of(text: str) -> Position | None:
    """A cell's row and column, None for what is no address.

    >>> position_of("C7"), position_of("C7:C8"), position_of("XFE1")
    ((7, 3), None, None)
    """
    area = rectangle_of(text) if ADDRESS.fullmatch(text) else None
    return area[:2] if area else None
