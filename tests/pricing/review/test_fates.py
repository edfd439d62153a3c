"""What became of each quote."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from quotekit.model.entries import Accepted, Comeback
from quotekit.model.review import Span
from quotekit.model.story import Story, Told
from quotekit.pricing.review.done import seen_until
from quotekit.pricing.review.fates import fate_of, fates
from tests.pricing.review.stories import DAY, AJob, a_job, agreed_on, an_entry, an_option, told

LAST = DAY + timedelta(days=40)


def job(**values: object) -> AJob:
    """A quote that nobody answered, valid 30 days."""
    named: dict[str, object] = {"hours": None, "accepted_on": None}
    return a_job(**{**named, **values})  # type: ignore[arg-type]


def after(days: int) -> date:
    """So many days after it was handed over."""
    return DAY + timedelta(days=days)


@pytest.mark.parametrize(
    ("quote", "last", "outcome", "days", "reason"),
    [
        (job(), after(30), "open", 30, ""),
        (job(), after(31), "lapsed", 31, ""),
        (job(accepted_on=after(5)), LAST, "accepted", 5, ""),
        (job(declined=((after(9), "price", None),)), LAST, "declined", 9, "price"),
        (job(accepted_on=after(5), declined=((after(9), "price", None),)), LAST, "declined", 9, "price"),
        (job(accepted_on=after(5), declined=((after(9), "price", 1),)), LAST, "declined", 9, "price"),
        (job(accepted_on=after(5), declined=((after(9), "price", 2),)), LAST, "accepted", 5, ""),
        (job(valid_days=90), LAST, "open", 40, ""),
    ],
    ids=[
        "the last valid day",
        "the day after",
        "a yes",
        "a no",
        "a yes taken back as a whole",
        "a yes taken back by its version",
        "a no to a supplement leaves the yes",
        "valid for longer",
    ],
)
def test_outcomes(quote: AJob, last: date, outcome: str, days: int, reason: str) -> None:
    """Days run from the day it was handed over to the decision, or to the last day."""
    found = fate_of(told(quote), last)
    assert found is not None
    assert (found.outcome, found.days, found.reason) == (outcome, days, reason)


def test_a_supplement_is_no_second_win() -> None:
    """The quote was won by its first yes, for the option of that yes."""
    quote = job(accepted_on=after(5), tier="good", later=(agreed_on("FIT 0.9", tier="better"),))
    found = fate_of(told(quote), LAST)
    assert found is not None and (found.tier, found.issued.entry.version) == ("good", 1)


def test_a_yes_to_another_version_after_a_no() -> None:
    """The refused version is passed over: version 2 was agreed to, and counts."""
    story = told(job(accepted_on=after(1), declined=((after(2), "price", 1),)))
    second = Told(an_entry("issued", "117", 20, after(3), 2), story.issued[0].body)
    yes = Told(an_entry("accepted", "117", 21, after(7), 2), story.accepted[0].body)
    found = fate_of(replace(story, issued=(*story.issued, second), accepted=(*story.accepted, yes)), LAST)
    assert found is not None
    assert (found.outcome, found.days, found.issued.entry.version) == ("accepted", 4, 2)


def test_a_new_version_after_a_no_is_open() -> None:
    """The customer was asked again and has not answered."""
    story = told(job(declined=((after(2), "price", 1),)))
    second = Told(an_entry("issued", "117", 20, after(30), 2), replace(story.issued[0].body, valid_until=after(60)))
    found = fate_of(replace(story, issued=(*story.issued, second)), LAST)
    assert found is not None and (found.outcome, found.days) == ("open", 10)


def test_a_quote_that_offered_nothing() -> None:
    """It can't be won."""
    story = told(job())
    bare = Told(story.issued[0].entry, replace(story.issued[0].body, offered=()))
    assert fate_of(replace(story, issued=(bare,)), LAST) is None
    assert fate_of(Story(job="1"), LAST) is None


@pytest.mark.parametrize(
    ("span", "count"),
    [
        (Span(first=DAY, last=DAY), 1),
        (Span(first=after(1), last=after(50)), 0),
        (Span(first=after(-9), last=after(-1)), 0),
    ],
)
def test_quotes_count_by_the_day_they_were_handed_over(span: Span, count: int) -> None:
    """Each in one span."""
    assert len(fates([seen_until(told(job(accepted_on=DAY)), span.last)], span)) == count


def test_comebacks_are_no_quotes_to_be_won() -> None:
    """The customer did not choose them."""
    back = job(comeback=Comeback(first_job="1", cause="part", charged=Decimal(0)))
    assert fates([told(back)], Span(first=DAY, last=LAST)) == ()


def test_options_are_those_of_the_version_that_was_decided() -> None:
    """A later version may show others."""
    story = told(job(accepted_on=after(1), offered=(an_option("good"), an_option("best"))))
    second = Told(an_entry("issued", "117", 20, after(2), 2), replace(story.issued[0].body, offered=(an_option("x"),)))
    found = fate_of(replace(story, issued=(*story.issued, second)), LAST)
    assert found is not None
    assert [option.code for option in found.issued.body.offered] == ["good", "best"]
    assert isinstance(story.accepted[0].body, Accepted)
