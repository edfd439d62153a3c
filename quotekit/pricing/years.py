"""What a tier comes to over the years, repair by repair (DESIGN.md 5.7).

cost = the horizon cost: work now, and each remedy's stand-alone work again at k x life < horizon, at today's worth.
equivalent a year = cost x A/P at the shop's interest over the horizon, rounded once; no interest: cost / horizon.
A horizon that is no whole number of years is read as it stands (see `economy`): at 3.5 years without interest a year is
1 / 3.5 of the cost. A horizon of zero has none.
Where the life of a taken remedy is not stated nothing is worked out, as its repeats are not known.
Each repeat's exact worth is put into money by largest remainder, so that work and repeats add up to the cost.
Units: money, years. Source: equivalent uniform annual cost, any engineering economy text.

Worked example: work 100.00, stand-alone work 60.00, life 2 years, horizon 5, interest 10 %: it comes round at 2 and 4,
60 / 1.21 + 60 / 1.4641 = 90.57; cost 190.57; A/P over 5 years 0.263797: 50.27 a year.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.years import CostOverYears, Repeat
from quotekit.money import allocate, round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.economy import equivalent_a_year
from quotekit.pricing.items import Item
from quotekit.pricing.life import horizon_cost, horizon_of, in_pairs, renewals
from quotekit.pricing.over_years import work_by_year


def cost_over_years(
    basis: Basis, work: Decimal, remedies: Sequence[Item], alone: Callable[[Item], Decimal]
) -> CostOverYears | None:
    """A tier's years, or None where a remedy's life is not stated; `alone` gives a remedy's stand-alone work."""
    if any(item.life is None for item in remedies):
        return None
    horizon, interest = horizon_of(basis), basis.book.settings.interest_a_year
    in_order = sorted(remedies, key=lambda item: item.key)
    due = [(item, list(renewals(alone(item), item.life, horizon, interest))) for item in in_order]
    cost = horizon_cost(work, (worth for _, again in due for _, worth in again), basis.digits)
    return CostOverYears(
        horizon=horizon,
        interest=interest,
        cost=cost,
        equivalent_a_year=round_to(equivalent_a_year(cost, interest, horizon), basis.digits) if horizon else None,
        by_year=work_by_year(basis, work, [pair for _, again in due for pair in again]),
        repeats=_repeats([(item, again) for item, again in due if again], alone, cost - work, basis.digits),
    )


def _repeats(
    due: Sequence[tuple[Item, list[tuple[Decimal, Fraction]]]],
    alone: Callable[[Item], Decimal],
    together: Decimal,
    digits: int,
) -> tuple[Repeat, ...]:
    """One record an item that comes round; their worth in money adds up to `together`."""
    worths = [in_pairs([worth for _, worth in again]) for _, again in due]
    return tuple(
        Repeat(
            item=item.key,
            years=tuple(year for year, _ in again),
            each=alone(item),
            worth=worth,
            together=shown,
        )
        for (item, again), worth, shown in zip(due, worths, allocate(together, worths, digits), strict=True)
    )
