"""Where rows of a template go: the map against the same work done on a plain list of rows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.row_map import Copy, RowMap, Stretch


@st.composite
def stretches(draw: st.DrawFn) -> list[Stretch]:
    """Stretches one below the other, with rows between some of them."""
    found, row = [], 1
    for _ in range(draw(st.integers(0, 4))):
        top = row + draw(st.integers(0, 3))
        bottom = top + draw(st.integers(0, 2))
        found.append(Stretch(top, bottom, draw(st.integers(0, 4))))
        row = bottom + 1
    return found


def laid_out(found: list[Stretch], last: int = 40) -> list[tuple[int, int]]:
    """Each row of the document as the template's row and the number of its copy, by plain repetition."""
    rows: list[tuple[int, int]] = []
    row = 1
    while row <= last:
        stretch = next((one for one in found if one.top == row), Stretch(row, row, 1))
        for copy in range(stretch.times):
            rows += [(inside, copy) for inside in range(stretch.top, stretch.bottom + 1)]
        row = stretch.bottom + 1
    return rows


@given(stretches())
def test_every_row_goes_where_plain_repetition_puts_it(found: list[Stretch]) -> None:
    rows, document = RowMap(found), laid_out(found)
    for row in range(1, 30):
        assert rows.places(row) == [place for place, (of, _) in enumerate(document, start=1) if of == row]


@given(stretches())
def test_a_row_of_a_copy_is_the_row_of_that_copy(found: list[Stretch]) -> None:
    rows, document = RowMap(found), laid_out(found)
    for stretch in found:
        for copy in rows.copies(stretch):
            for row in range(stretch.top, stretch.bottom + 1):
                assert document[rows.place(row, copy) - 1] == (row, copy.number)


@given(stretches(), st.integers(1, 20), st.integers(0, 8))
def test_a_range_keeps_all_of_its_rows_that_are_left(found: list[Stretch], top: int, more: int) -> None:
    """And no others, as the rows of a range stay together."""
    kept = [place for place, (of, _) in enumerate(laid_out(found), start=1) if top <= of <= top + more]
    assert RowMap(found).span(top, top + more) == ((kept[0], kept[-1]) if kept else None)


@given(stretches(), st.integers(1, 20))
def test_the_next_row_that_is_left(found: list[Stretch], row: int) -> None:
    left = [place for place, (of, _) in enumerate(laid_out(found), start=1) if of >= row]
    assert RowMap(found).from_row(row) == left[0]


@given(stretches())
def test_pieces_of_a_stretch_are_its_copies(found: list[Stretch]) -> None:
    rows = RowMap(found)
    for stretch in found:
        pieces = rows.pieces(stretch.top, stretch.bottom)
        assert len(pieces) == stretch.times
        assert all(bottom - top + 1 == stretch.height for top, bottom in pieces)


def test_a_range_across_a_stretch_is_one_piece() -> None:
    """A label merged beside the table grows with it."""
    assert RowMap([Stretch(5, 5, 3)]).pieces(4, 6) == [(4, 8)]


def test_a_range_within_a_copy_stays_in_it() -> None:
    stretch = Stretch(5, 6, 3)
    assert RowMap([stretch]).span(5, 6, Copy(stretch, 1)) == (7, 8)
    assert RowMap([stretch]).span(4, 6, Copy(stretch, 1)) == (4, 10)


@pytest.mark.parametrize(("found", "moves"), [([], False), ([Stretch(3, 3, 1)], False), ([Stretch(3, 3, 0)], True)])
def test_a_map_that_moves_nothing_is_false(found: list[Stretch], moves: bool) -> None:
    assert bool(RowMap(found)) is moves


def test_whole_columns_stay_whole() -> None:
    """A range to the last row of a sheet is not walked row by row."""
    assert RowMap([Stretch(5, 5, 3)]).span(1, 1_048_576) == (1, 1_048_578)
