"""A formula whose rows moved: its references follow them, as they do when a person inserts or deletes rows.

A range that ends in a repeated row covers every copy of it, so that a sum under a table takes in all of its lines.
A reference to a row that was left out becomes #REF!, as in the spreadsheet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from quotekit.record import record
from quotekit.workbook.row_map import Copy, RowMap

_SHEET = r"(?:(?P<sheet>'(?:[^']|'')+'|[^'!:]+)!)?"
_CELLS = re.compile(
    _SHEET
    + r"(?P<left>\$?[A-Z]{1,3}\$?)(?P<top>[1-9]\d{0,6})(?::(?P<right>\$?[A-Z]{1,3}\$?)(?P<bottom>[1-9]\d{0,6}))?",
    re.I,
)
_ROWS = re.compile(_SHEET + r"(?P<left>\$?)(?P<top>[1-9]\d{0,6}):(?P<right>\$?)(?P<bottom>[1-9]\d{0,6})")


@record
class SheetMove:
    """What becomes of a template's sheet: its rows, and its name."""

    rows: RowMap
    title: str


Moves = Mapping[str, SheetMove]
"""By the template's sheet names in small letters."""


def moved_formula(formula: str, sheet: str, moves: Moves, copy: Copy | None = None) -> str:
    """The formula of a cell of a sheet, its references moved; `copy` where the cell stands in a repeated stretch.

    >>> from quotekit.workbook.row_map import Stretch
    >>> moves = {"bill": SheetMove(rows=RowMap([Stretch(5, 5, 3)]), title="Bill")}
    >>> moved_formula("=SUM(F5:F5)+$F$9&\\" F5\\"", "Bill", moves)
    '=SUM(F5:F7)+$F$11&" F5"'
    """
    from openpyxl.formula.tokenizer import Token, Tokenizer, TokenizerError

    try:
        tokens: list[Any] = Tokenizer(formula).items
    except TokenizerError:
        return formula
    moved = (
        moved_reference(token.value, sheet, moves, copy)
        if token.type == Token.OPERAND and token.subtype == Token.RANGE
        else token.value
        for token in tokens
    )
    return "=" + "".join(moved)


def moved_reference(reference: str, sheet: str, moves: Moves, copy: Copy | None = None) -> str:
    """A reference, or a name, which stays as it is; None of its rows left gives #REF!."""
    match = _CELLS.fullmatch(reference) or _ROWS.fullmatch(reference)
    if match is None:
        return reference
    named = match["sheet"]
    of = (named[1:-1].replace("''", "'") if named and named[0] == "'" else named or sheet).casefold()
    move = moves.get(of)
    if move is None:
        return reference
    top = int(match["top"])
    bottom = int(match["bottom"] or top)
    here = copy if of == sheet.casefold() else None
    if match["bottom"] is None:
        new = (move.rows.place(top, here),) * 2 if move.rows.places(top) else None
    else:
        new = move.rows.span(min(top, bottom), max(top, bottom), here)
    if new is None:
        return "#REF!"
    prefix = quoted(move.title) + "!" if named else ""
    end = f":{match['right']}{new[1]}" if match["bottom"] else ""
    return f"{prefix}{match['left']}{new[0]}{end}"


def quoted(title: str) -> str:
    """A sheet's name as a formula writes it.

    >>> quoted("Owner's")
    "'Owner''s'"
    """
    return "'" + title.replace("'", "''") + "'"
