"""The last yes, what is to be done now, and which revision waits."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.consent.authorised import (
    agreed_now,
    authorised_amount,
    last_yes,
    most_without_asking,
    pending,
    quote_since,
    version_now,
)
from quotekit.pricing.consent.threshold import threshold_of
from tests.pricing.consent.made import (
    D,
    Step,
    a_revision,
    a_rule,
    accepted,
    an_accepted,
    an_agreed,
    declined,
    issued,
    story,
)

WITHIN, ABOVE = a_revision("320.00", needs_consent=False), a_revision("335.00", needs_consent=True)


@pytest.mark.parametrize(
    ("steps", "yes", "now", "version", "waits"),
    [
        ([issued(1)], None, None, None, None),
        ([issued(1), accepted(1)], "300.00", "300.00", 1, None),
        ([issued(1), accepted(1), declined(1)], None, None, None, None),
        ([issued(1), accepted(1), declined(None)], None, None, None, None),
        ([issued(1), declined(1), accepted(1)], "300.00", "300.00", 1, None),
        ([issued(1), accepted(1), accepted(1, "280.00")], "280.00", "280.00", 1, None),
        ([issued(1), accepted(1), issued(2, WITHIN)], "300.00", "320.00", 2, None),
        ([issued(1), accepted(1), issued(2, WITHIN), declined(2)], "300.00", "300.00", 1, None),
        ([issued(1), accepted(1), issued(2, ABOVE)], "300.00", "300.00", 1, 2),
        ([issued(1), accepted(1), issued(2, ABOVE), declined(2)], "300.00", "300.00", 1, None),
        ([issued(1), accepted(1), issued(2, ABOVE), accepted(2, "335.00")], "335.00", "335.00", 2, None),
        ([issued(1), accepted(1), issued(2, WITHIN), issued(3, ABOVE)], "300.00", "320.00", 2, 3),
        ([issued(1), accepted(1), issued(2, WITHIN), issued(3, ABOVE), declined(3)], "300.00", "320.00", 2, None),
        ([issued(1), accepted(1), issued(2, ABOVE), declined(2), accepted(2, "335.00")], "335.00", "335.00", 2, None),
        ([issued(1), accepted(1), issued(2, ABOVE), accepted(2, "335.00"), declined(2)], None, None, None, None),
        ([issued(1), accepted(1), issued(2)], "300.00", "300.00", 1, None),
        ([issued(1), accepted(1), issued(2, WITHIN), declined(None)], None, None, None, None),
    ],
)
def test_what_holds_now(
    steps: list[Step], yes: str | None, now: str | None, version: int | None, waits: int | None
) -> None:
    """A no to a revision leaves the yes before it; a revision that needs no consent is done and raises nothing."""
    told = story(*steps)
    last, lines, waiting = last_yes(told), agreed_now(told), pending(told)
    assert (last and last.body.agreed.total) == (yes and D(yes))
    assert (lines and lines.total) == (now and D(now))
    assert version_now(told) == version
    assert (waiting and waiting.entry.version) == waits


@pytest.mark.parametrize(
    ("steps", "waits"),
    [
        ([issued(1)], None),
        ([issued(1), issued(2)], None),
        ([issued(1), accepted(1)], None),
        ([issued(1), accepted(1), issued(2)], 2),
        ([issued(1), accepted(1), issued(2), issued(3)], 3),
        ([issued(1), accepted(1), issued(2), declined(2)], None),
        ([issued(1), accepted(1), issued(2), accepted(2)], None),
        ([issued(1), accepted(1), issued(2, ABOVE)], None),
        ([issued(1), accepted(1), declined(None), issued(2)], None),
    ],
)
def test_a_new_quote_beside_a_yes_waits_for_an_answer_of_its_own(steps: list[Step], waits: int | None) -> None:
    """A no to it must not take back the work that was agreed before."""
    told = quote_since(story(*steps))
    assert (told and told.entry.version) == waits


@pytest.mark.parametrize(
    ("compares", "authorised", "most"), [("with tax", "107.00", "117.70"), ("before tax", "100.00", "110.00")]
)
def test_the_most_without_asking_is_on_the_basis_of_the_rule(compares: str, authorised: str, most: str) -> None:
    yes = an_accepted(an_agreed("100.00", "7.00"), a_rule("0.10", "0", "the greater", compares))
    assert (authorised_amount(yes), most_without_asking(yes, 2)) == (D(authorised), D(most))


RULE = a_rule("0.10", "25", "the greater")
TOTALS = st.lists(st.integers(10_000, 60_000).map(lambda cents: str(Decimal(cents).scaleb(-2))), max_size=8)


@given(TOTALS)
def test_small_rises_never_add_up_to_more_than_one_threshold(totals: list[str]) -> None:
    """Each revision is measured from the last yes: however many come, none that goes on unasked passes its most."""
    steps: list[Step] = [issued(1), accepted(1, "300.00", RULE)]
    for version, total in enumerate(totals, start=2):
        yes = last_yes(story(*steps))
        assert yes is not None
        rise = D(total) - authorised_amount(yes.body)
        asked = rise > threshold_of(RULE, authorised_amount(yes.body), 2)
        steps.append(issued(version, a_revision(total, needs_consent=asked)))
    told = story(*steps)
    yes, lines = last_yes(told), agreed_now(told)
    assert yes is not None and lines is not None
    assert yes.body.agreed.total == D("300.00")
    assert lines.total <= most_without_asking(yes.body, 2) == D("330.00")
    unasked = [total for total in totals if D(total) <= 330]
    assert lines.total == D(unasked[-1] if unasked else "300.00")
