"""How well standard times hold: sum of actual hours by sum of standard hours, with count, spread and shrinkage.

A good total hides errors that offset each other, and a mean of ratios gives every short job the same say; hence a ratio
of sums for each operation and access step. Small counts are drawn toward the shop's mean by `credibility`, where a
job weighs its standard hours by the mean of its operation, so that the weights of an operation add up to its jobs.
The interval of each lies about its own ratio of sums, is made to hold the shrunk one, and reaches as many standard
errors that all intervals of a circumstance hold together with 95 % (`quantile`). Jobs that had another standard time
than the one in force (of the book; without a book, of the newest job) are counted apart: their ratio says nothing of
the present time.
Spread = root of the variance of single jobs about the ratio.
Units: hours; ratios to four decimals, half up. Source: TRADE 12; which mean to shrink to is shop policy.

Example: 1.0 and 2.0 h standard, 1.5 and 2.1 h actual: 3.6 / 3.0 = 1.2, where the mean of ratios would say 1.275.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.agreed import WorkKind
from quotekit.model.review import Accuracy, Circumstance, ShopAccuracy
from quotekit.money import round_to
from quotekit.pricing.review.credibility import Credibility, Group, credibility
from quotekit.pricing.review.measured import Measured
from quotekit.pricing.review.quantile import FEWEST_DEGREES, standard_errors
from quotekit.pricing.review.roots import decimal_of, square_root
from quotekit.record import record

WorkCode = tuple[WorkKind, str]
CIRCUMSTANCES: tuple[Circumstance, ...] = ("usual", "rust", "minimum")

_DIGITS = 4


@record
class Estimate:
    """An operation or step under one circumstance, exact where it can be."""

    jobs: tuple[Measured, ...]
    older: int
    group: Group
    reach: Decimal | None
    """Of the interval about its own ratio, to each side; None where the spread of jobs is not known."""
    low: Decimal
    high: Decimal

    @property
    def code(self) -> WorkCode:
        """Kind and code."""
        return self.jobs[0].kind, self.jobs[0].code


@record
class Estimates:
    """All of one circumstance."""

    circumstance: Circumstance
    all: Credibility
    each: tuple[Estimate, ...]


def estimates(measured: Sequence[Measured], norms: Mapping[WorkCode, Decimal]) -> tuple[Estimates, ...]:
    """Of every circumstance that occurs; `norms` are the standard times in force."""
    found = []
    for circumstance in CIRCUMSTANCES:
        groups = _grouped(one for one in measured if one.circumstance == circumstance)
        kept = {code: [one for one in group if one.norm == norms[code]] for code, group in groups.items()}
        present = {code: group for code, group in kept.items() if group}
        if present:
            older = {code: len(groups[code]) - len(group) for code, group in present.items()}
            found.append(_estimates(circumstance, present, older))
    return tuple(found)


def norms_in_force(measured: Sequence[Measured], of_book: Mapping[WorkCode, Decimal]) -> dict[WorkCode, Decimal]:
    """The standard time of each operation and step: of the book, else of the newest job."""
    newest = {
        code: max(enumerate(group), key=lambda each: (each[1].on, each[0]))[1].norm
        for code, group in _grouped(measured).items()
    }
    return {code: of_book.get(code, norm) for code, norm in newest.items()}


def shown_accuracy(found: Iterable[Estimates]) -> tuple[Accuracy, ...]:
    """The estimates as they are shown."""
    return tuple(_accuracy(one, estimate) for one in found for estimate in one.each)


def shown_shop(found: Iterable[Estimates]) -> tuple[ShopAccuracy, ...]:
    """The shop's mean of each circumstance."""
    return tuple(
        ShopAccuracy(
            circumstance=one.circumstance,
            groups=len(one.each),
            jobs=len({measured.job for estimate in one.each for measured in estimate.jobs}),
            mean=round_to(one.all.mean, _DIGITS),
            within=None if one.all.within is None else round_to(one.all.within, _DIGITS),
            between=None if one.all.within is None else round_to(one.all.between, _DIGITS),
            prior_jobs=None if one.all.prior is None else round_to(one.all.prior, 1),
        )
        for one in found
    )


def _grouped(measured: Iterable[Measured]) -> dict[WorkCode, list[Measured]]:
    found: dict[WorkCode, list[Measured]] = {}
    for one in measured:
        found.setdefault((one.kind, one.code), []).append(one)
    return {code: found[code] for code in sorted(found, key=lambda code: (code[1], code[0]))}


def _estimates(
    circumstance: Circumstance, groups: Mapping[WorkCode, list[Measured]], older: Mapping[WorkCode, int]
) -> Estimates:
    drawn = credibility([_observations(group) for group in groups.values()])
    each = tuple(
        _estimate(tuple(jobs), older[code], group, len(groups))
        for (code, jobs), group in zip(groups.items(), drawn.groups, strict=True)
    )
    return Estimates(circumstance=circumstance, all=drawn, each=each)


def _observations(group: Sequence[Measured]) -> list[tuple[Fraction, Fraction]]:
    mean = sum((Fraction(one.standard) for one in group), Fraction(0)) / len(group)
    return [(Fraction(one.actual) / Fraction(one.standard), Fraction(one.standard) / mean) for one in group]


def _estimate(jobs: tuple[Measured, ...], older: int, group: Group, intervals: int) -> Estimate:
    shrunk = round_to(group.shrunk, _DIGITS)
    if group.variance is None or group.degrees < FEWEST_DEGREES:
        return Estimate(jobs=jobs, older=older, group=group, reach=None, low=Decimal(0), high=2 * shrunk)
    middle = decimal_of(group.ratio)
    reach = standard_errors(intervals, group.degrees) * square_root(group.variance)
    low, high = round_to(middle - reach, _DIGITS), round_to(middle + reach, _DIGITS)
    low, high = max(min(low, shrunk), Decimal(0)), max(high, shrunk)
    return Estimate(jobs=jobs, older=older, group=group, reach=reach, low=low, high=high)


def _accuracy(found: Estimates, estimate: Estimate) -> Accuracy:
    last, group = estimate.jobs[-1], estimate.group
    return Accuracy(
        kind=last.kind,
        code=last.code,
        name=last.name,
        circumstance=found.circumstance,
        jobs=len(estimate.jobs),
        standard=sum((one.standard for one in estimate.jobs), Decimal(0)),
        actual=sum((one.actual for one in estimate.jobs), Decimal(0)),
        ratio=round_to(group.ratio, _DIGITS),
        spread=None if group.own_within is None else round_to(square_root(group.own_within), _DIGITS),
        weight=round_to(group.credibility, _DIGITS),
        shrunk=round_to(group.shrunk, _DIGITS),
        low=estimate.low,
        high=estimate.high,
        older=estimate.older,
    )
