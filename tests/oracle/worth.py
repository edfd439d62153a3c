"""Repair or replace (DESIGN.md section 4, TRADE.md section 9), in Fractions: a second, plain implementation.

H = years to compare, at most the years it could last. Where the trade's formulas are silent: the used value goes in a
straight line from what it is worth working to nothing; a new machine's value then is midway between the used value
then and the new price less what the used one loses, unless the job says what part of its price it loses. Each line is
rounded once, the loss in place of the value then.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import product

from tests.oracle.exact import fraction, half_up
from tests.oracle.price import Priced
from tests.oracle.tax import taxes_of
from tests.oracle.work import World

NAMES = {
    "New price": "new_price",
    "Used value working": "used_working",
    "Value as it stands": "as_it_stands",
    "Upkeep a year after repair": "upkeep_kept",
    "Upkeep a year new": "upkeep_new",
    "Years it could last": "could_last",
}


@dataclass(frozen=True)
class Values:
    """What the comparison stands on; None where a cell is blank."""

    repair: Fraction
    digits: int
    compared: Fraction
    new_price: Fraction | None
    used_working: Fraction | None
    as_it_stands: Fraction | None
    upkeep_kept: Fraction | None
    upkeep_new: Fraction | None
    could_last: Fraction | None
    new_loses: Fraction | None = None

    def missing(self) -> list[str]:
        """Names of the blank cells."""
        return [name for name, attribute in NAMES.items() if getattr(self, attribute) is None]


@dataclass(frozen=True)
class Answer:
    """Keeping and replacing over the same years."""

    horizon: Fraction
    keep: Fraction
    replace: Fraction
    limit: Fraction
    word: str


def values_of(world: World, priced: Priced) -> Values | None:
    """The job's values; None where it gives no price, value or upkeep at all."""
    job = world.job

    def known(value: object) -> Fraction | None:
        return None if value is None else fraction(value)  # type: ignore[arg-type]

    money = [job.new_price, job.used_value_working, job.value_as_it_stands, job.upkeep_after_repair, job.upkeep_new]
    if all(value is None for value in money):
        return None
    years = world.book.settings.years_to_compare if job.years_to_compare is None else job.years_to_compare
    return Values(
        repair_total(world, priced),
        world.digits,
        fraction(years),
        *map(known, money),
        known(job.years_it_could_last),
        known(job.value_a_new_one_loses),
    )


def repair_total(world: World, priced: Priced) -> Fraction:
    """Work with its tax, as if there were no inspection: the fee is spent either way."""
    settings = replace(world.book.settings, inspection_fee=Decimal(0))
    without = replace(world, book=replace(world.book, settings=settings), job=replace(world.job, inspection_fee=None))
    return priced.work + sum((amount for _, _, amount in taxes_of(without, priced)), Fraction(0))


def contradicting(values: Values) -> bool:
    """A machine is not worth more as it stands than working, nor a used one more than a new one."""
    pairs = [(values.as_it_stands, values.used_working), (values.used_working, values.new_price)]
    pairs.append((values.as_it_stands, values.new_price))
    return any(low is not None and high is not None and low > high for low, high in pairs)


def worked_out(values: Values) -> Answer:
    """All values are there."""
    new, used, stands = (fraction(one) for one in (values.new_price, values.used_working, values.as_it_stands))  # type: ignore[arg-type]
    lasts = fraction(values.could_last)  # type: ignore[arg-type]
    years = min(values.compared, lasts)

    def shown(value: Fraction) -> Fraction:
        return half_up(value, values.digits)

    lost = shown(used * years / lasts)
    used_then = used - lost
    new_then = ((new - lost) + used_then) / 2
    if values.new_loses is not None:
        new_then = new - shown(new * values.new_loses)

    upkeep_kept, upkeep_new = fraction(values.upkeep_kept) * years, fraction(values.upkeep_new) * years  # type: ignore[arg-type]
    rest = shown(upkeep_kept) - shown(used_then)
    keep = values.repair + rest
    replaced = new - stands + shown(upkeep_new) - shown(new_then)
    gap = replaced - keep
    word = "close call" if abs(gap) * 10 <= new else "repair" if gap > 0 else "replace"
    return Answer(years, keep, replaced, replaced - rest, word)


def words_over(values: Values, name: str, tried: list[Fraction]) -> dict[Fraction, str]:
    """The word for each value of one missing input that contradicts nothing."""
    given = {value: replace(values, **{NAMES[name]: value}) for value in tried}
    return {value: worked_out(full).word for value, full in given.items() if not contradicting(full)}


def can_turn(values: Values, levels: list[Fraction]) -> bool:
    """Whether the word is not the same for all combinations of levels of what is missing."""
    names = values.missing()
    words: set[str] = set()
    for row in product(levels, repeat=len(names)):
        full = replace(values, **{NAMES[name]: value for name, value in zip(names, row, strict=True)})
        if full.could_last and not contradicting(full):
            words.add(worked_out(full).word)
    return len(words) > 1
