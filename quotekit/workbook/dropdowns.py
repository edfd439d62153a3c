"""Drop-downs and notes of an input workbook: which list a cell offers, and what is said when it is picked.

A drop-down offers and never refuses: a cell may hold several codes, or a word in other capitals. The reader checks it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from xlsxwriter.utility import xl_col_to_name

from quotekit.workbook.column import Column, Field
from quotekit.workbook.input_sheet import Guide, InputSheet
from quotekit.workbook.job_lists import SIDES, range_name
from quotekit.workbook.lists_sheet import FIRST_ROW

MOST_ROWS = 2000
MOST_TITLE, MOST_MESSAGE = 32, 255
"""Characters that the note of a cell may have in a workbook."""


def ranges_within(sheets: Iterable[InputSheet]) -> dict[str, str]:
    """Named ranges over the Code columns of a shop book's own sheets; each grows with its rows."""
    found = {}
    for sheet in sheets:
        headers = [column.header for column in sheet.columns]
        if "Code" in headers:
            letter = xl_col_to_name(headers.index("Code"), col_abs=True)
            quoted = f"'{sheet.declared.name}'!"
            first, last = f"{quoted}{letter}${FIRST_ROW + 1}", f"{letter}${MOST_ROWS}"
            count = f"MAX(1,COUNTA({first}:{last}))"
            found[range_name((sheet.declared.name,))] = f"={first}:INDEX({first}:{last},{count})"
    return found


def validation(
    cell: Column | Field, ranges: Mapping[str, str], source: str | list[str] | None = None
) -> dict[str, object]:
    """What XlsxWriter needs for a cell to fill in: its note, and the list it offers where there is one.

    `source` is offered in place of the list that the cell's declaration names.
    """
    offered = source or _source(cell, ranges)
    if offered is None:
        return note(cell)
    return {
        "validate": "list",
        "source": offered,
        "show_error": cell.kind == "word",
        "error_type": "warning",
        "error_title": _title(cell),
        "error_message": "Pick one from the list, or leave it blank. No other word is read.",
        **_shown(cell),
    }


def note(cell: Column | Field | Guide) -> dict[str, object]:
    """What XlsxWriter needs for a cell that has a note and no list."""
    return {"validate": "any", **_shown(cell)}


def help_on(cell: Column | Field | Guide) -> dict[str, object]:
    """The note a person sees when the header or a cell to fill in is picked."""
    asked = "" if isinstance(cell, Guide) or not cell.required else "Required. "
    default = f" Blank means {cell.default}." if isinstance(cell, Field) and cell.default else ""
    return {"input_title": _title(cell), "input_message": f"{asked}{cell.help}{default}"}


def _shown(cell: Column | Field | Guide) -> dict[str, object]:
    """The note as a cell shows it, a line a sentence: some programs never break a line by themselves."""
    said = help_on(cell)
    return {**said, "input_message": str(said["input_message"]).replace(". ", ".\n")}


def _title(cell: Column | Field | Guide) -> str:
    """The header or name; a longer one than a note may have ends after a whole word."""
    title = cell.name if isinstance(cell, Field) else cell.header
    return title if len(title) <= MOST_TITLE else title[:MOST_TITLE].rsplit(" ", 1)[0] + "…"


def _source(cell: Column | Field, ranges: Mapping[str, str]) -> object | None:
    if cell.kind == "yes/no":
        return ["Yes", "No"]
    if cell.kind in ("word", "credit") or (cell.kind == "words" and cell.words):
        return list(cell.words)
    name = range_name((SIDES,)) if cell.kind == "sides" else range_name(cell.refers_to)
    return f"={name}" if name in ranges else None
