"""Cost over the years and lives (DESIGN.md 5.7 and 5.9).

horizon cost = work + sum over remedies, over k = 1, 2, ... with k x life < horizon, of
stand-alone work / (1 + interest) ** (k x life), rounded once. A life not stated lasts the horizon.
Units: money, years. Source: present worth of repeated outlays, any engineering economy text.

Worked example: work 100.00, stand-alone work 60.00, life 2 years, horizon 5, interest 10 %: it comes round at 2 and 4:
100.00 + 60.00 / 1.21 + 60.00 / 1.4641 = 190.57.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.money import round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.economy import single_payment_present_worth
from quotekit.pricing.items import Item


def horizon_of(basis: Basis) -> Decimal:
    """Years compared: the job's, else the shop's, never more than the machine could last."""
    return basis.job.years_compared(basis.book.settings.years_to_compare)


def renewals(
    work: Decimal, life: Decimal | None, horizon: Decimal, interest: Decimal
) -> Iterator[tuple[Decimal, Fraction]]:
    """Each time work is done again because its life runs out within the horizon: the year and today's worth of it.

    >>> [(str(year), str(worth)) for year, worth in renewals(Decimal(121), Decimal(2), Decimal(4), Decimal("0.1"))]
    [('2', '100')]
    """
    if life is None or life <= 0:
        return
    years = life
    while years < horizon:
        yield years, Fraction(work) * single_payment_present_worth(interest, years)
        years += life


def repeats(work: Decimal, life: Decimal | None, horizon: Decimal, interest: Decimal) -> Fraction:
    """Today's worth of doing work again each time its life runs out within the horizon.

    >>> repeats(Decimal("100"), Decimal(2), Decimal(5), Decimal(0))
    Fraction(200, 1)
    """
    return in_pairs([worth for _, worth in renewals(work, life, horizon, interest)])


def in_pairs(amounts: Sequence[Fraction]) -> Fraction:
    """The sum, halves first: added one by one, thousands of fractions of fifty digits would take minutes.

    >>> in_pairs([Fraction(1, 2), Fraction(1, 3), Fraction(1, 6)]), in_pairs([])
    (Fraction(1, 1), Fraction(0, 1))
    """
    if len(amounts) < 8:
        return sum(amounts, Fraction(0))
    half = len(amounts) // 2
    return in_pairs(amounts[:half]) + in_pairs(amounts[half:])


def horizon_cost(work: Decimal, again: Iterable[Fraction], digits: int) -> Decimal:
    """Work now and today's worth of what comes round again, rounded once.

    >>> str(horizon_cost(Decimal(100), [Fraction(100, 3), Fraction(25)], 2))
    '158.33'
    """
    later = [worth for worth in again if worth]
    return round_to(in_pairs([Fraction(work), *later]) if later else work, digits)


def life_within(item: Item, horizon: Decimal) -> Decimal:
    """A remedy's life, at most the horizon; not stated lasts the horizon."""
    return horizon if item.life is None else min(item.life, horizon)


def lives_of(items: Iterable[Item], covered: Iterable[str], horizon: Decimal) -> dict[str, Decimal]:
    """The life of each covered finding that a remedy fixes: the longest of the remedies that fix it."""
    lives: dict[str, Decimal] = {}
    wanted = frozenset(covered)
    for item in items:
        if item.remedy is None:
            continue
        life = life_within(item, horizon)
        for key in item.fixes & wanted:
            lives[key] = max(lives.get(key, life), life)
    return lives
