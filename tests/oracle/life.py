"""Lives from a formula, in plain floats: ISO 281 rating life, and age replacement for a Weibull life.

The mean time to the planned age is the incomplete gamma function by its series, and the cheapest age is looked for on
a grid that closes in: neither is how the engine does it. Floats carry more digits here than the command prints.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, gamma, inf, log


def rating_life(rating: float, load: float, speed: float, hours_a_year: float, roller: bool) -> dict[str, float]:
    """Million turns, hours and years that nine in ten reach."""
    million = (rating / load) ** (10 / 3 if roller else 3)
    hours = million * 1_000_000 / (speed * 60)
    return {"million_revolutions": million, "hours": hours, "life_years": hours / hours_a_year}


@dataclass(frozen=True)
class Weibull:
    """Scale and shape of a life."""

    scale: float
    shape: float

    def reach(self, age: float) -> float:
        """What part of many reaches an age."""
        return exp(-((age / self.scale) ** self.shape))

    @property
    def mean(self) -> float:
        """Mean life: scale x gamma(1 + 1 / shape)."""
        return self.scale * gamma(1 + 1 / self.shape)

    def lived(self, age: float) -> float:
        """Mean years lived up to an age: scale / shape x lower incomplete gamma of 1 / shape."""
        x, a = (age / self.scale) ** self.shape, 1 / self.shape
        if x > 60:
            return self.mean
        term = total = 1 / a
        step = a
        while term > total * 1e-17:
            step += 1
            term *= x / step
            total += term
        return self.scale / self.shape * exp(a * log(x) - x) * total if x else 0.0


def cost_a_year(planned: float, failure: float, life: Weibull, age: float) -> float:
    """What replacing at an age, or at failure before it, costs a year."""
    reach = life.reach(age)
    return (planned * reach + failure * (1 - reach)) / life.lived(age)


def cheapest_age(planned: float, failure: float, life: Weibull) -> tuple[float, float]:
    """The age and its cost a year; infinite where waiting for failure is as cheap as any."""
    best, cost = inf, failure / life.mean
    if life.shape <= 1:
        return best, cost
    low, high = log(life.scale * 1e-4), log(life.scale * 60 ** (1 / life.shape))
    for _ in range(14):
        ages = [exp(low + (high - low) * i / 60) for i in range(61)]
        costs = [cost_a_year(planned, failure, life, age) for age in ages]
        at = costs.index(min(costs))
        if costs[at] < cost * (1 - 1e-15):
            best, cost = ages[at], costs[at]
        low, high = log(ages[max(at - 1, 0)]), log(ages[min(at + 1, 60)])
    return best, cost
