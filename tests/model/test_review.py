"""Days of a review, and the sign of a variance."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from quotekit.model.review import Span, Variance

MAY = Span(first=date(2026, 5, 1), last=date(2026, 5, 31))


@pytest.mark.parametrize(
    ("day", "held"),
    [
        (date(2026, 4, 30), False),
        (date(2026, 5, 1), True),
        (date(2026, 5, 31), True),
        (date(2026, 6, 1), False),
    ],
)
def test_both_ends_are_within(day: date, held: bool) -> None:
    """A day belongs to one of two spans that follow each other, never to both or none."""
    assert MAY.holds(day) is held
    june = Span(first=MAY.last + timedelta(days=1), last=date(2026, 6, 30))
    assert not (MAY.holds(day) and june.holds(day))


def test_days_are_counted_with_both_ends() -> None:
    """One day is one."""
    assert MAY.days == 31
    assert Span(first=MAY.first, last=MAY.first).days == 1
    assert Span(first=date(2024, 1, 1), last=date(2024, 12, 31)).days == 366


@pytest.mark.parametrize(("amount", "sign"), [("-12.00", "F"), ("0", ""), ("0.00", ""), ("0.01", "U")])
def test_signs(amount: str, sign: str) -> None:
    """Actual minus standard: less is favourable."""
    assert Variance(amount=Decimal(amount)).sign == sign
