"""Fees: each once if any of its operations is present, or by the quantity the job gives (DESIGN.md 5.5 item 6).

A quantity on the job replaces the fee's own trigger. One-off charges count as fees.
Work priced by itself takes the fees by operation and leaves out the job's own.
Units: money per unit of the fee. Source: shop policy.

Worked example: DISPOSAL 3.00 applies to OIL-CHANGE: 3.00 once, however many operations bring it. The job says
PICKUP x 12 at 1.50 a mile: 18.00. DISPOSAL x 0 on the job waives it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from quotekit.model.job import OneOff
from quotekit.model.shop_book import Fee
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.work import Work


class FeeAmount(NamedTuple):
    """A fee or a one-off charge; `fee` is None for a charge."""

    key: str
    name: str
    quantity: Decimal
    unit: str
    amount: Decimal
    fee: Fee | None
    wording: str = ""


def fees_of(basis: Basis, present_codes: frozenset[str], *, alone: bool) -> list[FeeAmount]:
    """Fees that a set of work brings, in text order of their codes."""
    given = {} if alone else {entry.code: entry.quantity for entry in basis.job.fees}
    found = []
    for fee in basis.book.fees.values():
        quantity = given.get(fee.code, Decimal(1) if _triggered(fee, present_codes) else ZERO)
        if quantity:
            found.append(fee_amount(fee, quantity, basis.digits))
    return sorted(found, key=lambda line: line.key)


def triggered_by(basis: Basis, present_codes: frozenset[str]) -> list[Fee]:
    """Fees that these operations bring and the job does not set."""
    given = {entry.code for entry in basis.job.fees}
    return [
        fee
        for fee in basis.book.fees.values()
        if fee.code not in given and not fee.always and not present_codes.isdisjoint(fee.applies_to)
    ]


def charges_of(basis: Basis, work: Work) -> list[FeeAmount]:
    """One-off charges of the tier."""
    return [
        FeeAmount(
            line.code,
            line.line,
            line.quantity,
            "",
            charge_price(line, basis.digits),
            None,
        )
        for line in (item.one_off for item in work.items)
        if line is not None and line.kind == "charge"
    ]


def charge_price(line: OneOff, digits: int) -> Decimal:
    """round(unit price x quantity) of a one-off charge."""
    return round_to((line.unit_price or ZERO) * line.quantity, digits)


def _triggered(fee: Fee, present_codes: frozenset[str]) -> bool:
    return fee.always or not present_codes.isdisjoint(fee.applies_to)


def fee_amount(fee: Fee, quantity: Decimal, digits: int) -> FeeAmount:
    """round(amount x quantity) of a fee."""
    wording = fee.required_wording or fee.customer_wording
    return FeeAmount(fee.code, fee.fee, quantity, fee.unit, round_to(fee.amount * quantity, digits), fee, wording)
