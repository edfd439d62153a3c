"""Puts a finding into the next free row of the job: one step that can be undone, by ordinary cells.

Numbers go in as numbers and keep the cell's own format, text as text, never as a formula; validation and formats stay.
"""

from __future__ import annotations

from typing import Any, Dict

from .finding_rows import finding_table, missing_columns
from .kind_of import sheet_key, sheet_of
from .trouble import Trouble

STEP = "Put a finding in the job"
PROTECTED = ("The sheet Findings can't be changed: it is protected.", "Take the protection off, then try again.")
NOT_TAKEN = ("The sheet Findings did not take the finding: nothing was changed.", "Type it into the sheet by hand.")
MOST_ROWS = 9999
READ_ONLY = "Open the job to be changed (Edit, Edit Mode), or save it under another name."


def put_in(document: Any, values: Dict[str, Any]) -> int:
    """Write a finding; gives its row as a person counts. Raises Trouble."""
    if document.isReadonly():
        raise Trouble("This job is open to be read only: nothing was put in.", READ_ONLY)
    sheet = sheet_of(document, "Findings")
    table = finding_table(_rows(sheet)) if sheet is not None else None
    if sheet is None or table is None:
        raise Trouble("This job has no sheet Findings with a column Finding.", "`quotekit new job` makes one with it.")
    lacks = missing_columns(table, values)
    if lacks:
        raise Trouble(f"The sheet Findings has no column {lacks[0]}.", "Add it to the header, then do this again.")
    cells = {
        header: sheet.getCellByPosition(table.columns[header], table.free_row)
        for header, value in values.items()
        if value not in ("", None)
    }
    if sheet.isProtected() and any(cell.CellProtection.IsLocked for cell in cells.values()):
        raise Trouble(*PROTECTED)
    undo = document.getUndoManager()
    undo.enterUndoContext(STEP)
    try:
        for header, cell in cells.items():
            _put(cell, values[header])
    finally:
        undo.leaveUndoContext()
    if any(_stands(cell) != values[header] for header, cell in cells.items()):
        if undo.isUndoPossible() and undo.getCurrentUndoActionTitle() == STEP:
            undo.undo()
        raise Trouble(*NOT_TAKEN)
    _show(document, sheet, table.columns["Finding"], table.free_row)
    return table.free_row + 1


def selected_code(document: Any) -> str:
    """The code of the finding whose row is selected in a shop book; empty where none is."""
    controller = document.CurrentController
    sheet = sheet_of(document, "Findings")
    if controller is None or sheet is None or controller.getActiveSheet().Name != sheet.Name:
        return ""
    address = getattr(document.getCurrentSelection(), "RangeAddress", None)
    rows = _rows(sheet)
    for number, row in enumerate(rows):
        keys = [sheet_key(str(value)).rstrip("*:") for value in row]
        if "code" in keys and "finding" in keys:
            at = address.StartRow if address is not None else -1
            return str(rows[at][keys.index("code")]).strip() if number < at < len(rows) else ""
    return ""


def _rows(sheet: Any) -> Any:
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress
    return sheet.getCellRangeByPosition(0, 0, min(last.EndColumn, 99), min(last.EndRow, MOST_ROWS)).getDataArray()


def _put(cell: Any, value: Any) -> None:
    if isinstance(value, str):
        cell.setString(value)
    else:
        cell.setValue(value)


def _stands(cell: Any) -> Any:
    kind = cell.Type.value
    return cell.getValue() if kind == "VALUE" else cell.getString() if kind == "TEXT" else None


def _show(document: Any, sheet: Any, column: int, row: int) -> None:
    controller = document.CurrentController
    if controller is not None:
        controller.setActiveSheet(sheet)
        controller.select(sheet.getCellByPosition(column, row))
