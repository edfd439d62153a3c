"""What is taken off the lines of a bill: down to what was agreed, and for a comeback; each piece by its own charge.

Held to agreed: where doing less comes to more (a saving lost, freight no longer free), the difference is taken off all
lines in proportion, by largest remainder. Comeback: of each line the customer pays its part, rounded.
Taxes are due on what is left of each charge.
Units: money. Source: shop policy; the price of a comeback is the shop's decision.

Worked example: a comeback of 110.50 of labour and parts of 7.70 at a quarter: 27.63 and 1.93 are paid, 82.87 and 5.77
are taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.entries import BillLine, Comeback
from quotekit.money import allocate, round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.bill.lines import COMEBACK, HELD


def held_to(lines: Sequence[BillLine], excess: Decimal, digits: int) -> tuple[BillLine, ...]:
    """Lines that take an amount above zero off the charges, in proportion."""
    charged = [line for line in lines if line.amount > 0]
    pieces = allocate(excess, [line.amount for line in charged], digits)
    return _pieces(HELD, "Held to what was agreed", zip(charged, pieces, strict=True))


def for_comeback(lines: Sequence[BillLine], comeback: Comeback, digits: int) -> tuple[BillLine, ...]:
    """Lines that leave of each charge the part that the customer pays."""
    off = [line.amount - round_to(line.amount * comeback.charged, digits) for line in lines]
    return _pieces(COMEBACK, _comeback_words(comeback), zip(lines, off, strict=True))


def _comeback_words(comeback: Comeback) -> str:
    if not comeback.charged:
        return f"Comeback to job {comeback.first_job}: not charged"
    percent = f"{(1 - comeback.charged) * 100:f}".rstrip("0").rstrip(".") if comeback.charged != 1 else "0"
    return f"Comeback to job {comeback.first_job}: {percent} % not charged"


def _pieces(before: str, text: str, pairs: Iterable[tuple[BillLine, Decimal]]) -> tuple[BillLine, ...]:
    return tuple(
        replace(
            line,
            key=f"{before}{line.key}",
            text=text,
            amount=ZERO - amount,
            detail="",
            quantity=None,
            unit="",
            each=None,
        )
        for line, amount in pairs
        if amount
    )
