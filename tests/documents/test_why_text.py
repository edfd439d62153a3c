"""Why an option is what it is, as lines on a screen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.documents.why_text import lines_of
from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, both_or_two, job_of


def a_tier(aim: str = "lowest price", **values: Any) -> PricedTier:
    """HOURLY, an hour at 100.00 that lasts two years, or NEW, half an hour and a shaft, 110.00, that lasts nine."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        "parts": [build.a_part("SHAFT", 40)],
        "remedies": [
            build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=9),
        ],
        "access": [],
        "tiers": [build.a_tier("good", aim=aim)],
    }
    book = a_shop(**(named | values))
    return build_quote(book, job_of(book)).tiers[0]


def test_an_option_that_was_priced_by_itself_has_no_reasons() -> None:
    assert lines_of(replace(a_tier(), why=None)) == []


def test_name_and_aim_come_first_and_a_remedy_after() -> None:
    lines = lines_of(a_tier())
    assert lines[0].startswith("Good (good). ")
    assert "Hourly (HOURLY)" in lines


@pytest.mark.parametrize(
    ("aim", "taken", "nearest"),
    [
        ("lowest price", "Hourly (HOURLY)", "New (NEW)"),
        ("longest life", "New (NEW)", "Hourly (HOURLY)"),
    ],
)
def test_the_nearest_alternative_with_what_it_would_change(aim: str, taken: str, nearest: str) -> None:
    """10.00 more today and 190.00 less over five years; the other way round where NEW is taken."""
    lines = lines_of(a_tier(aim))
    at = lines.index(taken)
    other = lines[at + 1]
    assert other.startswith(f"  Nearest alternative: {nearest}") and " today, over 5 years " in other
    assert "10.00" in other and "190.00" in other
    assert all(line.startswith("  ") for line in lines[at + 1 : at + 4])


def test_a_remedy_without_an_alternative_has_its_reason_alone() -> None:
    lines = lines_of(a_tier(remedies=[build.a_remedy("HOURLY", ["WORN"], ["HOUR"])]))
    assert not any("Nearest alternative" in line for line in lines)
    assert lines[lines.index("Hourly (HOURLY)") + 1].startswith("  ")


@pytest.mark.parametrize(
    ("reason", "words"),
    [("it is the same work", "Not offered: it is the same work."), (None, "Not offered: no reason is recorded.")],
)
def test_why_it_is_not_offered_comes_second(reason: str | None, words: str) -> None:
    assert lines_of(replace(a_tier(), offered=False, reason=reason))[1] == words
    assert not any(line.startswith("Not offered") for line in lines_of(a_tier()))


def test_notes_come_last() -> None:
    tier = a_tier()
    assert tier.why is not None
    told = replace(tier, why=replace(tier.why, notes=("Too many to compare.", "And more.")))
    assert lines_of(told)[-2:] == ["Too many to compare.", "And more."]


@pytest.mark.parametrize(
    ("both", "taken", "nearest"), [(1, "Both (BOTH)", "Belt"), (2, "Belt (BELT); Seal (SEAL)", "Both")]
)
def test_two_remedies_in_place_of_one_stand_in_one_line(both: int, taken: str, nearest: str) -> None:
    """BOTH puts two faults right in an hour, 100.00, or in two; BELT and SEAL do so together in 1.7 h, 170.00."""
    tier = a_tier(**both_or_two(both))
    lines = lines_of(tier)
    other = lines[lines.index(taken) + 1]
    assert other.startswith(f"  Nearest alternative: {nearest}")
    assert both == 2 or other.startswith("  Nearest alternative: Belt (BELT); Seal (SEAL): ")
