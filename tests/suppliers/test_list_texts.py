"""Where a list's columns are: by their headers wherever these stand, by place, or told as missing."""

from __future__ import annotations

import pytest

from quotekit.problems import Place
from quotekit.suppliers.list_texts import locate_columns
from tests.suppliers.lists import mapping

PLACE = Place("acme.csv")
TABLE = [["Part No", "Text", "Net"], ["A", "x", "1"]]


@pytest.mark.parametrize(
    ("records", "header_row", "row", "places"),
    [
        (TABLE, 1, 1, {"number": 0, "cost": 2}),
        ([["Net", "Part No"], ["1", "A"]], 1, 1, {"number": 1, "cost": 0}),
        ([["part  NO ", " net"], ["A", "1"]], 1, 1, {"number": 0, "cost": 1}),
        ([["title"], [], *TABLE], 3, 3, {"number": 0, "cost": 2}),
        ([["title"], [], *TABLE], 1, 3, {"number": 0, "cost": 2}),
        ([["title"], [], *TABLE], 9, 3, {"number": 0, "cost": 2}),
    ],
)
def test_columns_by_their_headers(records: list[list[str]], header_row: int, row: int, places: dict[str, int]) -> None:
    """A column added or moved, or a line added above, does no harm."""
    found, at, problems = locate_columns(PLACE, records, mapping(header_row=header_row))
    assert (found, at) == (row, places)
    assert [problem.code for problem in problems] == (["header-moved"] if row != header_row else [])


@pytest.mark.parametrize(
    ("columns", "places"),
    [
        ({"number": "column 1", "cost": "column 3"}, {"number": 0, "cost": 2}),
        ({"number": "Part No", "cost": "Column 3"}, {"number": 0, "cost": 2}),
    ],
)
def test_columns_by_place(columns: dict[str, str], places: dict[str, int]) -> None:
    assert locate_columns(PLACE, TABLE, mapping(columns=columns))[1] == places


@pytest.mark.parametrize(
    ("columns", "code", "remedy"),
    [
        ({"number": "Part No", "cost": "Nett"}, "list-column-missing", "Did you mean “net”?"),
        ({"number": "Part No", "cost": "column 0"}, "list-column-missing", "Write its header of today"),
        ({"number": "Part No", "cost": "column x"}, "list-column-missing", "Write its header of today"),
        ({"number": "Same", "cost": "Net"}, "list-column-twice", 'number = "column 1"'),
    ],
)
def test_columns_that_are_not_there_or_twice(columns: dict[str, str], code: str, remedy: str) -> None:
    table = [["Same", "Part No", "Net", "Same"], ["A", "B", "1", "C"]]
    _, places, problems = locate_columns(PLACE, table, mapping(columns=columns))
    assert places is None
    assert [problem.code for problem in problems] == [code]
    assert remedy in problems[0].remedy


def test_every_missing_column_is_told_at_once() -> None:
    _, _, problems = locate_columns(PLACE, [["A", "B"]], mapping())
    assert [problem.message for problem in problems] == [
        "no column of row 1 is headed “Part No”",
        "no column of row 1 is headed “Net”",
    ]


def test_headers_without_a_header_row() -> None:
    (problem, _) = locate_columns(PLACE, TABLE, mapping(header_row=0))[2]
    assert problem.message == "no column of the list, whose header_row is 0 is headed “Part No”"


@pytest.mark.parametrize("name", ["column 4", "column 99", "column 999999999", "column ²"])
def test_a_place_that_no_row_has(name: str) -> None:
    """A slip of the hand in the mapping is a problem, never a column of blanks or a table of a million columns."""
    _, places, (problem,) = locate_columns(PLACE, TABLE, mapping(columns={"number": "Part No", "cost": name}))
    assert places is None and (problem.code, problem.severity) == ("list-column-missing", "error")


def test_a_place_of_a_less_needed_column_that_no_row_has_yet() -> None:
    """Rows of a sheet end with their last filled cell: it may begin further down."""
    columns = {"number": "Part No", "cost": "Net", "superseded_by": "column 9"}
    _, places, (problem,) = locate_columns(PLACE, TABLE, mapping(columns=columns))
    assert places == {"number": 0, "cost": 2, "superseded_by": 8}
    assert problem.severity == "warning" and "the first rows have 3 columns" in problem.message


def test_a_header_that_the_separator_does_not_part() -> None:
    problems = locate_columns(PLACE, [["Part No;Net"], ["A;1"]], mapping())[2]
    assert {problem.remedy for problem in problems} == {
        "The separator in the mapping does not part that row: write the right one."
    }
