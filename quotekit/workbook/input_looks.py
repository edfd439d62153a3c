"""How an input workbook looks: one font, a header that stays in view, widths by what a column holds."""

from __future__ import annotations

from typing import Any

from quotekit.workbook.column import AMOUNTS, Column, Kind
from quotekit.workbook.input_sheet import Guide
from quotekit.workbook.typed_cells import FORMATS, TEXT

FONT = {"font_name": "Arial", "font_size": 10, "font_scheme": "none"}
_HEADER = {"bold": True, "text_wrap": True, "valign": "top", "bg_color": "#E7E6E1", "bottom": 1, "num_format": TEXT}
_OPTIONAL = {"bold": False, "italic": True}
_HELP = {"italic": True, "font_color": "#555555", "num_format": TEXT}
_CELL = {"valign": "top"}
GUIDE_WIDTHS = 24.0, 52.0
"""Narrowest and widest column that fills itself in."""
_WIDE: frozenset[Kind] = frozenset({"text", "codes", "quantities", "words"})
_NARROW: frozenset[Kind] = AMOUNTS - {"credit"} | {"yes/no"}


class Formats:
    """The cell formats of one file, each made once."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, Any], ...], Any] = {}

    def header(self, *, required: bool) -> Any:
        """A header cell: bold where the column must be filled, italic where it may stay blank."""
        return self._of(_HEADER if required else _HEADER | _OPTIONAL)

    def help(self, *, wrap: bool = False) -> Any:
        """A line of explanation."""
        return self._of(_HELP | _CELL | {"text_wrap": True} if wrap else _HELP)

    def title(self) -> Any:
        """The first line of a page."""
        return self._of({"bold": True, "font_size": 14})

    def text(self, *, bold: bool = False) -> Any:
        """Plain text that wraps."""
        return self._of(_CELL | {"text_wrap": True, "num_format": TEXT} | ({"bold": True} if bold else {}))

    def cell(self, number_format: str) -> Any:
        """A cell to fill in; text wraps, so that nothing typed is hidden."""
        wrap = {"text_wrap": True} if number_format == TEXT else {"align": "right", "indent": 1}
        return self._of(_CELL | {"num_format": number_format} | wrap)

    def guide(self) -> Any:
        """A cell that fills itself in; a text longer than the column runs on into a free cell beside it."""
        return self._of(_HELP | _CELL)

    def count(self) -> Any:
        """A whole number that nobody types."""
        return self._of(_CELL | {"num_format": "0"})

    def value(self, number_format: str) -> Any:
        """A cell to fill in beside its name: whatever it holds starts at the left."""
        return self._of(_CELL | {"num_format": number_format, "align": "left", "text_wrap": True})

    def _of(self, properties: dict[str, Any]) -> Any:
        key = tuple(sorted(properties.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(FONT | properties)
        return self._made[key]


def column_format(kind: Kind) -> str:
    """The number format of a whole column."""
    return FORMATS.get(kind, TEXT)


def letters(text: str) -> float:
    """About how wide a text is, in letters of usual width: capitals are wider.

    >>> letters("belt"), letters("BELT")
    (4.0, 5.0)
    """
    return len(text) + sum(map(str.isupper, text)) / 4


def lines_in(text: str, width: float) -> int:
    """The lines a text takes in a column, by words.

    >>> lines_in("Auger shaft bushing", 12.0), lines_in("0.4", 9.0)
    (2, 1)
    """
    lines, used = 1, 0.0
    for word in text.split():
        if used and used + 1 + letters(word) > width:
            lines, used = lines + 1, letters(word)
        else:
            used += letters(word) + (1 if used else 0)
    return lines


def height_of(lines: int) -> float:
    """The height of a row of so many lines."""
    return 13.0 * lines + 2.0


def width_of(column: Column | Guide, texts: list[str]) -> float:
    """The width of a column: enough for its content, within bounds by what it holds.

    >>> width_of(Column(header="Net hours", kind="hours", help=""), ["0.4"])
    10.0
    """
    if isinstance(column, Guide):
        widest = max((letters(text) + 1.5 for text in column.texts.values()), default=0.0)
        return max(GUIDE_WIDTHS[0], min(GUIDE_WIDTHS[1], widest))
    least, most = (18, 46) if column.kind in _WIDE else (10, 12) if column.kind in _NARROW else (12, 26)
    longest = max((letters(text) for text in texts), default=0.0)
    longest_word = max(len(word) for word in column.header.split())
    return float(max(least, longest_word + 3, min(most, longest + 1.5)))
