"""Goes to a cell: its sheet in front, the cell selected and in sight, the document's window before others."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Optional

from .copies import path_of, same_path
from .problem_words import range_of

if TYPE_CHECKING:
    from .desk import Desk

ABOVE = 3
"""Rows that stay in sight above the cell."""


def to_cell(document: Any, sheet: str, cell: str) -> str:
    """Select it; what to know where it can't be seen, else empty."""
    controller = document.getCurrentController()
    if not sheet or not document.Sheets.hasByName(sheet):
        _to_front(document)
        return f"There is no sheet {sheet}." if sheet else ""
    there = document.Sheets.getByName(sheet)
    if not there.IsVisible:
        return f"The sheet {sheet} is hidden: show it to see the cell."
    controller.setActiveSheet(there)
    where = range_of(cell)
    said = ""
    if where:
        spot = there.getCellRangeByName(where)
        controller.select(spot)
        _into_sight(controller, spot.RangeAddress)
        said = _out_of_sight(spot)
    _to_front(document)
    return said


def open_document(desk: Desk, path: Optional[str], file: str = "") -> Optional[Any]:
    """The open document of a path, else the only one of a file's name, whatever its kind; None where there is none."""
    named = []
    for one in desk.documents():
        here = path_of(one)
        if path and here and same_path(here) == same_path(path):
            return one
        if file and _stem(here or one.getTitle()) == _stem(file):
            named.append(one)
    return named[0] if len(named) == 1 and not path else None


def _to_front(document: Any) -> None:
    window = document.getCurrentController().getFrame().getContainerWindow()
    window.toFront()


def _into_sight(controller: Any, at: Any) -> None:
    """In the upper third of the window, as a list lies over its foot."""
    pane = controller.getByIndex(controller.getCount() - 1)
    seen = pane.getVisibleRange()
    lowest = seen.StartRow + (seen.EndRow - seen.StartRow) // 3
    if at.StartRow > lowest or (at.StartRow < seen.StartRow and at.StartRow > ABOVE):
        pane.setFirstVisibleRow(max(0, at.StartRow - ABOVE))


def _out_of_sight(spot: Any) -> str:
    if not spot.Rows.getByIndex(0).IsVisible:
        return "Its row is hidden: show the row, or take the filter off, to see it."
    if not spot.Columns.getByIndex(0).IsVisible:
        return "Its column is hidden: show it to see the cell."
    return ""


def _stem(name: str) -> str:
    return os.path.splitext(os.path.basename(name))[0].casefold()
