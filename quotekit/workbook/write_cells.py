"""Cells of a sheet value in the file: text stays text, numbers stay exact, a formula has its value beside it."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from io import BytesIO
from typing import Any

from xlsxwriter.url import Url
from xlsxwriter.worksheet import re_dynamic_function

from quotekit.documents.half_letters import HALF
from quotekit.documents.sheet import Cell, Look, Picture, Sheet, WorkbookValue
from quotekit.workbook.cannot_write import done, refused
from quotekit.workbook.printable import CONTROL, printable
from quotekit.workbook.write_choices import write_choices

_LINES = {"": 0, "thin": 1, "medium": 2}
_UPRIGHT = {"top": "top", "middle": "vcenter", "bottom": "bottom"}
_MOST_DIGITS = 15
_LONGEST_TEXT = 32_767
_LONGEST_FORMULA = 8_192
_ROOM = 4
_TEXT = "@"
_DAY_ZERO = date(1899, 12, 30)
_ERRORS = frozenset({"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"})


class Formats:
    """Cell formats of the file, one for each style and number format in use."""

    def __init__(self, book: Any, value: WorkbookValue) -> None:
        self._book, self._value = book, value
        self._made: dict[tuple[str, str], Any] = {}

    def of(self, cell: Cell) -> Any:
        """The format of a cell; text is marked as text, so that a program never reads it as something else.

        A formula is not: a cell marked as text shows the formula itself once it is edited.
        """
        number = cell.format or self._value.formats.get(cell.kind, "")
        if cell.formula:
            number = "" if number == _TEXT else number
        elif cell.kind == "text":
            number = number or _TEXT
        key = (cell.style, number)
        if key not in self._made:
            self._made[key] = self._book.add_format(_format(self._value.looks[cell.style], number, self._value.font))
        return self._made[key]


def _format(look: Look, number: str, font: str) -> dict[str, Any]:
    wanted: dict[str, Any] = {
        "font_name": font,
        "font_size": look.size,
        "bold": look.bold,
        "italic": look.italic,
        "underline": int(look.underline),
        "font_color": look.colour,
        "bg_color": look.fill,
        "align": look.align or ("left" if look.indent else None),
        "valign": _UPRIGHT[look.upright],
        "text_wrap": look.wrap,
        "indent": look.indent,
        "num_format": number,
        "top": _LINES[look.above] or int(look.box),
        "bottom": _LINES[look.below] or int(look.box),
        "left": int(look.box),
        "right": int(look.box),
    }
    kept = {name: setting for name, setting in wanted.items() if setting}
    return kept | ({"locked": False} if look.unlocked else {})


def write_cell(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, formats: Formats) -> None:
    """One cell with its format, what may be chosen in it, and what is said beside it."""
    form = formats.of(cell)
    if cell.across > 1:
        done(page.merge_in_row(row, column, column + cell.across - 1, form), sheet, (row, column))
    if isinstance(cell.content, Picture):
        _place_picture(page, sheet, row, column, cell, cell.content)
    elif cell.formula:
        _write_formula(page, sheet, row, column, cell, form)
    elif cell.link and isinstance(cell.content, str):
        done(_write_link(page, cell, cell.content, (row, column), form), sheet, (row, column))
    else:
        done(_write_content(page, sheet, row, column, cell, form), sheet, (row, column))
    if cell.choices or cell.prompt:
        write_choices(page, sheet, row, column, cell)


def _write_content(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, form: Any) -> Any:
    """The one right way to write a content: a text is never looked at for formulas, links or numbers."""
    content = cell.content
    if content is None:
        return page.write_blank(row, column, None, form)
    if isinstance(content, str):
        if len(content) > _LONGEST_TEXT:
            raise refused(sheet, (row, column), f"a text of more than {_LONGEST_TEXT:,} characters")
        return page.write_string(row, column, HALF.sub("?", content), form)
    if isinstance(content, date):
        moment = datetime(content.year, content.month, content.day)
        return page.write_datetime(row, column, moment, form)
    assert isinstance(content, Decimal | int)
    return page.write_number(row, column, _exact(content, sheet, row, column), form)


def _write_link(page: Any, cell: Cell, words: str, at: tuple[int, int], form: Any) -> Any:
    """A text that leads to a cell of another workbook; the words are written as they are."""
    link = object.__new__(Url)
    vars(link).update(vars(_url(cell.link)))  # a copy, of which `copy` makes much more work
    link.text = HALF.sub("?", words)
    return page.write_url(*at, link, form)


@lru_cache(maxsize=4096)
def _url(address: str) -> Url:
    """An address taken apart, which is slow; a costing names most cells several times."""
    return Url(f"external:{address}")


def _write_formula(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, form: Any) -> None:
    """A formula and its value; without one, a reader that does not calculate would find nothing."""
    if not cell.formula.startswith("=") or len(cell.formula) - 1 > _LONGEST_FORMULA:
        raise refused(sheet, (row, column), f"a formula starts with = and has at most {_LONGEST_FORMULA} characters")
    if re_dynamic_function.search(cell.formula):
        raise refused(sheet, (row, column), f"this formula would be stored as an array: {cell.formula[:60]}")
    stored = _stored(cell, sheet, row, column)
    done(page.write_formula(row, column, cell.formula, form, stored), sheet, (row, column))


def _stored(cell: Cell, sheet: Sheet, row: int, column: int) -> Any:
    """The value beside a formula, as the file holds it."""
    content = cell.content
    if content is None or content == "":
        raise refused(sheet, (row, column), f"this formula has no value beside it: {cell.formula[:60]}")
    if isinstance(content, str):
        if content in _ERRORS or len(content) > _LONGEST_TEXT or CONTROL.search(content):
            raise refused(sheet, (row, column), f"a formula cannot have this text as its value: {content[:60]!r}")
        return content
    if isinstance(content, date):
        return (content - _DAY_ZERO).days
    assert isinstance(content, Decimal | int)
    return _exact(content, sheet, row, column)


def _exact(content: Decimal | int, sheet: Sheet, row: int, column: int) -> float | int:
    value = Decimal(content)
    digits = len(value.normalize().as_tuple().digits)
    if not value.is_finite() or digits > _MOST_DIGITS:
        raise refused(sheet, (row, column), f"{content} has more than {_MOST_DIGITS} digits")
    return int(value) if value == value.to_integral_value() else float(value)


def _place_picture(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, shown: Picture) -> None:
    """As large as its cell lets it be, its own shape kept, never enlarged."""
    wide = sum(int(width * 7 + 5) for width in sheet.widths[column : column + cell.across]) - 2 * _ROOM
    high = int((sheet.rows[row].height or 15.0) * 4 / 3) - 2 * _ROOM
    scale = min(wide / shown.width, high / shown.height, 1.0)
    left = wide - int(shown.width * scale) + _ROOM
    options = {
        "image_data": BytesIO(shown.data),
        "x_scale": scale,
        "y_scale": scale,
        "x_offset": left,
        "y_offset": _ROOM,
        "description": printable(shown.alt),
        "object_position": 1,
    }
    done(page.insert_image(row, column, f"picture.{shown.extension}", options), sheet, (row, column))
