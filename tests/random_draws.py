"""The dice of the random jobs: amounts, hours, quantities and choices from one seed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from random import Random
from typing import TypeVar

from quotekit.model.shop_book import (
    AccessStep,
    Extra,
    Finding,
    Operation,
    Part,
    Quantity,
    Remedy,
)

Thing = TypeVar("Thing")

DIGITS = {"USD": 2, "JPY": 0, "KWD": 3}


@dataclass
class Draws:
    """What has been drawn so far, and the dice."""

    random: Random
    wide: bool = False
    """More remedies to choose from, and few reasons that leave no choice."""
    currency: str = "USD"
    positions: tuple[str, ...] = ("left", "right")
    steps: list[AccessStep] = field(default_factory=list)
    operations: list[Operation] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    remedies: list[Remedy] = field(default_factory=list)
    extras: list[Extra] = field(default_factory=list)

    def chance(self, percent: int) -> bool:
        """True in so many cases of a hundred."""
        return self.random.randrange(100) < percent

    def maybe(self, percent: int, value: Thing) -> Thing | None:
        """The value in so many cases of a hundred."""
        return value if self.chance(percent) else None

    def some(self, things: Sequence[Thing], most: int) -> list[Thing]:
        """Up to so many of the things, in their order."""
        count = min(self.random.randint(0, most), len(things))
        picked = sorted(self.random.sample(range(len(things)), count))
        return [things[i] for i in picked]

    def money(self, low: int, high: int) -> Decimal:
        """An amount in minor units of the currency; low and high are in dollars."""
        digits = DIGITS[self.currency]
        scale = 10**digits if digits else 100
        units = self.random.randint(low * scale, high * scale)
        return Decimal(units).scaleb(-digits)

    def tenths(self, low: int, high: int, step: int = 1) -> Decimal:
        """Hours in hundredths between low and high tenths."""
        return Decimal(self.random.randrange(low * 10, high * 10 + 1, step)).scaleb(-2)

    def percent(self, low: int, high: int) -> Decimal:
        """A fraction with up to three decimals."""
        return Decimal(self.random.randint(low * 10, high * 10)).scaleb(-3)

    def count(self, most: int = 3) -> Decimal:
        """A quantity, whole or not."""
        return self.random.choice([Decimal(self.random.randint(1, most)), Decimal("0.5"), Decimal(1), Decimal("1.25")])

    def quantities(self, codes: Sequence[str], most: int) -> tuple[Quantity, ...]:
        """A quantity list."""
        return tuple(Quantity(code=code, quantity=self.count()) for code in self.some(codes, most))

    def _labour(self) -> str | None:
        return self.random.choice([None, None, None, "WELD", "MAIN"])

    def _part_codes(self) -> list[str]:
        return [part.code for part in self.parts]

    def _is_sided(self, codes: Sequence[str]) -> bool:
        by_code = {operation.code: operation for operation in self.operations}
        return any(by_code[code].each_side or self._is_sided(by_code[code].requires) for code in codes)

    def _takeable(self) -> list[tuple[str, bool]]:
        """Codes of remedies and extras, and whether they are sided."""
        pool = [(remedy.code, self._is_sided(remedy.operations)) for remedy in self.remedies]
        return pool + [(extra.code, self._is_sided(extra.operations)) for extra in self.extras]
