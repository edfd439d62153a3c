"""What a machine is worth as the years go by, and what keeping and replacing it come to (values: DESIGN.md 4).

horizon H = years to compare (the job's, else the shop's), never more than the years it could last
upkeep over H = round(upkeep a year x H), kept and new
loss = round(used value working x H / years it could last): a used one's value falls in a straight line to nothing
used value then = used value working - loss
new one's value then = new price - round(new price x value a new one loses), where the job says what it loses, else
new one's value then = round(middle of the least and the most it can be), where
    the least is the used value then: a new one of H years is worth no less than yours of many more
    the most is new price - loss: a machine loses most in its first years, so a new one loses no less than yours does
cost to keep = repair total + upkeep kept - used value then
cost to replace = new price - value as it stands + upkeep new - new one's value then
limit = cost to replace - (upkeep kept - used value then): the repair total at which both cost the same
word: close call where both differ by 10 % of the new price or less, else repair or replace, whichever costs less

Units: money with tax, years; no interest. Every line is rounded half up to the minor unit, once; sums are of lines.
Put together, where a new one's loss is not given: limit = half of (new price + used value working) - value as it stands
- (upkeep kept - upkeep new).
A repair that comes round again within H is part of the upkeep a year: the life of a repair is not that of a machine.

Source: the comparison is that of equipment replacement, any managerial accounting text (outlays, running costs and
values at both ends, nothing already spent). The 10 %, the straight line and the middle are shop policy, no source, as
nobody knows a value years ahead; what a new one loses is the owner's to set (Value a new one loses, on the job).

Worked example: new 1,899.00, used 750.00, as it stands 250.00, upkeep 60.00 kept and 40.00 new, could last 12 years,
5 compared: H = 5, loss 312.50, used then 437.50, new one then between 437.50 and 1,586.50: 1,012.00.
Repair 461.31: keep 461.31 + 300.00 - 437.50 = 323.81; replace 1,899.00 - 250.00 + 200.00 - 1,012.00 = 837.00;
limit 837.00 - (300.00 - 437.50) = 974.50. They differ by 513.19, more than 189.90: repair.
Where a new one is said to lose 60 %: 1,139.40, so 759.60 then; replace 1,089.40, limit 1,226.90.
A blank value is never zero: see `what_decides`.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.job import Job
from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COMPARED,
    COULD_LAST,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
    Word,
)
from quotekit.money import round_to
from quotekit.record import record

_CLOSE = 10
"""Of the new price, one part in so many is close."""


@record
class Worth:
    """The values of a job, each None where it is blank; `compared` are the years to compare before the machine's."""

    new_price: Decimal | None
    used_working: Decimal | None
    as_it_stands: Decimal | None
    upkeep_kept: Decimal | None
    upkeep_new: Decimal | None
    could_last: Decimal | None
    compared: Decimal
    digits: int
    new_loses: Decimal | None = None
    """Part of its price that a new one loses over the horizon; None for the middle of what it can lose."""

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the values that are blank, in the order of the job's sheet."""
        return tuple(name for name, value in self.by_name().items() if value is None)

    @property
    def horizon(self) -> Decimal | None:
        """Years counted; not known where the machine's are not."""
        return None if self.could_last is None else min(self.compared, self.could_last)

    def by_name(self) -> dict[str, Decimal | None]:
        """Every value by its name on the job's sheet."""
        return {
            NEW_PRICE: self.new_price,
            USED_WORKING: self.used_working,
            AS_IT_STANDS: self.as_it_stands,
            UPKEEP_KEPT: self.upkeep_kept,
            UPKEEP_NEW: self.upkeep_new,
            COULD_LAST: self.could_last,
            COMPARED: self.compared,
        }


