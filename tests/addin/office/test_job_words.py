"""What windows of a job say, and where their parts stand."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.addin.office import layout, priced_words, returned_words


@pytest.mark.parametrize(
    "unsaved, said",
    [
        ([], "Priced as saved, with book.xlsx."),
        (
            ["job.xlsx", "book.xlsx"],
            "Priced as on the screen, with book.xlsx. Save job.xlsx and book.xlsx to keep what was priced.",
        ),
    ],
)
def test_what_was_priced_is_told(unsaved: list[str], said: str) -> None:
    assert priced_words.priced_from(unsaved, "book.xlsx") == said


def test_each_problem_is_told_of_its_workbook() -> None:
    """A copy is .xlsx, the workbook may be of another kind: the name without its ending counts."""
    files = [{"file": "job.xlsx"}, {"file": "Shop book.ods"}, {"file": "/a/disk", "of": ""}]
    problems = [*files, {"file": "x", "of": "book"}]
    found = priced_words.owned(problems, "job.ods", "Shop book.ods")
    assert [one["of"] for one in found] == ["document", "book", "", "book"]


@pytest.mark.parametrize(
    "unchanged, changed, said",
    [
        (True, [], "Nothing else differs from what was sent."),
        (False, ["Quote!A1"], "1 cell differs from what was sent."),
        (False, ["Quote!A1", "Quote!B2"], "2 places differ from what was sent."),
        (None, [], "Whether it is as it was sent can't be told."),
    ],
)
def test_whether_a_quote_is_as_it_was_sent(unchanged: bool | None, changed: list[str], said: str) -> None:
    assert returned_words.differs({"unchanged": unchanged, "changed": changed}) == said


def test_a_quote_without_a_last_day_names_none() -> None:
    found = {"job": "117", "version": 1, "valid_until": None, "expired": None}
    assert returned_words.of_which(found) == "Job 117, version 1."


def test_a_problem_without_a_cell_is_a_line_too() -> None:
    problem = {"sheet": "", "cell": "", "message": "The names are gone."}
    assert returned_words.lines([problem]) == ["The names are gone."]


@given(st.lists(st.integers(44, 90), min_size=1, max_size=3))
def test_buttons_stand_side_by_side_within_the_window(widths: list[int]) -> None:
    places = layout.right_aligned(widths)
    assert [width for _, width in places] == widths
    assert places[-1][0] + places[-1][1] == layout.WIDTH - layout.EDGE
    for (one, width), (other, _) in pairwise(places):
        assert one + width + layout.GAP == other


@pytest.mark.parametrize(
    "words, lines",
    [
        ("", 1),
        ("word " * 5, 1),
        ("a" * layout.LETTERS, 1),
        ("a" * (layout.LETTERS + 1), 2),
        ("one\ntwo\n\nfour", 4),
        (" ".join(["a" * 40] * 3), 3),
    ],
)
def test_words_get_the_lines_they_need(words: str, lines: int) -> None:
    """A word is not broken unless it is longer than a line."""
    assert layout.text_height(words) == 1 + layout.LINE * lines
