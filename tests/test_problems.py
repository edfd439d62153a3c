"""A problem is a value: where, what is wrong, what to do."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from quotekit.problems import Place, error, has_errors, warning

CELL = Place("prices.xlsx", "Parts", "D14")


@pytest.mark.parametrize(
    ("place", "text"),
    [
        (CELL, "prices.xlsx:Parts!D14"),
        (Place("prices.xlsx", "Parts"), "prices.xlsx:Parts"),
        (Place("prices.xlsx"), "prices.xlsx"),
        (Place("my prices.xlsx", "Parts used", "A2"), "my prices.xlsx:Parts used!A2"),
    ],
)
def test_a_place_reads_as_an_address(place: Place, text: str) -> None:
    assert str(place) == text


def test_an_error_carries_everything_a_person_needs() -> None:
    problem = error(CELL, "number-as-text", "Pack cost is text", "Type 12 as a number", "$12")
    assert (problem.place, problem.code, problem.severity) == (CELL, "number-as-text", "error")
    assert (problem.message, problem.remedy, problem.text) == ("Pack cost is text", "Type 12 as a number", "$12")


def test_a_warning_stops_nothing() -> None:
    caution = warning(CELL, "old-price", "The price is old", "Ask the supplier")
    assert caution.severity == "warning"
    assert caution.text == ""
    assert not has_errors([caution])


def test_one_error_among_warnings_stops_the_quote() -> None:
    caution = warning(CELL, "old-price", "The price is old", "Ask the supplier")
    assert has_errors([caution, error(CELL, "negative", "Negative hours", "Type hours above zero")])
    assert not has_errors([])


def test_a_problem_cannot_be_changed() -> None:
    problem = error(CELL, "negative", "Negative hours", "Type hours above zero")
    with pytest.raises(FrozenInstanceError):
        problem.message = "Something else"  # type: ignore[misc]