@record
class Sums:
    """The lines of keeping and of replacing, and what follows from them. Exact."""

    repair: Decimal
    upkeep_kept: Decimal
    used_value_then: Decimal
    new_price: Decimal
    value_as_it_stands: Decimal
    upkeep_new: Decimal
    new_value_then: Decimal

    @property
    def keep(self) -> Decimal:
        """Cost to keep."""
        return self.repair + self.upkeep_kept - self.used_value_then

    @property
    def replace(self) -> Decimal:
        """Cost to replace."""
        return self.new_price - self.value_as_it_stands + self.upkeep_new - self.new_value_then

    @property
    def limit(self) -> Decimal:
        """The repair total at which both cost the same."""
        return self.replace - (self.upkeep_kept - self.used_value_then)

    @property
    def difference(self) -> Decimal:
        """Cost to replace less cost to keep."""
        return self.replace - self.keep

    @property
    def word(self) -> Word:
        """Whichever costs less, or a close call."""
        if abs(self.difference) * _CLOSE <= self.new_price:
            return "close call"
        return "repair" if self.difference > 0 else "replace"


def worth_of(job: Job, shops_years: Decimal, digits: int) -> Worth:
    """The values of a job; money to the currency's digits."""

    def money(value: Decimal | None) -> Decimal | None:
        return None if value is None else round_to(value, digits)

    return Worth(
        new_price=money(job.new_price),
        used_working=money(job.used_value_working),
        as_it_stands=money(job.value_as_it_stands),
        upkeep_kept=job.upkeep_after_repair,
        upkeep_new=job.upkeep_new,
        could_last=job.years_it_could_last,
        compared=shops_years if job.years_to_compare is None else job.years_to_compare,
        digits=digits,
        new_loses=job.value_a_new_one_loses,
    )


def sums_of(repair: Decimal, worth: Worth) -> Sums | None:
    """Both sums where no value is missing."""
    kept, new = upkeep_over(worth.upkeep_kept, worth), upkeep_over(worth.upkeep_new, worth)
    used_then, new_then = used_value_then(worth), new_value_then(worth)
    price, now = worth.new_price, worth.as_it_stands
    if kept is None or new is None or used_then is None or new_then is None or price is None or now is None:
        return None
    return Sums(
        repair=repair,
        upkeep_kept=kept,
        used_value_then=used_then,
        new_price=price,
        value_as_it_stands=now,
        upkeep_new=new,
        new_value_then=new_then,
    )


def upkeep_over(a_year: Decimal | None, worth: Worth) -> Decimal | None:
    """Upkeep over the horizon."""
    return None if a_year is None or worth.horizon is None else round_to(a_year * worth.horizon, worth.digits)


def used_value_then(worth: Worth) -> Decimal | None:
    """What the repaired machine is worth at the end."""
    loss = _loss(worth)
    return None if loss is None or worth.used_working is None else worth.used_working - loss


def new_value_then(worth: Worth) -> Decimal | None:
    """What a new one is worth at the end: its price less what it is said to lose, else the middle of what it can be."""
    if worth.new_loses is not None:
        price = worth.new_price
        return None if price is None else price - round_to(price * worth.new_loses, worth.digits)
    between = new_value_between(worth)
    return None if between is None else round_to(Fraction(sum(between)) / 2, worth.digits)


def new_value_between(worth: Worth) -> tuple[Decimal, Decimal] | None:
    """The least and the most a new one can be worth at the end; None where what it loses is given."""
    if worth.new_loses is not None:
        return None
    loss, then = _loss(worth), used_value_then(worth)
    return None if loss is None or then is None or worth.new_price is None else (then, worth.new_price - loss)


def _loss(worth: Worth) -> Decimal | None:
    """What a used one loses over the horizon, in a straight line; nothing in no time."""
    if worth.used_working is None or worth.could_last is None or worth.horizon is None:
        return None
    share = Fraction(worth.horizon) / Fraction(worth.could_last) if worth.horizon else Fraction(0)
    return round_to(Fraction(worth.used_working) * share, worth.digits)
