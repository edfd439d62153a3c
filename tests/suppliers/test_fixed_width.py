"""Lists of fixed width: where columns begin, and text that reaches across."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.fixed_width import THROUGH, Cut, guess_cuts, read_fixed_width

LINES = (
    "PART NO  DESCRIPTION              NET",
    "A-1      Belt                   12.50",
    "A-22     Long belt               3.00",
    "B-3      Seal kit              199.00",
    "B-44     V-ring                  1.00",
)
CUTS = (Cut(start=1, end=9), Cut(start=10, end=24), Cut(start=25))


def columns(text: str, above: int = 0) -> list[list[str]]:
    frame = read_fixed_width(text.encode(), CUTS, above).frame
    return [[cell.strip() for cell in row] for row in frame.select("column_0", "column_1", "column_2").rows()]


def test_columns_are_told_apart() -> None:
    cuts = guess_cuts(LINES[1:])
    assert [[cut.of(line) for cut in cuts] for line in LINES[1:]] == [
        ["A-1", "Belt", "12.50"],
        ["A-22", "Long belt", "3.00"],
        ["B-3", "Seal kit", "199.00"],
        ["B-44", "V-ring", "1.00"],
    ]


def test_an_amount_may_grow_to_the_left() -> None:
    """The next list may have 1,250.00 where the sample had 12.50: the blanks before an amount are its own."""
    cuts = guess_cuts(LINES[1:])
    assert cuts[-1].of("C-1      Engine              12,500.00") == "12,500.00"


def test_too_few_lines_say_nothing() -> None:
    assert guess_cuts(["A 1", "B 2"]) == ()


def test_letters_count_not_bytes() -> None:
    text = "A-1      Öldichtungsöl        12.50\n"
    assert columns(text) == [["A-1", "Öldichtungsöl", "12.50"]]


def test_rows_above_and_blank_lines() -> None:
    found = read_fixed_width(b"title\n\nA-1      Belt                   12.50\n", CUTS, 1)
    assert found.rows == 3
    assert found.frame.select("row", "shape").rows() == [(2, 3), (3, 0)]


def test_a_short_line_is_told() -> None:
    assert read_fixed_width(b"A-1      Belt\n", CUTS, 0).frame["shape"].to_list() == [1]


def test_text_across_an_edge_is_told() -> None:
    text = "A-1      Belt                   12.50\nA-1      A very long description12.50\n"
    assert read_fixed_width(text.encode(), CUTS, 0).frame[THROUGH].to_list() == [False, True]


def test_returns_before_line_ends() -> None:
    assert columns("A-1      Belt                   12.50\r\n") == [["A-1", "Belt", "12.50"]]


def test_an_empty_list() -> None:
    assert read_fixed_width(b"", CUTS, 0).rows == 0


cells = st.text(alphabet="abc XYZ19-.", min_size=0, max_size=8).map(str.strip)


@given(st.lists(st.tuples(cells, cells, cells), min_size=1, max_size=10))
def test_what_is_written_in_columns_is_read_back(rows: list[tuple[str, str, str]]) -> None:
    text = "".join(f"{first:<9}{second:<15}{third}\n" for first, second, third in rows)
    assert columns(text) == [list(row) for row in rows]


def test_a_second_word_of_a_header_is_no_column() -> None:
    """Nothing stands below `size`: it belongs to `Pack`."""
    lines = ["A-1   1          Belt", "A-2   10         Seal", "A-3              Ring"]
    cuts = guess_cuts(lines, "No    Pack size  Text")
    assert [cut.of("No    Pack size  Text") for cut in cuts] == ["No", "Pack size", "Text"]
