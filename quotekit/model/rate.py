"""What an hour must sell for: the rows of the sheet Rate builder, what they mean, and the rates that follow.

Amounts are of one year, in the shop's currency, before tax. Percentages are fractions. What is understood stays exact,
as Fractions; what is worked out from it is rounded once, as Decimals.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal, get_args

from quotekit.model.source import NOWHERE, Source
from quotekit.record import record

RateKind = Literal[
    "pay",
    "burden",
    "overhead",
    "clock hours",
    "share at the bench",
    "efficiency",
    "parts contribution",
    "profit share",
]
RATE_KINDS: tuple[RateKind, ...] = get_args(RateKind)


@record
class Amount:
    """A number as typed: a fraction where the cell itself says that it is a percentage."""

    value: Decimal
    percent: bool = False


@record
class RateLine:
    """One row of the sheet."""

    line: str
    amount: Amount
    kind: RateKind
    source: Source = NOWHERE


@record
class CostLine:
    """A cost of the year; a burden that is a percentage says of how much, and on which lines of pay."""

    line: str
    kind: RateKind
    amount: Fraction
    percent: Fraction | None = None
    on: tuple[str, ...] = ()
    source: Source = NOWHERE


@record
class BenchHours:
    """The paid hours of a person or group, and what part of them is sold."""

    line: str
    clock: Fraction
    share: Fraction
    efficiency: Fraction
    source: Source = NOWHERE

    @property
    def sold(self) -> Fraction:
        """Hours at the bench, at the pace of the hours that are charged."""
        return self.clock * self.share * self.efficiency


@record
class RateBuild:
    """The sheet understood: whose each row is. `parts_sales` is None where only what parts leave is known."""

    costs: tuple[CostLine, ...]
    hours: tuple[BenchHours, ...]
    parts_contribution: Fraction = Fraction(0)
    parts_sales: Fraction | None = None
    profit_share: Fraction | None = None

    def cost_of(self, *kinds: RateKind) -> Fraction:
        """The costs of some kinds together; of all of them where none is named."""
        return sum((line.amount for line in self.costs if not kinds or line.kind in kinds), Fraction(0))

    @property
    def clock_hours(self) -> Fraction:
        """All hours paid for."""
        return sum((hours.clock for hours in self.hours), Fraction(0))

    @property
    def sold_hours(self) -> Fraction:
        """All hours that can be charged."""
        return sum((hours.sold for hours in self.hours), Fraction(0))


@record
class Rates:
    """Labour sales and the rate per sold hour, to break even and with the wanted profit; None where none is wanted."""

    break_even_sales: Decimal
    break_even: Decimal
    labour_sales: Decimal | None = None
    for_profit: Decimal | None = None


@record
class RateAt:
    """The rates that bring the same labour sales over another number of sold hours."""

    sold_hours: Decimal
    break_even: Decimal
    for_profit: Decimal | None = None


@record
class RateInForce:
    """A labour rate on the day looked at. `leaves` is the year's profit if every sold hour were sold at it;
    `break_even_hours` how many must be sold at it, parts selling along, None where no number is enough."""

    code: str
    name: str
    rate: Decimal
    in_force_from: date | None
    below_break_even: bool
    below_profit: bool
    leaves: Decimal
    break_even_hours: Decimal | None
    source: Source = NOWHERE


@record
class ShopRate:
    """What the sheet comes to. `profit` is what the wanted share is in money; `swing` how many percent of it one
    percent of the sold hours is worth."""

    build: RateBuild
    shop_name: str
    currency: str
    language: str
    on: date
    cost_to_cover: Decimal
    rates: Rates
    without_parts: Rates
    profit: Decimal | None
    swing: Decimal | None
    table: tuple[RateAt, ...]
    in_force: tuple[RateInForce, ...]
