"""What the customer owes, told by the entries of a job."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.entries import Billed, Paid
from quotekit.model.story import story_of
from quotekit.pricing.owed import owed
from tests.pricing.consent.made import (
    D,
    a_revision,
    accepted,
    an_accepted,
    an_agreed,
    an_issued,
    declined,
    entries,
    issued,
)

DEPOSIT = ("accepted", 1, an_accepted(an_agreed("300.00", deposit=D("40.00"))))
WITHIN, ABOVE = a_revision("320.00", needs_consent=False), a_revision("400.00", needs_consent=True)


def paid(amount: str) -> Any:
    """Money taken."""
    return "paid", 1, Paid(amount=D(amount), purpose="deposit")


def billed(total: str) -> Any:
    """A bill."""
    nothing = D("0.00")
    body = Billed(lines=(), subtotal=D(total), taxes=(), tax=nothing, total=D(total), paid=nothing, due=D(total),
                  authorised=D(total), currency="USD")  # fmt: skip
    return "billed", None, body


@pytest.mark.parametrize(
    ("steps", "to_pay", "due", "deposit_due"),
    [
        ([issued(1)], None, None, "0"),
        ([issued(1), paid("25.00")], None, None, "0"),
        ([issued(1), accepted(1)], "300.00", "300.00", "0"),
        ([issued(1), DEPOSIT], "300.00", "300.00", "40.00"),
        ([issued(1), DEPOSIT, paid("10.00")], "300.00", "290.00", "30.00"),
        ([issued(1), paid("60.00"), DEPOSIT], "300.00", "240.00", "0"),
        ([issued(1), DEPOSIT, paid("10.00"), paid("-10.00")], "300.00", "300.00", "40.00"),
        ([issued(1), accepted(1), issued(2, WITHIN)], "320.00", "320.00", "0"),
        ([issued(1), accepted(1), issued(2, ABOVE)], "300.00", "300.00", "0"),
        ([issued(1), accepted(1), issued(2, ABOVE), declined(2)], "300.00", "300.00", "0"),
        ([issued(1), declined(1)], "45.00", "45.00", "0"),
        ([issued(1), DEPOSIT, paid("60.00"), declined(None)], "45.00", "-15.00", "0"),
        ([issued(1), DEPOSIT, billed("280.00")], "280.00", "280.00", "0"),
        ([issued(1), DEPOSIT, billed("200.00"), paid("200.00"), billed("80.00")], "280.00", "80.00", "0"),
        ([issued(1), declined(1), issued(2)], None, None, "0"),
    ],
)
def test_what_is_due(steps: list[Any], to_pay: str | None, due: str | None, deposit_due: str) -> None:
    """Bills once there are any, else what is agreed now, else what a no costs; money taken counts from the first."""
    steps = [(kind, version, _with_cost_of_a_no(body)) for kind, version, body in steps]
    found = owed(story_of("117", entries(steps)))
    assert (found.to_pay, found.due) == (to_pay and D(to_pay), due and D(due))
    assert found.deposit_due == D(deposit_due)


def _with_cost_of_a_no(body: Any) -> Any:
    return replace(body, declined_total=D("45.00")) if isinstance(body, type(an_issued())) else body
