"""Where a changed cell is: now, or before, or by what it is."""

from __future__ import annotations

import pytest

from quotekit.model.comparison import ChangedCell, FigureName
from quotekit.problems import Place

OLD, NOW = Place("old.xlsx", "Parts", "D7"), Place("new.xlsx", "Parts", "D8")


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        (OLD, NOW, "new.xlsx:Parts!D8"),
        (None, NOW, "new.xlsx:Parts!D8"),
        (OLD, None, "old.xlsx:Parts!D7 (before)"),
        (None, None, "Order of rows (before)"),
    ],
)
def test_a_place_in_words(before: Place | None, now: Place | None, words: str) -> None:
    """What is there no more is told by where it was, and says so."""
    cell = ChangedCell(what="Order of rows", old="1", new="2", place_old=before, place_new=now)
    assert cell.place == words


def test_a_change_is_of_one_cell_unless_more_is_said() -> None:
    assert ChangedCell(what="x", old=None, new="2", place_old=None, place_new=NOW).extent == "cell"


def test_a_figure_is_told_apart_by_job_option_and_path() -> None:
    """The same figure of two options is two figures."""
    names = {FigureName("1", "good", "total"), FigureName("1", "best", "total"), FigureName("2", "good", "total")}
    assert len(names) == 3 and FigureName("1", "good", "total") in names
