"""What rust really adds: measured hours of work that was slowed by it, against what the same work takes without.

Hours expected without rust = standard hours x the shrunk ratio of that operation in usual jobs, the shop's mean ratio
where it was never measured there. Ratio of a condition = sum of actual by sum of expected over its jobs; the allowance
it speaks for is ratio - 1, at least zero.
Variance of the ratio = n / (n - 1) x sum over jobs of (actual - ratio x expected) ** 2 / (sum of expected) ** 2, and
what the expected hours themselves may be off: ratio ** 2 x sum over operations of (share of the expected hours) ** 2 x
variance of the operation's own ratio / the square of the shrunk one.
The interval is of as many degrees of freedom as there are jobs less one.
Units: hours, a fraction of net hours. Source: Cochran, Sampling Techniques, variance of a ratio estimate, from memory;
DESIGN 5.3 for the allowance; the rest is shop policy.

Example: 2.0 h expected over two jobs and 2.8 h clocked: 1.4, an allowance of 40 %.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.money import round_to
from quotekit.pricing.review.accuracy import Estimates, WorkCode
from quotekit.pricing.review.credibility import Group
from quotekit.pricing.review.measured import Measured
from quotekit.pricing.review.quantile import FEWEST_DEGREES, standard_errors
from quotekit.pricing.review.roots import decimal_of, square_root
from quotekit.record import record


@record
class RustRatio:
    """The rusty jobs of one condition."""

    condition: str
    jobs: int
    ratio: Fraction
    error: Decimal | None
    """Standard error; None for one job."""


def rust_ratios(measured: Sequence[Measured], found: Sequence[Estimates]) -> tuple[RustRatio, ...]:
    """Of every condition that slowed measured work, in text order."""
    usual = next((one for one in found if one.circumstance == "usual"), None)
    known: dict[WorkCode, Group] = {} if usual is None else {each.code: each.group for each in usual.each}
    mean = Fraction(1) if usual is None else usual.all.mean
    conditions: dict[str, list[Measured]] = {}
    for one in measured:
        if one.circumstance == "rust":
            conditions.setdefault(one.condition, []).append(one)
    return tuple(_of_condition(condition, conditions[condition], known, mean) for condition in sorted(conditions))


def _of_condition(
    condition: str, measured: Sequence[Measured], known: Mapping[WorkCode, Group], mean: Fraction
) -> RustRatio:
    jobs: dict[str, tuple[Fraction, Fraction]] = {}
    by_code: dict[WorkCode, Fraction] = {}
    for one in measured:
        code = (one.kind, one.code)
        expected = Fraction(one.standard) * (known[code].shrunk if code in known else mean)
        hours, wanted = jobs.get(one.job, (Fraction(0), Fraction(0)))
        jobs[one.job] = (hours + Fraction(one.actual), wanted + expected)
        by_code[code] = by_code.get(code, Fraction(0)) + expected
    return _ratio(condition, tuple(jobs.values()), _off(by_code, known))


def _off(by_code: Mapping[WorkCode, Fraction], known: Mapping[WorkCode, Group]) -> Fraction:
    """How far the expected hours may be off, as a variance of their share."""
    total = sum(by_code.values(), Fraction(0))
    groups = [(hours / total, known[code]) for code, hours in by_code.items() if code in known]
    return sum((share**2 * (one.variance or 0) / one.shrunk**2 for share, one in groups), Fraction(0))


def allowance_of(ratio: Fraction | Decimal) -> Decimal:
    """The allowance a ratio speaks for, in whole percent.

    >>> allowance_of(Fraction(7, 5)), allowance_of(Fraction(9, 10))
    (Decimal('0.40'), Decimal('0.00'))
    """
    return round_to(max(Fraction(ratio) - 1, Fraction(0)), 2)


def reach_of(found: RustRatio, intervals: int) -> tuple[Decimal, Decimal] | None:
    """The ends of the interval of a ratio, one of some that hold together; None for too few jobs to tell."""
    if found.error is None or found.jobs <= FEWEST_DEGREES:
        return None
    middle, reach = decimal_of(found.ratio), standard_errors(intervals, found.jobs - 1) * found.error
    return round_to(middle - reach, 4), round_to(middle + reach, 4)


def known_allowances(measured: Sequence[Measured], of_book: Mapping[str, Decimal]) -> dict[str, Decimal | None]:
    """The allowance in force of each condition that occurs; None where the book does not say it."""
    return {one.condition: of_book.get(one.condition) for one in measured if one.circumstance == "rust"}


def _ratio(condition: str, jobs: Sequence[tuple[Fraction, Fraction]], off: Fraction) -> RustRatio:
    actual = sum((hours for hours, _ in jobs), Fraction(0))
    expected = sum((hours for _, hours in jobs), Fraction(0))
    ratio, count = actual / expected, len(jobs)
    if count < 2:
        return RustRatio(condition=condition, jobs=count, ratio=ratio, error=None)
    squares = sum(((hours - ratio * wanted) ** 2 for hours, wanted in jobs), Fraction(0))
    error = square_root(Fraction(count, count - 1) * squares / expected**2 + ratio**2 * off)
    return RustRatio(condition=condition, jobs=count, ratio=ratio, error=error)
