"""What is new in a changed job against what was agreed: repairs, parts and amounts, line by line.

Two agreed records are compared by the keys of their items, by part code and by the names of their amounts. Nothing is
priced: a difference is `now - before`, exact. The differences of the amounts before tax add up to that of the
subtotals, and with those of the taxes to that of the totals.
Units: money, quantities.

Worked example: agreed a belt (labour 40.00, parts 29.25); now a bushing too (labour 94.00, parts 37.50): one new item,
one new part, labour 54.00 more, parts 8.25 more.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedItem, AgreedPart
from quotekit.model.consent import AmountChange, Changes, PartChange

_NOTHING = Decimal(0)


def changes_of(before: Agreed, now: Agreed) -> Changes:
    """All that differs between what was agreed and a changed job; a one-off part is told as a part alone."""
    parts = changed_parts(before, now)
    as_part = {part.part for change in parts for part in (change.before, change.after) if part is not None}
    return Changes(
        new=tuple(item for item in new_items(before, now) if not _is_part(item, as_part)),
        gone=tuple(item for item in gone_items(before, now) if not _is_part(item, as_part)),
        parts=parts,
        amounts=changed_amounts(before, now),
        taxes=changed_taxes(before, now),
    )


def _is_part(item: AgreedItem, as_part: set[str]) -> bool:
    return item.kind == "one-off" and item.key in as_part


def new_items(before: Agreed, now: Agreed) -> tuple[AgreedItem, ...]:
    """Repairs and extras that were not agreed."""
    agreed = {item.key for item in before.items}
    return tuple(item for item in now.items if item.key not in agreed)


def gone_items(before: Agreed, now: Agreed) -> tuple[AgreedItem, ...]:
    """Repairs and extras that were agreed and are no longer there."""
    return new_items(now, before)


def changed_parts(before: Agreed, now: Agreed) -> tuple[PartChange, ...]:
    """Parts that are new, gone, more, fewer, or at another price or in another condition."""
    agreed = {part.part: part for part in before.parts}
    there = {part.part: part for part in now.parts}
    codes = (*sorted(there), *sorted(agreed.keys() - there.keys()))
    pairs = ((agreed.get(code), there.get(code)) for code in codes)
    return tuple(PartChange(before=one, after=other) for one, other in pairs if _as_sold(one) != _as_sold(other))


def changed_amounts(before: Agreed, now: Agreed) -> tuple[AmountChange, ...]:
    """Every amount before tax that is there before or now, in the order of money, the same ones too."""
    names = dict.fromkeys((*now.amounts, *before.amounts))
    changes = (
        AmountChange(name=name, before=before.amounts.get(name, _NOTHING), after=now.amounts.get(name, _NOTHING))
        for name in names
    )
    return tuple(change for change in changes if change.before or change.after)


def changed_taxes(before: Agreed, now: Agreed) -> tuple[AmountChange, ...]:
    """Every tax that is there before or now."""
    first, second = _by_tax(before), _by_tax(now)
    return tuple(
        AmountChange(name=tax, before=first.get(tax, _NOTHING), after=second.get(tax, _NOTHING))
        for tax in dict.fromkeys((*second, *first))
    )


def _by_tax(agreed: Agreed) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = {}
    for line in agreed.taxes:
        sums[line.tax] = sums.get(line.tax, _NOTHING) + line.amount
    return sums


def _as_sold(part: AgreedPart | None) -> object:
    """What the customer knows of a part."""
    return part and (part.name, part.quantity, part.unit_price, part.amount, part.new_or_used, part.own)
