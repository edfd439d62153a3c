"""Where a finding goes on the job's sheet: columns by their headers, the row after the last filled one. No office.

A header compares as the engine's reader compares it: without case, spaces, a star or a colon, in either spelling.
"""

from __future__ import annotations

from typing import Any, Dict, List, NamedTuple, Optional, Sequence

from .kind_of import sheet_key

HEADERS = (
    "Finding", "Side", "Measured", "Unit", "Limit", "As new", "Limit source", "Severity", "Note", "Photo",
)  # fmt: skip
"""Columns of the sheet Findings of a job."""

Rows = Sequence[Sequence[Any]]
"""What stands in the cells: text or numbers, blank as an empty text."""


class FindingTable(NamedTuple):
    """The sheet as a table: its header row, the columns that are there, the next free row; all counted from 0."""

    header_row: int
    columns: Dict[str, int]
    free_row: int


def finding_table(rows: Rows) -> Optional[FindingTable]:
    """The table of the sheet; None where no row holds the header Finding.

    >>> finding_table([["What was found"], ["Finding *", "Side", "own"], ["BELT", "", ""], ["", "", "mine"]])
    FindingTable(header_row=1, columns={'Finding': 0, 'Side': 1}, free_row=3)
    """
    known = {sheet_key(header): header for header in HEADERS}
    for number, row in enumerate(rows):
        columns: Dict[str, int] = {}
        for column, value in enumerate(row):
            header = known.get(sheet_key(value).rstrip("*:")) if isinstance(value, str) else None
            if header is not None:
                columns.setdefault(header, column)
        if "Finding" in columns:
            return FindingTable(number, columns, _free_row(rows, number, columns))
    return None


def _free_row(rows: Rows, header_row: int, columns: Dict[str, int]) -> int:
    last = header_row
    for number in range(header_row + 1, len(rows)):
        if any(not _blank(rows[number][at]) for at in columns.values() if at < len(rows[number])):
            last = number
    return last + 1


def _blank(value: Any) -> bool:
    return isinstance(value, str) and not value.strip()


def missing_columns(table: FindingTable, values: Dict[str, Any]) -> List[str]:
    """Columns that are wanted for what is to be put in and are not on the sheet.

    >>> missing_columns(FindingTable(0, {"Finding": 0}, 1), {"Finding": "BELT", "Note": "split", "Side": ""})
    ['Note']
    """
    return [header for header, value in values.items() if value not in ("", None) and header not in table.columns]
