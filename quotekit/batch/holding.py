"""Today's figures held against a quote that was given.

Statement: the price that stands is that of the quote given, while the customer may still say yes to it; without one it
is today's. What is left is that price before tax less what the option costs the shop today. An option loses money where
less than nothing is left. Where the option given does other work than today's, its price can't be held against today's
cost, and what is left of it is not known; today's price decides then. So it does where the quote given is in another
currency: its amounts are held against none of today's.
    left = subtotal of the price that stands - cost today
    difference = total today - total given
Amounts in the currency of the shop. Source: shop policy.

Worked example: given 200.00 before tax (214.00 with tax) when the parts cost 60.00; today the same work costs the shop
210.00 and would be priced 320.00 (342.40): difference 128.40, left -10.00, it loses money until the quote runs out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.batch import BatchedJob, Given, Loses, TierGiven, TierHeld, TierNow, TierSum


def hold(tiers: Iterable[TierNow], given: Given | None) -> tuple[TierHeld, ...]:
    """Each tier of a job, held against the quote that was given for it."""
    return tuple(hold_tier(tier, _given_of(tier, given), open_=given is not None and given.open) for tier in tiers)


def hold_tier(now: TierNow, given: TierGiven | None, *, open_: bool = True) -> TierHeld:
    """One tier, held against the same option of the quote that was given."""
    other = given is not None and given.items is not None and given.items != frozenset(now.items)
    left_now = _less(now.subtotal, now.cost)
    stands = given is not None and open_ and not other and given.subtotal is not None
    left = _less(given.subtotal, now.cost) if given is not None and stands else left_now
    return TierHeld(
        new=now,
        given=given,
        other_work=other,
        difference=None if given is None or not now.offered else _less(now.total, given.total),
        stands=stands,
        left=left,
        left_now=left_now,
        loses=_loses(now, left, stands=stands),
    )


def sums(jobs: Sequence[BatchedJob]) -> tuple[TierSum, ...]:
    """By tier, all quotes that are open, with their totals as given and as they would be now; in the tiers' order.

    Every job has all tiers of the book. A quote that several files tell of counts once, in the first of them.
    """
    found: dict[str, list[TierHeld]] = {tier.new.code: [] for job in jobs for tier in job.tiers}
    for job in jobs:
        if job.given is not None and job.given.open and not job.same_as:
            for tier in job.tiers:
                if tier.difference is not None:
                    found[tier.new.code].append(tier)
    return tuple(_sum(tiers) for tiers in found.values() if tiers)


def mark_same(jobs: Iterable[BatchedJob]) -> list[BatchedJob]:
    """The same jobs; each that has the number and version of an earlier one, as a copy of its file, names that one."""
    first: dict[tuple[str, int | None], str] = {}
    return [replace(job, same_as=_earlier(first, job)) for job in jobs]


def first_losses(jobs: Sequence[BatchedJob]) -> list[tuple[BatchedJob, TierHeld]]:
    """Options that lose money, the largest loss first; quotes given that are still open before all others."""
    losing = [(job, tier) for job in jobs for tier in job.tiers if tier.loses == "yes"]
    return sorted(losing, key=lambda pair: (_is_open(pair[0], pair[1]), pair[1].left or Decimal(0), pair[0].file))


def _earlier(first: dict[tuple[str, int | None], str], job: BatchedJob) -> str:
    """A job that is not priced is nobody's first: it tells of no figures."""
    if not job.tiers:
        return ""
    file = first.setdefault((job.job, job.version), job.file)
    return "" if file == job.file else file


def _is_open(job: BatchedJob, tier: TierHeld) -> int:
    return 0 if tier.given is not None and job.given is not None and job.given.open else 1


def _sum(tiers: Sequence[TierHeld]) -> TierSum:
    pairs = [(tier.given.total, tier.new.total) for tier in tiers if tier.given is not None]
    given = sum((before for before, _ in pairs if before is not None), Decimal(0))
    now = sum((after for _, after in pairs if after is not None), Decimal(0))
    return TierSum(name=tiers[0].new.name, quotes=len(tiers), given=given, new=now)


def _given_of(tier: TierNow, given: Given | None) -> TierGiven | None:
    return None if given is None else given.tiers.get(tier.code)


def _less(amount: Decimal | None, other: Decimal | None) -> Decimal | None:
    return None if amount is None or other is None else amount - other


def _loses(now: TierNow, left: Decimal | None, *, stands: bool) -> Loses:
    """An option given stands though it would not be offered today."""
    if not now.offered and not stands:
        return ""
    if left is None:
        return "not known"
    return "yes" if left < 0 else "no"
