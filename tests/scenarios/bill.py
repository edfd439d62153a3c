"""A tier as a bill: every amount that is not zero, in the order it is added up."""

from __future__ import annotations

from dataclasses import fields

from quotekit.model.quote import PricedTier


def bill(tier: PricedTier) -> dict[str, str]:
    """Amounts as printed; savings and the credit are negative, tax is left out where there is none."""
    amounts = {field.name: getattr(tier.amounts, field.name) for field in fields(tier.amounts)}
    amounts |= {"subtotal": tier.subtotal, "tax": tier.tax, "total": tier.total}
    return {name: str(amount) for name, amount in amounts.items() if amount}


def parts_bill(tier: PricedTier) -> dict[str, str]:
    """Amount of every part line, the customer's own at zero."""
    return {line.part: str(line.amount) for line in tier.part_lines}
