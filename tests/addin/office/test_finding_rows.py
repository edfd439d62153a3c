"""Where a finding goes: by the headers, as the job's reader finds them."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.addin.office.finding_rows import HEADERS, finding_table, missing_columns
from quotekit.workbook.columns import JOB_FINDINGS

BLANK = ["", "", ""]


def test_the_headers_are_those_of_the_reader() -> None:
    assert tuple(column.header for column in JOB_FINDINGS.columns) == HEADERS


@pytest.mark.parametrize(
    "rows, header_row, columns, free_row",
    [
        ([["Finding", "Side", "Note"], BLANK], 0, {"Finding": 0, "Side": 1, "Note": 2}, 1),
        ([["Found on it", "", ""], BLANK, ["NOTE:", "finding *", "x"]], 2, {"Note": 0, "Finding": 1}, 3),
        ([["Finding", "Side"], ["A", ""], ["", ""], ["B", ""], ["", ""]], 0, {"Finding": 0, "Side": 1}, 4),
        ([["Finding", "own"], ["A", "x"], ["", "the owner's own"]], 0, {"Finding": 0}, 2),
        ([["Finding", "Measured"], ["", 0.0]], 0, {"Finding": 0, "Measured": 1}, 2),
        ([["Finding", "Finding"], ["  ", "A"]], 0, {"Finding": 0}, 1),
        ([["Finding", "LIMIT source"]], 0, {"Finding": 0, "Limit source": 1}, 1),
    ],
)
def test_columns_are_found_and_the_row_after_the_last_filled_one(
    rows: list[list[Any]], header_row: int, columns: dict[str, int], free_row: int
) -> None:
    """A 0 is something, blanks are nothing; a gap stays a gap; the owner's own columns do not count."""
    table = finding_table(rows)
    assert table is not None
    assert table == (header_row, columns, free_row)


@pytest.mark.parametrize("rows", [[], [["Side", "Note"]], [["Findings"]], [[1.0, 2.0]]])
def test_without_the_header_there_is_no_table(rows: list[list[Any]]) -> None:
    assert finding_table(rows) is None


def test_what_has_no_column_is_named() -> None:
    table = finding_table([["Finding", "Side"]])
    assert table is not None
    values = {"Finding": "A", "Side": "", "Measured": 0.0, "Unit": "", "Note": "seen", "Severity": None}
    assert missing_columns(table, values) == ["Measured", "Note"]
