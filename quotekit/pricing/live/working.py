"""The sheet that sums are built on: its steps so far, and how Decimals become whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from quotekit.model.expression import Expression, Step, weighted
from quotekit.pricing.basis import Basis


@dataclass(kw_only=True)
class Working:
    """Steps in working order; `chosen` is 1 for the option chosen and 0 for every other."""

    basis: Basis
    chosen: tuple[Step, ...]
    steps: list[Step] = field(default_factory=list)

    def step(self, name: str, formula: Expression, most: Expression | None = None) -> Expression:
        """Give a formula a line of its own; what is a line already, or a plain number, stays.

        `most` says that the rule itself keeps the number from 0 to that.
        """
        if isinstance(formula, int | Step):
            return formula
        return self.line(name, formula, most)

    def line(self, name: str, formula: Expression, most: Expression | None = None) -> Step:
        """A line of its own in any case."""
        made = Step(name, formula, most)
        self.steps.append(made)
        return made

    def pick(self, values: Sequence[int]) -> Expression:
        """The value of the option chosen."""
        if len(set(values)) == 1:
            return values[0]
        return weighted(zip(values, self.chosen, strict=True))

    def minor(self, amount: Decimal) -> int:
        """An amount in minor units; it has no more digits than the currency."""
        return whole(amount, self.basis.digits)


def decimals(values: Iterable[Decimal]) -> int:
    """The most decimals among numbers.

    >>> decimals([Decimal("1.50"), Decimal("0.125"), Decimal(20)])
    3
    """
    return max((max(0, -int(value.normalize().as_tuple().exponent)) for value in values), default=0)


def whole(value: Decimal, digits: int) -> int:
    """A number times ten to a power, which must be whole.

    >>> whole(Decimal("1.25"), 2)
    125
    """
    scaled = value.scaleb(digits)
    number = int(scaled)
    if number != scaled:
        raise ValueError(f"{value} has more than {digits} decimals")
    return number
