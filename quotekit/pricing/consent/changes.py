"""What is new in a changed job against what was agreed: repairs, parts and amounts, line by line.

Two agreed records are compared by the keys of their items, by part code and by the names of their amounts; a one-off
line by its text, since its code counts rows and a row put in above it gives it another. Nothing is priced: a
difference is `now - before`, exact. The differences of the amounts before tax add up to that of the subtotals, and with
those of the taxes to that of the totals.
Units: money, quantities.

Worked example: agreed a belt (labour 40.00, parts 29.25); now a bushing too (labour 94.00, parts 37.50): one new item,
one new part, labour 54.00 more, parts 8.25 more.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedItem, AgreedPart
from quotekit.model.consent import AmountChange, Changes, PartChange
from quotekit.model.job import ONE_OFF
from quotekit.pricing.told_apart import told_apart

_NOTHING = Decimal(0)


def changes_of(before: Agreed, now: Agreed) -> Changes:
    """All that differs between what was agreed and a changed job; a one-off part is told as a part alone."""
    parts = changed_parts(before, now)
    came, went = (_codes(change.after for change in parts), _codes(change.before for change in parts))
    return Changes(
        new=tuple(item for item in new_items(before, now) if not _is_part(item, came)),
        gone=tuple(item for item in gone_items(before, now) if not _is_part(item, went)),
        parts=parts,
        amounts=changed_amounts(before, now),
        taxes=changed_taxes(before, now),
    )


def _codes(parts: Iterable[AgreedPart | None]) -> set[str]:
    return {part.part for part in parts if part is not None}


def _is_part(item: AgreedItem, as_part: set[str]) -> bool:
    return item.kind == "one-off" and item.key in as_part


def new_items(before: Agreed, now: Agreed) -> tuple[AgreedItem, ...]:
    """Repairs and extras that were not agreed."""
    agreed = _known_items(before)
    return tuple(item for known_as, item in _known_items(now).items() if known_as not in agreed)


def gone_items(before: Agreed, now: Agreed) -> tuple[AgreedItem, ...]:
    """Repairs and extras that were agreed and are no longer there."""
    return new_items(now, before)


def changed_parts(before: Agreed, now: Agreed) -> tuple[PartChange, ...]:
    """Parts that are new, gone, more, fewer, or at another price or in another condition."""
    agreed, there = _known_parts(before), _known_parts(now)
    names = (*sorted(there), *sorted(agreed.keys() - there.keys()))
    pairs = ((agreed.get(known_as), there.get(known_as)) for known_as in names)
    return tuple(PartChange(before=one, after=other) for one, other in pairs if _as_sold(one) != _as_sold(other))


def _known_items(agreed: Agreed) -> dict[str, AgreedItem]:
    return told_apart(agreed.items, lambda item: f"{ONE_OFF}{item.name}" if item.kind == "one-off" else item.key)


def _known_parts(agreed: Agreed) -> dict[str, AgreedPart]:
    return told_apart(
        agreed.parts, lambda part: f"{ONE_OFF}{part.name}" if part.part.startswith(ONE_OFF) else part.part
    )


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
