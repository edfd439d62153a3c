"""What a tier comes to over the years, and what the order of the tiers hangs on: records only (DESIGN.md 5.7).

Amounts are Decimals with the currency's digits, years and interest plain numbers, all of them estimates.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Literal

from quotekit.record import record


@record
class Repeat:
    """A remedy that comes round again within the horizon."""

    item: str
    """CODE or CODE@side."""
    years: tuple[Decimal, ...]
    """When: each whole number of lives before the horizon."""
    each: Decimal
    """Its stand-alone work, what it costs each time at today's prices."""
    worth: Fraction
    """Today's worth of all its repeats, not rounded."""
    together: Decimal
    """The same in money: work and all of these add up to the cost."""


@record
class CostOverYears:
    """Work today and again as lives run out, over the horizon, at the shop's interest."""

    horizon: Decimal
    interest: Decimal
    cost: Decimal
    equivalent_a_year: Decimal | None
    """The level amount a year that is worth the cost; None where the horizon is zero."""
    by_year: tuple[Decimal, ...]
    """At 0, 1, 2 ... whole years and at the horizon, with the repeats due before."""
    repeats: tuple[Repeat, ...]
    """In text order of the items; those that last the horizon are left out."""


MOST_REPEATS = 300
"""Repeats of all tiers over twice the horizon; with more the order is not looked at under other settings."""
MOST_TRIED = 256
"""Choices of all tiers that would be made again under other settings: as many as a job keeps the charges of."""

Setting = Literal["interest", "horizon", "lives"]


@record
class OrderChange:
    """A value at which the order of the tiers by cost over the years changes."""

    below: Decimal
    """The order is `before` here, and at `above` it is `after`; both were priced."""
    above: Decimal
    exactly: Fraction | None
    """The value itself where it is known exactly; None where it was narrowed down to a small step."""
    before: tuple[str, ...]
    after: tuple[str, ...]
    """Tier codes, the least to own first."""


@record
class OrderRange:
    """How the order holds while one setting goes from one end to the other and all else stays."""

    setting: Setting
    current: Decimal
    """Interest as a fraction, the horizon in years; 1 for lives, as a factor on all of them."""
    low: Decimal
    high: Decimal
    precision: Decimal
    """The step to which a change is narrowed down where it is not exact."""
    changes: tuple[OrderChange, ...]

    @property
    def least_changes(self) -> bool:
        """Another tier becomes the least to own somewhere in the range."""
        return any(change.before[:1] != change.after[:1] for change in self.changes)


@record
class OtherChoice:
    """What a tier would take instead under another setting."""

    tier: str
    setting: Setting
    value: Decimal
    """The setting's other value, as in `OrderRange.current`."""
    takes: tuple[str, ...]
    in_place_of: tuple[str, ...]
    """Item keys, in text order."""


@record
class Sensitivity:
    """What the order of the offered tiers, and their own choices, hang on."""

    order: tuple[str, ...]
    """Offered tiers whose lives are all stated, the least to own first."""
    ranges: tuple[OrderRange, ...]
    """Interest, horizon, lives; empty with fewer than two such tiers, or more repeats than are worked through."""
    tried: tuple[tuple[Setting, Decimal], ...]
    """The settings under which the choices were made again; empty where none needed to or they are too many."""
    too_many: bool
    """Choices were not made again because there are too many of them."""
    choices: tuple[OtherChoice, ...]
    """Where a tier would take something else."""
