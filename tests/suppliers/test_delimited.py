"""Delimited lists: what the quick library splits and what is split by hand, record for record as a spreadsheet does."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.suppliers import delimited
from quotekit.suppliers.delimited import BLANK, LONG, REGULAR, SHORT, Layout, read_delimited

FIELDS = st.sampled_from(["a", "", "b c", "é", '"a"', '"a,b"', '""', '"x""y"', '"p\nq"'])
SPOILED = st.sampled_from(['3"', '1" x 2"', '"A" S', ' "a"', '"'])


def rows(text: str, fields: int, **layout: object) -> list[tuple[int, int, list[str]]]:
    """Row, shape and all fields."""
    named = {"separator": ",", "quoted": True, **layout}
    found = read_delimited(text.encode(), Layout(fields=fields, **named), range(fields))  # type: ignore[arg-type]
    names = [f"column_{at}" for at in range(fields)]
    return [(row[-2], row[-1], list(row[:-2])) for row in found.frame.select(*names, "row", "shape").rows()]


def test_shapes_are_told() -> None:
    text = "a,b,c\n1,2,3\n4,5\n6,7,8,9\n\n,,\n10,11,12,\n"
    shapes = [shape for _, shape, _ in rows(text, 3)]
    assert shapes == [REGULAR, REGULAR, SHORT, LONG, BLANK, REGULAR, LONG]


def test_rows_are_those_a_spreadsheet_shows() -> None:
    """A text with a line end is one row; a blank line is a row too."""
    found = rows('a,b\n1,"x\ny"\n\n2,z\n', 2)
    assert [(row, fields) for row, _, fields in found] == [
        (1, ["a", "b"]),
        (2, ["1", "x\ny"]),
        (3, ["", ""]),
        (4, ["2", "z"]),
    ]


def test_rows_above_are_left_out() -> None:
    assert [row for row, _, _ in rows('Acme "2026"\n\na,b\n1,2\n', 2, above=3)] == [4]
    assert [row for row, _, _ in rows("Acme\n\na,b\n1,2\n", 2, above=3)] == [4]


def test_inch_marks_do_not_join_lines() -> None:
    """An unclosed quote would swallow lines up to the next one; then the whole list is read without quotes."""
    text = 'a,b\n1,"3/4 belt\n2,seal\n3,1/2" hose\n'
    assert [fields for _, _, fields in rows(text, 2)] == [
        ["a", "b"],
        ["1", '"3/4 belt'],
        ["2", "seal"],
        ["3", '1/2" hose'],
    ]


def test_an_inch_mark_within_a_text() -> None:
    layout = Layout(separator=",", quoted=True, fields=2)
    found = read_delimited(b'a,b\n1,3/4" belt\n2,"x, y"\n', layout, [0, 1])
    assert not found.quotes_sound
    assert found.frame["column_1"].to_list() == ["b", '3/4" belt', "x, y"]


def test_a_list_full_of_inches_is_read_quickly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no field begins with a quote every quote is an inch, and nothing needs to go record by record."""
    monkeypatch.setattr("quotekit.suppliers.delimited._split_slowly", None)
    found = read_delimited(b'a,b\n1,3/4" belt\n2,1/2" x 3/4" hose\n', Layout(separator=",", quoted=True, fields=2), [1])
    assert found.frame["column_1"].to_list() == ["b", '3/4" belt', '1/2" x 3/4" hose']
    assert not found.quotes_sound


def test_many_odd_rows_are_read_too() -> None:
    text = "a,b,c\n" + "".join(f"{row},x\n" for row in range(500))
    found = rows(text, 3)
    assert len(found) == 501 and {shape for _, shape, _ in found[1:]} == {SHORT}


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "end"])
def test_line_ends(end: str, last: str) -> None:
    text = f"a,b{end}1,2{end}" if last else f"a,b{end}1,2"
    assert [fields for _, _, fields in rows(text, 2)] == [["a", "b"], ["1", "2"]]


@settings(max_examples=200)
@given(
    st.lists(st.lists(FIELDS, min_size=1, max_size=5), min_size=1, max_size=8),
    st.sampled_from(["\n", "\r\n"]),
    st.sampled_from([0, 1 << 22]),
)
def test_the_records_are_those_of_the_standard_reader(records: list[list[str]], end: str, large: int) -> None:
    """However ragged: each record's fields are Python's own reading of the text, padded or cut to the table.

    Also of a large list, which is scanned and split at once.
    """
    text = end.join(",".join(record) for record in records) + end
    expected = list(csv.reader(io.StringIO(text, newline="")))
    kept, delimited._LARGE = delimited._LARGE, large
    try:
        found = rows(text, 3)
    finally:
        delimited._LARGE = kept
    assert [fields for _, _, fields in found] == [(each + [""] * 3)[:3] for each in expected]
    assert [row for row, _, _ in found] == list(range(1, len(expected) + 1))


@settings(max_examples=150)
@given(st.lists(st.lists(st.one_of(FIELDS, SPOILED), min_size=3, max_size=3), min_size=1, max_size=6))
def test_every_line_of_a_spoiled_list_is_in_some_record(records: list[list[str]]) -> None:
    """Where quotes are wrong nothing can be sure; but no row is lost: the rows are numbered without a gap."""
    text = "\n".join(",".join(record) for record in records) + "\n"
    numbers = [row for row, _, _ in rows(text, 3)]
    assert numbers == list(range(1, len(numbers) + 1))
