"""Where a job stands: one line a state, told by what happened in order."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.entries import Billed, Closed, Paid
from quotekit.pricing.standing import standing_of
from tests.pricing.consent.made import a_revision, accepted, declined, issued, story

WITHIN, ABOVE = a_revision("320.00", needs_consent=False), a_revision("335.00", needs_consent=True)
WAITS = "version 2 waits for an answer"
DONE = ("closed", None, Closed(hours=(), parts=()))


def billed(total: str) -> Any:
    amount = Decimal(total)
    nothing = Decimal("0.00")
    bill = Billed(
        lines=(),
        subtotal=amount,
        taxes=(),
        tax=nothing,
        total=amount,
        paid=nothing,
        due=amount,
        authorised=amount,
        currency="USD",
    )
    return ("billed", 1, bill)


def paid(amount: str) -> Any:
    return ("paid", None, Paid(amount=Decimal(amount), purpose="bill"))


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        ([], "nothing issued"),
        ([issued(1)], "version 1 waits for an answer"),
        ([issued(1), issued(2)], "version 2 waits for an answer"),
        ([issued(1), declined(1)], "declined, to be billed"),
        ([issued(1), declined(1), issued(2)], "version 2 waits for an answer"),
        ([issued(1), accepted(1)], "version 1 is agreed, in work"),
        ([issued(1), accepted(1), issued(2, WITHIN)], "version 2 is agreed, in work"),
        ([issued(1), accepted(1), issued(2, ABOVE)], "version 2 waits for an answer; version 1 is agreed"),
        ([issued(1), accepted(1), issued(2, ABOVE), declined(2)], "version 1 is agreed, in work"),
        ([issued(1), accepted(1), issued(2)], "version 2 waits for an answer; version 1 is agreed"),
        ([issued(1), accepted(1), issued(2), declined(2)], "version 1 is agreed, in work"),
        ([issued(1), accepted(1), DONE], "done, to be billed"),
        ([issued(1), accepted(1), DONE, issued(2, ABOVE), accepted(2)], "version 2 is agreed, in work"),
        ([issued(1), accepted(1), DONE, billed("300.00")], "billed, 300.00 to pay"),
        ([issued(1), accepted(1), DONE, billed("300.00"), paid("100.00")], "billed, 200.00 to pay"),
        ([issued(1), accepted(1), paid("60.00"), DONE, billed("300.00"), paid("240.00")], "billed and paid"),
        ([issued(1), accepted(1), paid("60.00"), DONE, billed("45.00")], "billed, 15.00 to give back"),
        ([issued(1), declined(1), billed("45.00")], "declined; billed, 45.00 to pay"),
        ([issued(1), declined(1), billed("45.00"), paid("45.00")], "declined; billed and paid"),
        ([issued(1), accepted(1), DONE, billed("300.00"), billed("-15.98")], "billed, 284.02 to pay"),
        ([issued(1), accepted(1), DONE, billed("300.00"), issued(2, ABOVE)], f"{WAITS}; version 1 is agreed"),
        ([issued(1), accepted(1), DONE, billed("300.00"), issued(2, WITHIN)], "version 2 is agreed, in work"),
        ([issued(1), accepted(1), DONE, issued(2, WITHIN)], "version 2 is agreed, in work"),
        ([issued(1), accepted(1), DONE, billed("300.00"), issued(2, ABOVE), declined(2)], "billed, 300.00 to pay"),
        ([issued(1), declined(1), billed("45.00"), issued(2)], WAITS),
    ],
)
def test_the_last_thing_that_happened_says_where_a_job_stands(steps: list[Any], expected: str) -> None:
    assert standing_of(story(*steps)) == expected
