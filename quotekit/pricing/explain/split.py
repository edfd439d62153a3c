"""A piece of an amount that is split in proportion, to the cent, by largest remainder (5.6)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.pricing.explain.told import Told

Three = tuple[Explanation, Explanation, Explanation]


def piece(told: Told, figure: str, amount: Decimal, of: Three, rule: str) -> Explanation:
    """amount x own weight / all weights, with the cent that the largest remainders get."""
    return told.money.node(figure, amount, "share", (*of, _cent(told, amount, of)), rule)


def rounded_toward_zero(of: Three, digits: int) -> Decimal:
    """First x second / third in whole minor units, what is left over dropped."""
    whole, own, together = (Fraction(one.number or 0) for one in of)
    units = abs(whole * own / together * 10**digits) // 1 if together else 0
    return Decimal(int(units) if whole * own >= 0 else -int(units)).scaleb(-digits)


def _cent(told: Told, amount: Decimal, of: Three) -> Explanation:
    left = amount - rounded_toward_zero(of, told.money.digits)
    rule = "What rounding leaves of the whole goes by cents to the largest remainders, the earlier first (rules 5.6)."
    if not left:
        rule = "No cent that rounding leaves falls to it (rules 5.6)."
    return told.money.settled("of what rounding leaves", left, rule)
