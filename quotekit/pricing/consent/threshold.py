"""How far a total may pass what the customer agreed to before the customer must be asked (DESIGN.md 3.1).

Of the last authorised amount A, on the basis of the rule (before tax: the subtotal; with tax: the total to pay):
threshold = the greater, or the lesser, of `percent x A` and `amount`, at most the ceiling where there is one, rounded
down to the currency's minor unit.
A rise of exactly the threshold needs no consent; one unit of money more does. Zero is a rule like any other: the lesser
of ten percent and nothing is nothing, and then any excess needs consent.
Rounded down, so that nothing passes that the exact percentage would not let pass; amounts are whole minor units, so the
decision is that of the exact percentage.
Units: money; the percentage is a fraction. Source: shop policy, to be set as the law of the place asks.

Worked example: agreed 123.45, 10 % or 50.00, the lesser: 12.345 is less than 50.00; the total may rise by 12.34, and
135.80 needs consent. Agreed 900.00, the greater of 10 % and 10.00, at most 50.00: the total may rise by 50.00.
"""

from __future__ import annotations

from decimal import Decimal, localcontext

from quotekit.model.agreed import Agreed, Basis, ConsentRule
from quotekit.money import EXACT, round_down


def threshold_of(rule: ConsentRule, authorised: Decimal, digits: int) -> Decimal:
    """How far an amount may rise above the authorised one without consent.

    >>> rule = ConsentRule(over_percent=Decimal("0.10"), over_amount=Decimal(5), over="the greater")
    >>> threshold_of(rule, Decimal("40.00"), 2), threshold_of(rule, Decimal("123.45"), 2)
    (Decimal('5.00'), Decimal('12.34'))
    """
    with localcontext(EXACT):
        both = (rule.over_percent * authorised, rule.over_amount)
        counts = max(both) if rule.over == "the greater" else min(both)
        if rule.at_most is not None:
            counts = min(counts, rule.at_most)
        return round_down(max(counts, Decimal(0)), digits)


def amount_on(basis: Basis, agreed: Agreed) -> Decimal:
    """The amount that a rule compares: the subtotal before tax, or the total to pay."""
    return agreed.subtotal if basis == "before tax" else agreed.total
