"""Superseded numbers: followed to the end of the line, never in a circle."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.price_list import FoundPrice
from quotekit.pricing.proposals.successors import end_of_line, leads_to, next_number, not_looked_up, only_once
from tests.pricing.proposals.rows import exact, found, listed, unpriced


def says(number: str, following: str, **values: Any) -> FoundPrice:
    return exact(number, "1", superseded_by=following, **values)


@pytest.mark.parametrize(
    ("answer", "expected", "why"),
    [
        (says("A", "B"), "B", "the row that counts says so"),
        (says("A", " B "), "B", "spaces do not matter"),
        (exact("A", "1"), "", "nothing said"),
        (unpriced("A", "no price", listed("A", fate="no cost", superseded_by="B")), "B", "it has no cost any more"),
        (unpriced("A", "no price", listed("A", fate="ended", superseded_by="B")), "B", "it has ended"),
        (unpriced("A", "no price", listed("A", fate="to come", superseded_by="B")), "", "not yet"),
        (
            unpriced(
                "A",
                "no price",
                listed("A", fate="no cost", superseded_by="B"),
                listed("A", fate="no cost", superseded_by="C"),
            ),
            "",
            "two rows name two numbers",
        ),
        (unpriced("A", "contradicted", listed("A", fate="contradicted", superseded_by="B")), "", "contradicted"),
        (FoundPrice(asked="A", how="near", price=listed("a", "1", superseded_by="B")), "", "only alike"),
        (None, "", "not asked for"),
    ],
)
def test_next_number(answer: FoundPrice | None, expected: str, why: str) -> None:
    assert next_number(answer) == expected, why


def test_the_line_is_followed_to_its_end() -> None:
    answers = found(says("100", "100-A"), says("100-A", "100-B"), exact("100-B", "2"))
    assert end_of_line("100", answers) == "100-B"
    assert end_of_line("100-B", answers) == "100-B"


def test_a_number_that_the_list_does_not_know_is_an_end() -> None:
    answers = found(says("100", "200"), unpriced("200", "not found"))
    assert end_of_line("100", answers) == "200"


@pytest.mark.parametrize("start", ["7", "8"])
def test_a_circle_has_no_end(start: str) -> None:
    assert end_of_line(start, found(says("7", "8"), says("8", "7"))) is None


def test_a_number_that_replaces_itself_is_a_circle() -> None:
    assert end_of_line("7", found(says("7", "7"))) is None


def test_what_is_still_to_be_asked() -> None:
    """Each round asks for the numbers that the answers of the last one name."""
    first = found(says("7", "8"), says("9", "8"), exact("10", "1"))
    assert not_looked_up(first) == ["8"]
    assert not_looked_up({**first, **found(says("8", "7"))}) == []


@given(st.dictionaries(st.sampled_from("ABCDEFG"), st.sampled_from(["", *"ABCDEFGH"])))
def test_every_line_ends_or_is_a_circle(following: dict[str, str]) -> None:
    answers = found(*(says(number, to) for number, to in following.items()))
    for number in following:
        end = end_of_line(number, answers)
        passed, at = set[str](), number
        while following.get(at) and at not in passed:
            passed.add(at)
            at = following[at]
        assert end == (None if at in passed and following.get(at) else at)


def test_the_books_own_line() -> None:
    line = {"A": "B", "B": "C", "C": None, "X": "Y", "Y": "X"}
    assert [leads_to(code, "C", line) for code in "ABCXY"] == [True, True, True, False, False]


def test_numbers_beside_several_parts_mean_none() -> None:
    pairs = [("7", "A"), ("8", "B"), ("8", "C"), ("", "D"), ("7", "A")]
    assert only_once(pairs) == {"7": "A"}
