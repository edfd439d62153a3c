"""A small job of two repairs behind one cover, agreed and to be billed: numbers a reader can add up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.entries import Billed
from quotekit.pricing.bill.to_bill import WorkToBill
from tests.build import (
    a_book,
    a_finding,
    a_finding_on,
    a_job,
    a_part,
    a_remedy,
    a_step,
    a_tier,
    an_operation,
    settings,
)
from tests.pricing.bill.cases import to_bill

BEFORE, AFTER = date(2026, 3, 2), date(2026, 9, 1)


def two_repairs(shop: dict[str, Any] | None = None, job: dict[str, Any] | None = None, **book: Any) -> WorkToBill:
    """A belt and a seal behind one cover (0.5 h), at 100.00 an hour.

    BELT 0.6 h with a belt of 30.00; SEAL 0.4 h with two seals of 4.50 each. Together 1.5 h 150.00 and 39.00 of parts.
    """
    named: dict[str, Any] = {
        "settings": settings(**(shop or {})),
        "access": [a_step("COVER", "0.2", "0.3")],
        "operations": [
            an_operation("FIT-BELT", "0.6", access=["COVER"], parts="BELT"),
            an_operation("FIT-SEAL", "0.4", access=["COVER"], parts="SEAL x 2"),
        ],
        "parts": [a_part("BELT", 20), a_part("SEAL", 3), a_part("STARTER", 40, core_charge="15")],
        "findings": [a_finding("SLIPS"), a_finding("LEAKS")],
        "remedies": [a_remedy("NEW-BELT", ["SLIPS"], ["FIT-BELT"]), a_remedy("NEW-SEAL", ["LEAKS"], ["FIT-SEAL"])],
        "tiers": [a_tier("good")],
    }
    on = a_job(a_finding_on("SLIPS"), a_finding_on("LEAKS"), **(job or {}))
    return to_bill(a_book(**named | book), on)


def paid(*money: str) -> tuple[tuple[date | None, str, Decimal], ...]:
    """Payments on the day of the quote."""
    return tuple((BEFORE, "Paid", Decimal(amount)) for amount in money)


def totals(made: Billed) -> tuple[str, str, str]:
    """Subtotal, tax and total."""
    return str(made.subtotal), str(made.tax), str(made.total)
