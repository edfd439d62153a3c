"""The chance that a quoted option loses money, from how actual costs spread about agreed costs.

Cost ratio of a closed job = actual cost by agreed cost, what its comebacks lost added to the actual cost. An option of
subtotal S and cost C loses money on a job whose ratio is above S / C. Chance = share of the jobs that would lose; its
interval holds the middle nine tenths of `RESAMPLES` bootstrap samples of the same jobs, drawn with replacement by
`draws` from a fixed seed, so that the same ledger gives the same figures.
Where none of n jobs would lose, or all, every sample is the same and tells nothing of chance: the interval then ends at
the share u at which so many jobs in a row are as likely as one in twenty, (1 - u) ** n = 1 / 20, four decimals, up.
The jobs are the `MOST_JOBS` newest of the same option, of all options where that one has fewer than `FEWEST_JOBS`; with
fewer than that in all, no chance is stated ("too few jobs").
Units: shares to four decimals. Source: B. Efron, Bootstrap methods, 1979 (percentile interval), from memory; C.
Clopper, E. Pearson, 1934, for none and all, from memory; the rest is shop policy.

Example: 300 asked at a cost of 240 loses money above a ratio of 1.25; 3 of 24 jobs were above: 0.125.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import islice

from quotekit.model.entries import OfferedOption
from quotekit.model.review import LossChance, TierLoss
from quotekit.money import round_to
from quotekit.pricing.review.draws import numbers_below
from quotekit.pricing.review.fates import Fate
from quotekit.record import record

FEWEST_JOBS = 10
MOST_JOBS = 200
RESAMPLES = 1000
SEED = "chance of loss"

_TAIL = Fraction(1, 20)
_DIGITS = 4


@record
class CostRatio:
    """A closed job's actual cost against its agreed cost."""

    tier: str
    name: str
    agreed: Fraction
    actual: Fraction

    @property
    def ratio(self) -> Fraction:
        """Actual by agreed."""
        return self.actual / self.agreed


def loss_chances(found: Iterable[Fate], past: Sequence[CostRatio]) -> tuple[LossChance, ...]:
    """Each option of each open quote whose cost is known; `past` from the oldest to the newest."""
    return tuple(
        _chance(fate, option, past) for fate in found if fate.outcome == "open" for option in fate.issued.body.offered
        if option.margin is not None
    )  # fmt: skip


def tier_losses(past: Sequence[CostRatio], prices: Sequence[tuple[str, bool]]) -> tuple[TierLoss, ...]:
    """By option, over closed jobs: `prices` tells for each billed job its option and whether it lost money."""
    return tuple(_tier(tier, past, [lost for code, lost in prices if code == tier]) for tier in _tiers(past, prices))


def share_with_ends(losing: int, jobs: int) -> tuple[Decimal, Decimal, Decimal]:
    """The share of losing jobs and the ends of its interval.

    >>> share_with_ends(0, 20)
    (Decimal('0.0000'), Decimal('0.0000'), Decimal('0.1392'))
    """
    if losing in (0, jobs):
        far = _not_seen(jobs)
        low, high = (Decimal(0), far) if losing == 0 else (1 - far, Decimal(1))
        return _share(losing, jobs), round_to(low, _DIGITS), round_to(high, _DIGITS)
    counts = sorted(bisect_left(sample, losing) for sample in _resamples(jobs))
    first, last = int(_TAIL * RESAMPLES), RESAMPLES - 1 - int(_TAIL * RESAMPLES)
    return _share(losing, jobs), _share(counts[first], jobs), _share(counts[last], jobs)


@cache
def _not_seen(jobs: int) -> Decimal:
    """The share of losing jobs that so many jobs without one do not rule out."""
    whole: int = 10**_DIGITS
    far = next(
        share
        for share in range(whole + 1)
        if (whole - share) ** jobs * _TAIL.denominator <= whole**jobs * _TAIL.numerator
    )
    return Decimal(far).scaleb(-_DIGITS)


@cache
def _resamples(jobs: int) -> tuple[tuple[int, ...], ...]:
    """Samples of the places of jobs, each in order; the losing jobs are given the first places."""
    numbers = numbers_below(jobs, f"{SEED}|{jobs}")
    return tuple(tuple(sorted(islice(numbers, jobs))) for _ in range(RESAMPLES))


def _chance(fate: Fate, option: OfferedOption, past: Sequence[CostRatio]) -> LossChance:
    cost = option.subtotal - (option.margin or Decimal(0))
    own = [one for one in past if one.tier == option.code]
    same = len(own) >= FEWEST_JOBS
    used = (own if same else past)[-MOST_JOBS:]
    losing = sum(one.ratio * Fraction(cost) > Fraction(option.subtotal) for one in used)
    enough = len(used) >= FEWEST_JOBS
    share, low, high = share_with_ends(losing, len(used)) if enough else (None, None, None)
    return LossChance(
        job=fate.job,
        version=fate.issued.entry.version or 1,
        tier=option.code,
        name=option.name,
        subtotal=option.subtotal,
        cost=cost,
        jobs=len(used),
        same_tier=same,
        losing=losing,
        chance=share,
        low=low,
        high=high,
    )


def _tiers(past: Sequence[CostRatio], prices: Sequence[tuple[str, bool]]) -> list[str]:
    return sorted({one.tier for one in past} | {code for code, _ in prices})


def _tier(tier: str, past: Sequence[CostRatio], lost: Sequence[bool]) -> TierLoss:
    own = [one for one in past if one.tier == tier]
    used = list(lost)[-MOST_JOBS:]
    losing = sum(used)
    share, low, high = share_with_ends(losing, len(used)) if len(used) >= FEWEST_JOBS else (None, None, None)
    agreed = sum((one.agreed for one in own), Fraction(0))
    return TierLoss(
        tier=tier,
        name=own[-1].name if own else tier,
        jobs=len(used),
        losing=losing,
        chance=share,
        low=low,
        high=high,
        cost_ratio=round_to(sum((one.actual for one in own), Fraction(0)) / agreed, 4) if agreed else None,
    )


def _share(count: int, jobs: int) -> Decimal:
    return round_to(Fraction(count, jobs), _DIGITS)
