"""What the window of a finding says, and what it lets through."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.addin.office.finding_words import (
    SEVERITIES,
    SOMETHING_ELSE,
    already,
    facts,
    incomplete,
    line,
    matching,
    row_values,
    sides,
)
from quotekit.model.positions import positions_for
from quotekit.workbook.column import SEVERITY_WORDS

BUSHING: dict[str, Any] = {
    "code": "AUG-BUSHING", "finding": "Auger bushing worn", "severity": "needed", "measure": "Bore", "unit": "in",
    "fails_when": "above", "limit": "0.77", "as_new": "", "limit_source": "", "also_check": [], "needs_side": True,
}  # fmt: skip
BELT: dict[str, Any] = {**SOMETHING_ELSE, "code": "BELT", "finding": "Belt glazed", "severity": "advised"}
ALL = [BUSHING, BELT, SOMETHING_ELSE]


def test_severities_are_those_of_the_reader() -> None:
    assert SEVERITIES == SEVERITY_WORDS


@pytest.mark.parametrize(
    "typed, codes",
    [
        ("", ["AUG-BUSHING", "BELT", "OTHER"]),
        ("bushing", ["AUG-BUSHING", "OTHER"]),
        ("WORN aug", ["AUG-BUSHING", "OTHER"]),
        ("bore", ["AUG-BUSHING", "OTHER"]),
        ("belt worn", ["OTHER"]),
    ],
)
def test_a_filter_takes_every_word_anywhere(typed: str, codes: list[str]) -> None:
    """What is not in the list can be put in always."""
    assert [one["code"] for one in matching(ALL, typed)] == codes


def test_a_line_and_its_facts() -> None:
    assert line(BUSHING) == "Auger bushing worn   [AUG-BUSHING]   needed"
    assert facts(BUSHING) == "Measure: Bore. Fails above 0.77 in."
    assert facts({**BUSHING, "limit": ""}) == "Measure: Bore."


@pytest.mark.parametrize("positions", [("left", "right"), ("left front", "right front", "left rear"), ("one",)])
def test_each_side_offered_is_one_the_reader_knows(positions: tuple[str, ...]) -> None:
    assert all(positions_for(side, positions) for side in sides(positions) if side)


@pytest.mark.parametrize(
    "finding, side, severity, note, lacks",
    [
        (BUSHING, "", "", "", "Choose the side"),
        (BUSHING, "left", "", "", ""),
        (BUSHING, "left", "safety", "", "why the severity"),
        (BUSHING, "left", "safety", "cracked through", ""),
        (BELT, "", "", "", ""),
        (SOMETHING_ELSE, "", "", " ", "what was found"),
        (SOMETHING_ELSE, "", "", "bent", "how severe"),
        (SOMETHING_ELSE, "", "watch", "bent", ""),
    ],
)
def test_what_the_reader_would_refuse_is_asked_for_first(
    finding: dict[str, Any], side: str, severity: str, note: str, lacks: str
) -> None:
    said = incomplete(finding, side, severity, note)
    assert lacks in said and bool(said) == bool(lacks)


@pytest.mark.parametrize(
    "side, recorded, row",
    [
        ("left", ["left"], 4),
        ("left", ["LEFT"], 4),
        ("left", ["right"], None),
        ("both", ["right"], 4),
        ("left", ["both"], 4),
        ("", [], 4),
        ("", ["left"], None),
        ("left", [], None),
    ],
)
def test_the_same_finding_is_not_put_in_twice_for_a_side(side: str, recorded: list[str], row: int | None) -> None:
    found = already(BUSHING, side, [{"code": "aug-bushing", "sides": recorded, "row": 4}], ["left", "right"])
    assert found == ("" if row is None else f"It is in the job already: row {row}.")


def test_another_finding_or_one_not_in_the_list_may_follow() -> None:
    recorded = [{"code": "AUG-BUSHING", "sides": [], "row": 4}, {"code": "OTHER", "sides": [], "row": 5}]
    assert already(BELT, "", recorded, []) == "" == already(SOMETHING_ELSE, "", recorded, [])


def test_a_unit_goes_in_with_a_measurement_alone() -> None:
    """A unit without one would say nothing, and ask the reader to convert nothing."""
    typed = {"side": "left", "unit": " in ", "severity": "", "note": ""}
    assert row_values(BUSHING, typed, 0.8)["Unit"] == "in"
    assert row_values(BUSHING, typed, None)["Unit"] == ""
    assert row_values(BUSHING, typed, 0.0)["Measured"] == 0.0
