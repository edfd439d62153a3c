"""Repair or replace as records: what a tier costs to keep and to replace, the repair limit and the word.

Selling prices and the customer's own values only: no cost of the shop's is here, so that a customer may read it all.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from quotekit.problems import Place
from quotekit.record import record

Word = Literal["repair", "close call", "replace"]

NEW_PRICE = "New price"
USED_WORKING = "Used value working"
AS_IT_STANDS = "Value as it stands"
UPKEEP_KEPT = "Upkeep a year after repair"
UPKEEP_NEW = "Upkeep a year new"
NEW_LOSES = "Value a new one loses"
COULD_LAST = "Years it could last"
COMPARED = "Years to compare"


@record
class WorthInput:
    """A value the comparison stands on; `value` None where its cell is blank."""

    name: str
    value: Decimal | None
    place: Place


@record
class Stretch:
    """Values of one input, both ends included, for which the word is the same; None where nothing bounds them."""

    word: Word
    from_: Decimal | None
    to: Decimal | None


@record
class WouldDecide:
    """Which missing values the word waits for, the one with the most effect first.

    Where one alone is missing: `even` is its value at which keeping and replacing cost the same, None where there is
    none, and `words` say what each value of it would mean, from low to high.
    """

    names: tuple[str, ...]
    even: Decimal | None = None
    words: tuple[Stretch, ...] = ()


@record
class RepairOrReplace:
    """Keeping and replacing over the same years; what can't be worked out is None.

    Every line is rounded to the currency's digits, and every sum is that of its lines.
    """

    inputs: tuple[WorthInput, ...]
    """New price, used value working, value as it stands, both upkeeps, years it could last, years to compare, and the
    part of its price that a new one loses: blank there is no missing value, the middle is taken."""
    repair: Decimal
    """Total to pay with tax, without the inspection fee, its credit and the tax on both."""
    left_out: Decimal
    """Total to pay less `repair`: what is left of the fee after its credit, with the tax on it."""
    horizon: Decimal | None = None
    """Years counted: the years to compare, never more than it could last."""
    upkeep_kept: Decimal | None = None
    """Over the horizon, as `upkeep_new`."""
    used_value_then: Decimal | None = None
    upkeep_new: Decimal | None = None
    new_value_then: Decimal | None = None
    keep: Decimal | None = None
    replace: Decimal | None = None
    limit: Decimal | None = None
    """The repair total at which keeping and replacing cost the same."""
    limit_between: tuple[Decimal, Decimal] | None = None
    """The limit where a new one kept its value as well as it can, and as badly; None where its loss is given."""
    limit_against_used: Decimal | None = None
    """The same limit against a sound used one that costs the used value working: that less the value as it stands."""
    difference: Decimal | None = None
    """Cost to replace less cost to keep: above zero where the repair is the cheaper way."""
    word: Word | None = None
    missing: tuple[str, ...] = ()
    would_decide: WouldDecide | None = None
    """None where nothing is missing, or the word is the same whatever is."""
    contradiction: str = ""
    """Which values can't both be right; then nothing is worked out."""

    def value(self, name: str) -> Decimal | None:
        """An input by its name."""
        return next(one.value for one in self.inputs if one.name == name)
