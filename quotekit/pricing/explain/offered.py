"""Whether a tier is offered, and why not, with the figures that say so (5.7).

Kept back are a tier with nothing to do, one that leaves a safety finding, one that is the same work as an earlier one,
and one that another keeps out: it costs no more, puts right no less, lasts no less and is ready no later.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from quotekit.model.explanation import Explanation, Value, number_text
from quotekit.model.quote import PricedTier
from quotekit.pricing.explain import money_outside
from quotekit.pricing.explain.choice_told import ChoiceTold, of_tier
from quotekit.pricing.explain.told import Told, cells_in, number, words
from quotekit.pricing.explain.worked_again import Again
from quotekit.pricing.tiers import WorkedTier
from quotekit.pricing.why_missing import keep_it_out
from quotekit.pricing.work import book_operations
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]


def offered_figures(told: Told, again: Again, tier: PricedTier) -> Figures:
    """`offered` and `reason`."""
    rule = "It may be offered: no rule speaks against it (rules 5.7)."
    if not tier.offered:
        rule = f"Not offered, as {tier.reason} (rules 5.7)."
    make = partial(_told, told, again, tier, rule)
    return {"offered": partial(make, "offered", tier.offered), "reason": partial(make, "reason", tier.reason)}


def _told(told: Told, again: Again, tier: PricedTier, rule: str, name: str, value: Value) -> Explanation:
    row = next(one for one in told.basis.book.tiers if one.code == tier.code)
    inputs = [*_figures(told, again, tier)] if tier.priced else []
    cells = (*cells_in(row.source, "Covers", "Aim"), *(() if tier.priced else _life_cells(told)))
    return words(name, value, rule, cells=cells, inputs=inputs)


def _figures(told: Told, again: Again, tier: PricedTier) -> Iterator[Explanation]:
    """What the rules look at: of the tier, then of those that it is compared with."""
    own = again.of(tier.code)
    yield from _of_one(told, own, ChoiceTold(told=told, remedies=own.remedies, covered=own.covered))
    place = again.place(tier.code)
    others: Iterable[WorkedTier] = [one for one in again.worked if one is not own]
    if not tier.offered:
        others = keep_it_out(again.tiers, place) or [one for one in again.worked if again.place(one.tier.code) < place]
    for other in others:
        opened = of_tier(told.setup, other)
        yield from _of_one(opened.told, other, opened)


def _of_one(told: Told, worked: WorkedTier, choice: ChoiceTold) -> Iterator[Explanation]:
    setup, work = told.setup, worked.charges.work
    yield choice.work()
    for name, keys, what in (
        ("fixed", worked.fixed, "Every recorded fault that it puts right (rules 5.9, Findings)."),
        ("safety_left", worked.safety_left, "Safety findings that it leaves (rules 5.7)."),
        ("operations", book_operations(setup.basis, work), "Every operation that is done (rules 5.2)."),
        ("one-off lines", [item.key for item in work.items if item.one_off], "One-off lines that are in it."),
        (
            "parts",
            [f"{line.code} x {number_text(line.quantity)}" for line in worked.charges.parts],
            "Parts that it takes.",
        ),
    ):
        yield words(told.name(f"{name} compared"), tuple(sorted(keys)), what)
    horizon = setup.horizon
    for key, life in sorted(worked.lives.items()):
        if life < horizon:
            yield number(told.name(f"{key} lasts"), life, "same", (choice.life_of(key, life),), "Up to the horizon.")
    yield money_outside.ready_days(told, worked.ready)


def _life_cells(told: Told) -> tuple[Place, ...]:
    """The lives that a tier which was not worked out waits for."""
    rows = {item.code: item.remedy for item in told.setup.candidates.items.values() if item.life is None}
    return tuple(place for row in rows.values() if row for place in cells_in(row.source, "Life years"))
