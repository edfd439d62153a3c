"""The cheapest age at which to replace a part before it fails, where its life scatters by a Weibull law.

cost rate at age T = (planned cost x R(T) + failure cost x (1 - R(T))) / the integral of R from 0 to T
run to failure     = failure cost / mean life
The cheapest age is where hazard(T) x integral - (1 - R(T)) = planned cost / (failure cost - planned cost).
With x = (T / scale) ** shape and a = 1 / shape this reads x ** (1 - a) g(a, x) - (1 - e ** -x), g the lower incomplete
gamma function; it grows with x without bound for a shape above 1, so there is one such age, found by halving.
None is finite for a shape of 1 or less (an old part is then no worse than a new one), or where a failure costs no more
than planned work. Beyond x = 50 fewer than one part in 10 ** 21 is still whole: that is run to failure too.
The age is the same whatever the unit of money; ages are in the unit of `scale`.
Source: age replacement policy (Barlow and Proschan; from memory), renewal reward; checked in tests/outside_checks.

Worked example: planned cost 1, failure cost 5, scale 1,000 hours, shape 2.5: every 493 hours, 0.003462 an hour; run to
failure it is 5 / 887.26 = 0.005635 an hour.
"""

from __future__ import annotations

from decimal import Decimal, localcontext

from quotekit.pricing.lives.precise import PRECISE, exponential, lower_gamma, power
from quotekit.pricing.lives.weibull import Weibull, mean_life, reliability
from quotekit.record import record

FARTHEST = Decimal(50)
HALVINGS = 110
"""From 50 down to less than one part in 10 ** 31."""


@record
class AgeReplacement:
    """The cheapest planned age, None to run to failure; cost rates in money a unit of time, nothing rounded."""

    age: Decimal | None
    cost_rate: Decimal
    """At that age; where there is none, the same as run to failure."""
    run_to_failure: Decimal
    mean: Decimal
    """Mean life run to failure."""
    reach_age: Decimal
    """The part of many that reach the planned age whole; zero where there is none."""
    why_none: str = ""


def cost_rate(planned: Decimal, failure: Decimal, life: Weibull, age: Decimal) -> Decimal:
    """Money a unit of time when each part is replaced at an age, or as it fails before that.

    >>> from quotekit.pricing.lives.weibull import a_weibull
    >>> round(cost_rate(Decimal(1), Decimal(5), a_weibull(Decimal(1000), Decimal("2.5")), Decimal(493)), 8)
    Decimal('0.00346204')
    """
    if age <= 0:
        raise ValueError(f"the age must be above zero, not {age}")
    with localcontext(PRECISE):
        whole = reliability(life, age)
        part = 1 / life.shape
        lived = life.scale * part * lower_gamma(part, min(power(age / life.scale, life.shape), 2 * FARTHEST))
        return (planned * whole + failure * (1 - whole)) / lived


def replace_by_age(planned: Decimal, failure: Decimal, life: Weibull) -> AgeReplacement:
    """The cheapest planned age and what it costs, beside running to failure.

    Raises ValueError, in words, for a cost that is not above zero.

    >>> from quotekit.pricing.lives.weibull import a_weibull
    >>> best = replace_by_age(Decimal(1), Decimal(5), a_weibull(Decimal(1000), Decimal("2.5")))
    >>> best.age is not None and round(best.age, 2), round(best.cost_rate, 8), round(best.run_to_failure, 8)
    (Decimal('493.05'), Decimal('0.00346204'), Decimal('0.00563530'))
    >>> replace_by_age(Decimal(1), Decimal(5), a_weibull(Decimal(1000), Decimal(1))).why_none
    'with a shape of 1 or less an old part is no worse than a new one'
    """
    for name, cost in (("the planned cost", planned), ("the failure cost", failure)):
        if not cost.is_finite() or cost <= 0:
            raise ValueError(f"{name} must be above zero, not {cost}")
    with localcontext(PRECISE):
        mean = mean_life(life)
        to_failure = failure / mean
        why_none = _why_none(planned, failure, life)
        if why_none:
            return AgeReplacement(
                age=None,
                cost_rate=to_failure,
                run_to_failure=to_failure,
                mean=mean,
                reach_age=Decimal(0),
                why_none=why_none,
            )
        age = life.scale * power(_cheapest(planned / (failure - planned), 1 / life.shape), 1 / life.shape)
        return AgeReplacement(
            age=age,
            cost_rate=cost_rate(planned, failure, life, age),
            run_to_failure=to_failure,
            mean=mean,
            reach_age=reliability(life, age),
        )


def _why_none(planned: Decimal, failure: Decimal, life: Weibull) -> str:
    if life.shape <= 1:
        return "with a shape of 1 or less an old part is no worse than a new one"
    if failure <= planned:
        return "a failure costs no more than planned work"
    if _gain(FARTHEST, 1 / life.shape) < planned / (failure - planned):
        return "the cheapest age lies beyond the life of nearly all parts"
    return ""


def _cheapest(ratio: Decimal, part: Decimal) -> Decimal:
    """The x at which the gain reaches the ratio, by halving."""
    low, high = Decimal(0), FARTHEST
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if _gain(middle, part) < ratio:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _gain(x: Decimal, part: Decimal) -> Decimal:
    """x ** (1 - a) g(a, x) - (1 - e ** -x), zero at zero and growing."""
    return power(x, 1 - part) * lower_gamma(part, x) - (1 - exponential(-x))
