"""What each tier takes, on a watched book and job, and which cells decide that.

A plan decides by its rows. Where each group of findings has one choice only, what is found, what fits and what needs
what decide. Otherwise prices, hours and lives decide too, and the choice is made as the engine makes it.
What a tier takes hangs on the tiers before it, as it must put right what they do.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.job import Job, OneOff
from quotekit.model.shop_book import ShopBook, Tier
from quotekit.model.watched_reads import KeptValue, Reads, Seen, keep, kept
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.choose import MOST_LOOKED_THROUGH, LifeNotStated, choose
from quotekit.pricing.covers import groups_and_tangles
from quotekit.pricing.explain.cells_basis import LateBasis
from quotekit.pricing.explain.cells_charges import WORK, LateCharges
from quotekit.pricing.fits import Candidates
from quotekit.pricing.items import Item, always_item, one_off_item
from quotekit.pricing.life import horizon_of, repeats
from quotekit.pricing.plan import planned_items
from quotekit.pricing.setup import Setup, asked_items, fixed_by, set_up
from quotekit.record import record

CHOICE = "which remedies are taken"


class LateSetup(Setup):
    """A job to be priced on a watched book, with nothing worked out ahead."""

    basis: LateBasis

    def __init__(self, seen: Seen, book: ShopBook, job: Job) -> None:
        self.seen, self.book, self.job = seen, book, job
        self.basis = LateBasis(seen, book=book, job=job)
        self._alone_kept: dict[str, KeptValue[Decimal]] = {}

    @kept(CHOICE)
    def candidates(self) -> Candidates:
        """Remedies that fix a fault of the job."""
        found = Candidates(self.basis)
        _ = found.viable  # worked out once, so that its cells are read here
        return found

    @kept(WORK)
    def always(self) -> Item:
        """The work done on every job of the class."""
        return always_item(self.basis)

    @kept(CHOICE)
    def asked(self) -> tuple[Item, ...]:
        """Extras the customer asked for."""
        return tuple(asked_items(self.basis))

    @kept(CHOICE)
    def one_offs(self) -> tuple[Item, ...]:
        """The one-off lines."""
        return tuple(self._one_off(line) for line in self.job.one_off)

    @kept("years compared")
    def horizon(self) -> Decimal:
        """Years compared."""
        return horizon_of(self.basis)

    def price(self, items: Sequence[Item]) -> Charges:
        """Charges of a set of items with the Always work."""
        return self.charges(lambda: items).whole

    def charges(self, items: Callable[[], Sequence[Item]], beside: LateCharges | None = None) -> LateCharges:
        """The same, to be asked one by one."""
        return LateCharges(self.basis, items, lambda: self.always, beside=beside)

    def price_with(self, taken: Charges, item: Item, beside: Charges) -> Charges:
        """The same with one more item: the whole set, so that all it hangs on is read for it."""
        return price_items(self.basis, [*taken.work.items, item], self.always, beside=beside)

    def alone(self, item: Item) -> Decimal:
        """Work of one remedy by itself with its own access."""
        found = self._alone_kept.get(item.key)
        if found is None:
            alone = LateCharges(self.basis, lambda: [item], lambda: self.always, alone=True)
            found = self._alone_kept[item.key] = keep(self.seen, "work of a remedy by itself", lambda: alone.total)
        return found.use(self.seen)

    def priced(self, items: Sequence[Item]) -> Charges:
        """The same as `price`: a set of items is priced again for whoever asks."""
        return self.price(items)

    def again(self, item: Item) -> Fraction:
        """Today's worth of a remedy's stand-alone work each time its life runs out within the horizon."""
        if item.life is None or item.life >= self.horizon:
            return Fraction(0)
        return repeats(self.alone(item), item.life, self.horizon, self.basis.book.settings.interest_a_year)

    def _one_off(self, line: OneOff) -> Item:
        """A line whose work is read when it is asked for: what it puts right counts at once."""
        with self.seen.frame(""):
            item = one_off_item(self.basis, line)
        fixes = (found.key for found in self.job.findings if found.fault and found.code in line.fixes)
        return replace(item, fixes=frozenset(fixes))


@record
class Taken:
    """What a tier takes. `items` is None where the tier could not be worked out; `reads` is what decided it."""

    tier: Tier
    items: tuple[Item, ...] | None
    reads: Reads


def what_tiers_take(setup: LateSetup, wanted: str) -> Taken | None:
    """What a tier takes, by way of the tiers before it; None where there is no such tier."""
    kept_fixed: frozenset[str] = frozenset()
    before: Reads = {}
    for tier in setup.book.tiers:
        with setup.seen.frame(CHOICE) as reads:
            setup.seen.take(before)
            items = _taken(setup, tier, kept_fixed)
            if items is not None:
                kept_fixed = fixed_by(items)
            found = tier.code == wanted
        if found:
            return Taken(tier=tier, items=items, reads=reads)
        before = reads
    return None


def _taken(setup: LateSetup, tier: Tier, kept_fixed: frozenset[str]) -> tuple[Item, ...] | None:
    """The items of a tier; None where it cannot be worked out."""
    faults = setup.candidates.faults
    covered = kept_fixed | {key for key, found in faults.items() if found.severity in tier.covers}
    plan = planned_items(setup, tier.code)
    if plan is not None:
        return (*plan, *setup.in_every(tier.code))
    only = _only_choice(setup, tier, covered, kept_fixed)
    return _chosen(setup, tier, covered, kept_fixed) if only is None else only


def _only_choice(
    setup: LateSetup, tier: Tier, covered: frozenset[str], kept_fixed: frozenset[str]
) -> tuple[Item, ...] | None:
    """The items where no group of findings has a choice; None where one has."""
    given = setup.in_every(tier.code)
    lines = [item for item in given if item.one_off]
    groups, tangles = groups_and_tangles(setup.candidates, covered, kept_fixed, lines, MOST_LOOKED_THROUGH)
    if tangles or any(len(group.covers) != 1 for group in groups):
        return None
    remedies = sorted((item for group in groups for item in group.covers[0].items), key=lambda item: item.key)
    return (*remedies, *given)


def _chosen(
    setup: LateSetup, tier: Tier, covered: frozenset[str], kept_fixed: frozenset[str]
) -> tuple[Item, ...] | None:
    """The items as the engine chooses them, made again on this setup."""
    try:
        choice = choose(set_up(setup.book, setup.job), tier, covered, kept_fixed)
    except LifeNotStated:
        return None
    remedies = [setup.candidates.item(item.remedy, item.side) for item in choice.remedies if item.remedy is not None]
    return (*remedies, *setup.in_every(tier.code))
