"""What a tier comes to over the years, and the order of the tiers under other settings (DESIGN.md 5.7), in Fractions.

A second, plain implementation: each repeat is added up one by one, and a setting is tried by pricing under it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests.oracle.choose import Chooser
from tests.oracle.exact import fraction, grown, half_up, share_out
from tests.oracle.tiers import WorkedTier, a_world, worked_tiers
from tests.oracle.work import Item, World

ZERO = Fraction(0)
Figures = dict[str, Any]


@dataclass(frozen=True)
class Terms:
    """The settings a cost over the years hangs on; `stretch` is a factor on every life."""

    interest: Fraction
    horizon: Fraction
    stretch: Fraction = Fraction(1)


@dataclass(frozen=True)
class Lasting:
    """A chosen remedy: its stand-alone work and its life, None where none is stated."""

    key: str
    alone: Fraction
    life: Fraction | None

    def due(self, terms: Terms) -> list[Fraction]:
        """The years at which it comes round again, before the horizon."""
        if self.life is None:
            return []
        life = self.life * terms.stretch
        return [k * life for k in range(1, ceil(terms.horizon / life)) if k * life < terms.horizon]

    def worth(self, terms: Terms) -> Fraction:
        """Its repeats at today's worth, not rounded."""
        return sum((self.alone / grown(terms.interest, year) for year in self.due(terms)), ZERO)


@dataclass
class Owned:
    """A tier as far as the years go."""

    code: str
    place: int
    work: Fraction
    lasting: list[Lasting]
    digits: int

    @property
    def stated(self) -> bool:
        """Every life is stated."""
        return all(one.life is not None for one in self.lasting)

    def cost(self, terms: Terms) -> Fraction:
        """Work and repeats, rounded once."""
        return half_up(self.work + sum((one.worth(terms) for one in self.lasting), ZERO), self.digits)

    def rank(self, terms: Terms) -> tuple[Fraction, Fraction, int]:
        """The order of the tiers: cost as rounded, then work, then the book's order."""
        return self.cost(terms), self.work, self.place


def terms_of(world: World) -> Terms:
    """As the shop book and the job say."""
    job, settings = world.job, world.book.settings
    years = settings.years_to_compare if job.years_to_compare is None else job.years_to_compare
    horizon = fraction(years)
    if job.years_it_could_last is not None:
        horizon = min(horizon, fraction(job.years_it_could_last))
    return Terms(fraction(settings.interest_a_year), horizon)


def owned(world: World, tier: WorkedTier, place: int) -> Owned:
    """Stand-alone work and life of what a tier takes."""
    assert tier.priced is not None
    chooser = Chooser(world)
    return Owned(
        tier.tier.code,
        place,
        tier.priced.work,
        [_lasting(chooser, item) for item in sorted(tier.remedies, key=lambda item: item.key)],
        world.digits,
    )


def _lasting(chooser: Chooser, item: Item) -> Lasting:
    years = item.record.life_years
    return Lasting(item.key, chooser.stand_alone(item), None if years is None else fraction(years))


def over_years(tier: Owned, terms: Terms) -> Figures:
    """Horizon, cost, the level amount a year, the cost as the years go by, and the repeats."""
    cost = tier.cost(terms)
    again = [one for one in tier.lasting if one.due(terms)]
    together = share_out(cost - tier.work, [one.worth(terms) for one in again], tier.digits)
    return {
        "horizon": terms.horizon,
        "cost": cost,
        "equivalent_a_year": half_up(cost * capital_recovery(terms.interest, terms.horizon), tier.digits),
        "by_year": [tier.cost(replace(terms, horizon=year)) for year in years_shown(terms.horizon)],
        "repeats": [
            {"item": one.key, "years": one.due(terms), "each": one.alone, "together": amount}
            for one, amount in zip(again, together, strict=True)
        ],
    }


def years_shown(horizon: Fraction) -> list[Fraction]:
    """0, 1, 2 ... and the horizon."""
    whole = [Fraction(year) for year in range(floor(horizon) + 1)]
    return whole if whole[-1] == horizon else [*whole, horizon]


def capital_recovery(interest: Fraction, years: Fraction) -> Fraction:
    """A/P: what a year, at the end of each, is worth one today (engineering-economy tables)."""
    return 1 / years if interest == 0 else interest / (1 - 1 / grown(interest, years))


def order_at(tiers: list[Owned], terms: Terms) -> list[str]:
    """Tier codes, the least to own first."""
    return [tier.code for tier in sorted(tiers, key=lambda tier: tier.rank(terms))]


def in_the_order(world: World) -> list[Owned]:
    """Offered tiers whose lives are all stated."""
    worked = worked_tiers(world)
    offered = [(place, tier) for place, tier in enumerate(worked) if tier.reason is None and tier.priced is not None]
    tiers = [owned(world, tier, place) for place, tier in offered]
    return [tier for tier in tiers if tier.stated]


def under(book: ShopBook, job: Job, setting: str, value: Decimal) -> tuple[ShopBook, Job]:
    """The same shop and job with another interest, horizon, or factor on every life."""
    if setting == "interest":
        return replace(book, settings=replace(book.settings, interest_a_year=value)), job
    if setting == "horizon":
        return book, replace(job, years_to_compare=value, years_it_could_last=None)
    lives = {code: one.life_years for code, one in book.remedies.items()}
    remedies = {
        code: replace(one, life_years=None if lives[code] is None else lives[code] * value)  # type: ignore[operator]
        for code, one in book.remedies.items()
    }
    return replace(book, remedies=remedies), job


def taken_under(book: ShopBook, job: Job, setting: str, value: Decimal) -> dict[str, list[str]]:
    """By tier, the remedies of the whole quote worked out again under another setting."""
    tiers = worked_tiers(a_world(*under(book, job, setting, value)))
    return {tier.tier.code: sorted(item.key for item in tier.remedies) for tier in tiers if tier.priced is not None}
