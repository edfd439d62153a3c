"""Why each remedy of a tier was taken over its nearest alternative (DESIGN.md 5.7).

The nearest alternative is the best other choice of the remedy's group of findings that does not take it, by the tier's
own aim, all else as chosen. A difference is the alternative less what is taken; over the years it is given only where
every remedy that differs has a life. What decided is the first place in which the aim's values differ.
Units: money, years. Source: the choice's own rule; nothing here looks at what the shop earns.

Worked example: by lowest price PATCH at 50.00 is taken, NEW would be 62.00: 12.00 more today. Over 5 years PATCH comes
round at 2 and 4, 150.00 in all, NEW lasts: 88.00 less over the years, and still PATCH is taken by its price today.
"""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.model.why import Alternative, DecidedBy, Figures, Refused, RemedyWhy
from quotekit.pricing.aims import life_value
from quotekit.pricing.charges import Charges
from quotekit.pricing.fits import Candidates, why_not
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, fixed_by
from quotekit.pricing.tiers import WorkedTier
from quotekit.pricing.why_break_even import break_evens
from quotekit.pricing.why_field import Field, Option
from quotekit.pricing.why_levers import named
from quotekit.pricing.work import book_operations

MOST_SEARCHED = 12
"""Remedies of a tier past which no break-even is sought."""

_PLACES: dict[str, tuple[DecidedBy, ...]] = {
    "lowest price": ("lowest price", "operations", "codes"),
    "least to own": ("least to own", "work", "operations", "codes"),
    "longest life": ("shortest life", "lives together", "work", "operations", "codes"),
}


def why_chosen(field: Field) -> tuple[RemedyWhy, ...]:
    """An entry for each remedy of a tier that was chosen by its aim."""
    remedies = field.tier.remedies
    every = field.every_choice() if len(remedies) <= MOST_SEARCHED else []
    return tuple(_why(field, item, every) for item in remedies)


def why_not_compared(setup: Setup, tier: WorkedTier) -> tuple[RemedyWhy, ...]:
    """Entries without a comparison: of a planned tier, or of one that takes too many remedies."""
    return tuple(
        RemedyWhy(
            remedy=named(item),
            fixes=tuple(sorted(item.fixes)),
            standing="planned" if tier.planned else "not compared",
            refused=refused_beside(setup.candidates, item, item.fixes, setup.candidates.viable),
            done_by_larger_work=tier.charges.work.is_done_by_larger(item),
        )
        for item in tier.remedies
    )


def figures_of(setup: Setup, remedies: Sequence[Item], covered: frozenset[str], charges: Charges) -> Figures:
    """What a complete choice comes to; a one-off line's own work is in every choice and no operation of the book."""
    shortest, together = life_value(remedies, covered, setup.horizon)
    return Figures(
        work=charges.total,
        over_years=setup.cost_over_years(charges.total, remedies),
        shortest_life=shortest,
        lives_together=together,
        operations=len(book_operations(setup.basis, charges.work)),
    )


def decided_by(aim: str, taken: Option, other: Option) -> DecidedBy:
    """The first place in which two choices differ."""
    if other.value < taken.value:
        return "not the best"
    places = zip(_PLACES[aim], taken.value, other.value, strict=True)
    return next(place for place, mine, theirs in places if mine != theirs)


def refused_beside(
    candidates: Candidates, item: Item, findings: frozenset[str], possible: frozenset[str]
) -> tuple[Refused, ...]:
    """Other remedies for some findings that no choice holds, with what is measured; `possible` are held by some."""
    others = {other.key: other for key in findings for other in candidates.for_fault.get(key, ())}
    return tuple(
        Refused(remedy=named(others[key]), why=why_refused(candidates, others[key]))
        for key in sorted(others)
        if key not in possible and key != item.key
    )


def why_refused(candidates: Candidates, item: Item) -> str:
    """What keeps a candidate out of every choice."""
    failing = [check for check in candidates.checks[item.key] if not check.fits_as_measured]
    if failing:
        return "; ".join(dict.fromkeys(why_not(check) for check in failing))
    needed = ", ".join(sorted(candidates.needs[item.key]))
    if item.key not in candidates.viable:
        return f"it must not be fitted without putting {needed} right, and nothing that may be used does"
    return "what would have to be taken with it makes it needless"


def _why(field: Field, item: Item, every: Sequence[Option]) -> RemedyWhy:
    candidates = field.setup.candidates
    group, others = field.group_of(item), field.alternatives(item)
    nearest = min(others, key=lambda option: option.value, default=None)
    possible = frozenset(key for cover in group.covers for key in cover.codes) or candidates.viable
    findings = item.fixes & field.tier.covered
    searched = nearest is not None and len(field.tier.remedies) <= MOST_SEARCHED
    return RemedyWhy(
        remedy=named(item),
        fixes=tuple(sorted(item.fixes)),
        standing="the only one" if nearest is None else "compared",
        only_for=_only_for(candidates, item, findings, possible) if nearest is None else (),
        refused=refused_beside(candidates, item, findings, possible),
        done_by_larger_work=field.tier.charges.work.is_done_by_larger(item),
        choices=len(group.covers) or len(others) + 1,
        swaps_only=not group.covers,
        alternative=None if nearest is None else _alternative(field, nearest),
        break_even=break_evens(field, item, nearest, every) if nearest is not None and searched else (),
    )


def _only_for(
    candidates: Candidates, item: Item, findings: frozenset[str], possible: frozenset[str]
) -> tuple[str, ...]:
    return tuple(
        key
        for key in sorted(findings)
        if not any(other.key in possible and other is not item for other in candidates.for_fault[key])
    )


def _alternative(field: Field, nearest: Option) -> Alternative:
    setup, taken = field.setup, field.taken
    takes = [item for item in nearest.remedies if item not in taken.remedies]
    drops = [item for item in taken.remedies if item not in nearest.remedies]
    no_life = [item for item in (*takes, *drops) if item.life is None]
    figures, mine = _figures(setup, nearest), _figures(setup, taken)
    return Alternative(
        takes=tuple(named(item) for item in takes),
        drops=tuple(named(item) for item in drops),
        leaves=tuple(sorted(fixed_by(taken.remedies) - fixed_by((*nearest.remedies, *field.given)))),
        figures=figures,
        difference=figures.work - mine.work,
        over_years=None if no_life else figures.over_years - mine.over_years,
        no_life=tuple(named(item) for item in no_life),
        decided_by=decided_by(field.aim, taken, nearest),
    )


def _figures(setup: Setup, option: Option) -> Figures:
    return figures_of(setup, option.remedies, option.covered, option.charges)
