"""What a tier aims at, as a value to make least (DESIGN.md 5.7).

lowest price: least work. least to own: least horizon cost, compared as rounded.
longest life: the largest shortest life, then the largest sum of lives, of the covered findings that remedies fix.
Ties: less work in money, then fewer operations, then codes in text order.
Units: money, years.

Worked example: two choices cost 100.00 and 160.00 of work and last 2 and 6 years over 5 years at no interest. Lowest
price takes the first. It comes round at 2 and 4 years: 300.00 to own against 160.00, so least to own takes the second.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.shop_book import Aim
from quotekit.pricing.charges import Charges
from quotekit.pricing.covers import Cover, Group
from quotekit.pricing.items import Item
from quotekit.pricing.life import lives_of
from quotekit.pricing.setup import Setup

Value = tuple[Decimal | int | tuple[str, ...], ...]


def value_of(setup: Setup, aim: Aim, items: Sequence[Item], covered: frozenset[str], charges: Charges) -> Value:
    """The aim's value of a choice, the least is best, with the ties after it."""
    ties: Value = (charges.total, len(charges.work.present), tuple(sorted(item.key for item in items)))
    if aim == "lowest price":
        return ties
    if aim == "least to own":
        return (setup.cost_over_years(charges.total, items), *ties)
    shortest, together = life_value(items, covered, setup.horizon)
    return (-shortest, -together, *ties)


def with_other_work(setup: Setup, aim: Aim, value: Value, items: Sequence[Item], total: Decimal) -> Value:
    """The value of a choice whose work comes to another amount, all else about it as it was.

    >>> with_other_work(None, "lowest price", (Decimal(5), 2, ("A",)), (), Decimal(6))  # type: ignore[arg-type]
    (Decimal('6'), 2, ('A',))
    """
    if aim == "longest life":
        return (*value[:2], total, *value[3:])
    if aim == "least to own":
        return (setup.cost_over_years(total, items), total, *value[2:])
    return (total, *value[1:])


def life_value(items: Sequence[Item], covered: frozenset[str], horizon: Decimal) -> tuple[Decimal, Decimal]:
    """The shortest life of the covered findings and the sum of their lives."""
    lives = lives_of(items, covered, horizon).values()
    return min(lives, default=horizon), sum(lives, Decimal(0))


def unstated_life(aim: Aim, groups: Sequence[Group]) -> Item | None:
    """A remedy without a life that an aim over years would have to choose or refuse."""
    if aim == "lowest price":
        return None
    for group in groups:
        in_all = frozenset.intersection(*(frozenset(cover.items) for cover in group.covers))
        for cover in group.covers:
            for item in cover.items:
                if item.life is None and item not in in_all:
                    return item
    return None


def reachable_life(groups: Sequence[Group], covered: frozenset[str], horizon: Decimal) -> Decimal:
    """The longest that every covered finding can last at least; `covered` are those of the whole tier."""
    longest = (max(shortest for shortest, _ in _lives_of_covers(group, covered, horizon)) for group in groups)
    return min(longest, default=horizon)


def keep_longest(
    groups: Sequence[Group], covered: frozenset[str], horizon: Decimal, reachable: Decimal
) -> list[tuple[Cover, ...]]:
    """Covers of each group that can be in a longest-life choice: exact, as shortest and sum come apart by group."""
    kept = []
    for group in groups:
        lives = _lives_of_covers(group, covered, horizon)
        longest = max(together for shortest, together in lives if shortest >= reachable)
        kept.append(
            tuple(
                cover
                for cover, (shortest, together) in zip(group.covers, lives, strict=True)
                if shortest >= reachable and together == longest
            )
        )
    return kept


def _lives_of_covers(group: Group, covered: frozenset[str], horizon: Decimal) -> list[tuple[Decimal, Decimal]]:
    """A finding that a one-off line fixes is in no group, and counts where a remedy fixes it too."""
    return [life_value(cover.items, covered | cover.covered, horizon) for cover in group.covers]
