"""The review in words, as JSON and on a screen."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.documents.review_json import lay_out_review_json
from quotekit.documents.review_text import MOST_LOSSES, lay_out_review_text
from quotekit.documents.review_words import (
    accuracy_words,
    chance_words,
    in_hours,
    in_money,
    in_percent,
    proposal_words,
    variance_words,
)
from quotekit.model.review import Variance
from quotekit.problems import Place, warning
from tests.review.reviews import empty, every, full, german, season

D = Decimal


@pytest.mark.parametrize(
    ("amount", "said"), [(D("1234.5"), "$1,234.50"), (D(-2), "-$2.00"), (None, "not known"), (D(0), "$0.00")]
)
def test_money(amount: Decimal | None, said: str) -> None:
    """Blank is never zero."""
    assert in_money(full(), amount) == said


def test_another_language() -> None:
    """Numbers and money follow it."""
    assert in_hours(german(), D("1234.5")) == "1.234,5 h"
    assert in_money(german(), D("2.5")).endswith("€")


@pytest.mark.parametrize(
    ("variance", "said"),
    [(Variance(amount=D("5.00")), "$5.00 more than standard"),
     (Variance(amount=D("-5.00")), "$5.00 less than standard"), (Variance(amount=D(0)), "$0.00"), (None, "not known")],
)  # fmt: skip
def test_variances(variance: Variance | None, said: str) -> None:
    """In words: F and U alone say nothing to who never kept books."""
    assert variance_words(full(), variance) == said


@pytest.mark.parametrize(
    ("shrunk", "low", "high", "said"),
    [("1.2", "1.1", "1.3", "takes longer"), ("0.8", "0.7", "0.9", "takes less"), ("1.2", "0.9", "1.5", "as timed")],
)
def test_what_a_ratio_says(shrunk: str, low: str, high: str, said: str) -> None:
    """Nothing, where the interval holds 1."""
    one = replace(full().accuracy[0], shrunk=D(shrunk), low=D(low), high=D(high))
    assert accuracy_words(one) == said


def test_chances() -> None:
    """With interval and count, or too few jobs."""
    known = next(one for one in full().losses if one.chance is not None)
    said = chance_words(full(), known)
    assert said.startswith(in_percent(full(), known.chance)) and f"{known.losing} of {known.jobs} jobs" in said
    assert chance_words(full(), replace(known, chance=None, low=None, high=None, jobs=7)) == "too few jobs (7)"


def test_proposals() -> None:
    """Hours for times, percent for an allowance."""
    time, allowance = full().proposals[0], full().proposals[-1]
    assert proposal_words(full(), time).startswith("FIT Fit: 0.5 h now, ")
    assert allowance.kind == "condition" and "25% now" in proposal_words(full(), allowance)


@pytest.mark.parametrize("name", every())
def test_lines_on_a_screen(name: str) -> None:
    """No line is empty of meaning, none says None."""
    lines = list(lay_out_review_text(every()[name]))
    assert len(lines) > 7
    assert all("None" not in line and "Decimal" not in line for line in lines)


def test_the_likeliest_losses_are_shown() -> None:
    """Ten at the most, the highest chance first."""
    one = next(each for each in full().losses if each.chance is not None)
    many = replace(full(), losses=tuple(replace(one, job=f"Q{n}", chance=D(n) / 100) for n in range(30)))
    lines = [line for line in lay_out_review_text(many) if line.startswith("  Q")]
    assert len(lines) == MOST_LOSSES and lines[0].startswith("  Q29-1")


def test_json_holds_every_record() -> None:
    """By the names of the records; variances carry their sign, days are ISO."""
    found = lay_out_review_json(season(), [], ["a.xlsx"])
    assert (len(found["jobs"]), len(found["accuracy"])) == (len(season().jobs), len(season().accuracy))
    assert found["span"] == {"first": "2026-01-01", "last": "2026-12-31"}
    assert found["jobs"][0]["variances"]["labour_time"]["sign"] in ("F", "U", "")
    assert found["files"] == ["a.xlsx"] and found["problems"] == []


def test_json_of_a_refusal() -> None:
    """Its problems alone."""
    problem = warning(Place("book.xlsx"), "a-code", "something", "Do something.")
    found = lay_out_review_json(None, [problem])
    assert [one["code"] for one in found["problems"]] == ["a-code"]
    assert found.keys() == {"problems", "files"}


def test_json_of_nothing() -> None:
    """What is not known is null, never zero."""
    found = lay_out_review_json(empty(), [])
    assert found["totals"]["per_bench_hour"] is None
    assert found["totals"]["variances"]["labour_time"] is None
