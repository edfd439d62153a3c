"""Each tier worked out: what it covers, its items by choice or plan, and whether it may be offered (DESIGN.md 5.7).

Source: no option that costs more and does less is shown; common practice, no source.
Worked example: good and better both come to 120.00 of work inside the minimum, are ready the same day and last as long,
and better fixes one finding more: good is not offered, as better costs no more and fixes more.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.proof import Proof
from quotekit.model.shop_book import Tier
from quotekit.money import round_to
from quotekit.pricing.charges import Charges
from quotekit.pricing.choose import LifeNotStated, choose
from quotekit.pricing.items import Item
from quotekit.pricing.life import lives_of
from quotekit.pricing.plan import planned_items
from quotekit.pricing.setup import Setup, fixed_by
from quotekit.pricing.totals import ready_days
from quotekit.record import record


@record
class WorkedTier:
    """A tier that could be worked out: its items, what it puts right and leaves, and its charges."""

    tier: Tier
    planned: bool
    items: tuple[Item, ...]
    remedies: tuple[Item, ...]
    covered: frozenset[str]
    fixed: frozenset[str]
    left: frozenset[str]
    safety_left: frozenset[str]
    lives: dict[str, Decimal]
    charges: Charges
    ready: int | None
    compared: int
    proof: Proof


@record
class Unworked:
    """A tier that could not be worked out, with the reason."""

    tier: Tier
    reason: str


def work_out_tiers(setup: Setup) -> list[WorkedTier | Unworked]:
    """All tiers from least to most; each covers what the nearest earlier one fixes.

    Raises TooManyChoices.
    """
    found: list[WorkedTier | Unworked] = []
    before: WorkedTier | None = None
    for tier in setup.basis.book.tiers:
        worked = work_out(setup, tier, before)
        found.append(worked)
        if isinstance(worked, WorkedTier):
            before = worked
    return found


def work_out(setup: Setup, tier: Tier, before: WorkedTier | None) -> WorkedTier | Unworked:
    """One tier by the technician's plan, or chosen by its aim."""
    kept = before.fixed if before else frozenset[str]()
    covered = kept | setup.candidates.of_severity(tier.covers)
    plan = planned_items(setup, tier.code)
    if plan is not None:
        items = (*plan, *setup.in_every(tier.code))
        charges = setup.price(items)
        return worked_tier(
            setup, tier, items, covered, charges, planned=True, proof=planned_proof(setup, charges), compared=1
        )
    try:
        choice = choose(setup, tier, covered, kept)
    except LifeNotStated as blank:
        return Unworked(tier=tier, reason=_no_life(blank.item))
    items = (*choice.remedies, *setup.in_every(tier.code))
    return worked_tier(
        setup,
        tier,
        items,
        choice.covered,
        choice.charges,
        planned=False,
        proof=choice.proof,
        compared=choice.compared,
    )


def reasons_not_offered(worked: Sequence[WorkedTier | Unworked]) -> dict[str, str]:
    """Why each tier that is not offered is not, by tier code."""
    reasons: dict[str, str] = {}
    earlier: list[WorkedTier] = []
    standing: list[WorkedTier] = []
    for tier in worked:
        if isinstance(tier, Unworked):
            reasons[tier.tier.code] = tier.reason
            continue
        reason = _own_reason(tier, earlier)
        if reason:
            reasons[tier.tier.code] = reason
        else:
            standing.append(tier)
        earlier.append(tier)
    for tier in standing:
        better = next((other for other in standing if other is not tier and dominates(other, tier)), None)
        if better is not None:
            reasons[tier.tier.code] = (
                f"{better.tier.tier} costs no more, fixes no less, lasts no less and is ready no later"
            )
    return reasons


def dominates(other: WorkedTier, tier: WorkedTier) -> bool:
    """Costs no more (work), fixes no less, lasts no less on every finding, ready no later, and better in one."""
    no_worse = (
        other.charges.total <= tier.charges.total
        and other.fixed >= tier.fixed
        and all(other.lives.get(key, life) >= life for key, life in tier.lives.items())
        and _later(other.ready, tier.ready) <= 0
    )
    longer = any(other.lives.get(key, life) > life for key, life in tier.lives.items())
    better = (
        other.charges.total < tier.charges.total
        or other.fixed > tier.fixed
        or longer
        or _later(other.ready, tier.ready) < 0
    )
    return no_worse and better


def _later(days: int | None, than: int | None) -> int:
    """Above zero when ready later, below when sooner; days not known are later than any number."""
    if days is None or than is None:
        return (days is None) - (than is None)
    return days - than


def worked_tier(
    setup: Setup,
    tier: Tier,
    items: tuple[Item, ...],
    covered: frozenset[str],
    charges: Charges,
    *,
    planned: bool,
    proof: Proof,
    compared: int,
) -> WorkedTier:
    """A tier from its items: what they fix and leave, how long that lasts, and when it is ready."""
    fixed = fixed_by(items)
    left = frozenset(setup.candidates.faults) - fixed
    remedies = tuple(item for item in items if item.remedy is not None)
    return WorkedTier(
        tier=tier,
        planned=planned,
        items=items,
        remedies=remedies,
        covered=covered,
        fixed=fixed,
        left=left,
        safety_left=left & setup.candidates.of_severity(("safety",)),
        lives=lives_of(remedies, fixed, setup.horizon),
        charges=charges,
        ready=ready_days(setup.basis, charges),
        compared=compared,
        proof=proof,
    )


def planned_proof(setup: Setup, charges: Charges) -> Proof:
    """A plan is taken as it is: one choice, its own work the bound."""
    zero = round_to(Decimal(0), setup.basis.digits)
    return Proof(method="plan", choices="1", priced=1, bound=charges.total, gap=zero)


def _own_reason(tier: WorkedTier, earlier: Sequence[WorkedTier]) -> str:
    """The reason a tier has by itself, or as a repeat of an earlier one."""
    if is_empty(tier):
        return "there is nothing to do in it"
    if tier.safety_left:
        return f"it would leave a safety finding: {'; '.join(sorted(tier.safety_left))}"
    first = repeated(tier, earlier)
    return f"it is the same work as {first.tier.tier}" if first else ""


def is_empty(tier: WorkedTier) -> bool:
    """True without remedy, asked extra or one-off line."""
    return not any(item.kind in ("remedy", "one-off") or item.asked for item in tier.items)


def repeated(tier: WorkedTier, earlier: Sequence[WorkedTier]) -> WorkedTier | None:
    """The earlier tier whose work this one does over again: the tier before, else any that it is no better than."""
    if earlier and same_work(tier, earlier[-1]):
        return earlier[-1]
    return next((other for other in earlier if same_work(tier, other) and not dominates(tier, other)), None)


def same_work(tier: WorkedTier, before: WorkedTier) -> bool:
    """The same operations, parts and one-off lines."""
    return (
        tier.charges.work.present == before.charges.work.present
        and _quantities(tier) == _quantities(before)
        and _lines(tier) == _lines(before)
    )


def _quantities(tier: WorkedTier) -> dict[str, Decimal]:
    return {line.code: line.quantity for line in tier.charges.parts}


def _lines(tier: WorkedTier) -> frozenset[str]:
    return frozenset(item.code for item in tier.items if item.one_off)


def _no_life(item: Item) -> str:
    assert item.remedy is not None
    cell = item.remedy.source.place("Life years")
    return f"it has to choose over years and {item.remedy.remedy} has no Life years ({cell})"
