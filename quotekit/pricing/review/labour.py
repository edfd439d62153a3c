"""Hours of a closed job at what they cost, and the hours the standard allowed for what was done.

Cost of an hour: the row of the sheet Labour rates that is named like the person (code or name) and in force on the day
of closing; else the dated row of the work's own labour rate in force then; else the cost that was agreed with.
Hours for the job as a whole, or for work that was not agreed, are of the rate with the most agreed hours.
Standard hours of a rate = agreed opening, closing and net hours, less those of work not done, plus the allowance in
proportion to the rusty hours that were done.
A job closed without hours, for which the standard allowed some, has hours that are not known: blank is never zero.
Units: hours, money an hour (burdened: what an hour costs the shop); exact. Source: shop policy.

Example: 2.0 h agreed at 40 an hour and 2.5 h worked by someone who costs 44: 110.00 against 80.00.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.agreed import AgreedLabour
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import LabourRate
from quotekit.pricing.review.done import Done, work_not_done
from quotekit.record import record


@record
class WorkedHours:
    """Hours at one labour rate by one person; a cost is None where it is not known."""

    rate: str
    hours: Fraction
    standard_cost: Decimal | None
    actual_cost: Decimal | None


def worked_hours(done: Done, rates: Sequence[LabourRate] = ()) -> tuple[WorkedHours, ...]:
    """Every line of hours with its rate and costs."""
    rate_of = {work.key: work.labour for work in done.agreed.work}
    agreed = {labour.rate: labour for labour in done.agreed.labour}
    usual = usual_rate(done)
    in_force = rates_on(rates, done.on)
    named = _by_name(in_force)
    found = []
    for line in done.closed.hours:
        rate = rate_of.get(line.work, usual)
        rate = rate if rate in agreed else usual
        standard = agreed[rate].cost_per_hour if rate in agreed else None
        found.append(
            WorkedHours(
                rate=rate,
                hours=Fraction(line.hours),
                standard_cost=standard,
                actual_cost=_actual_cost(named.get(_name(line.person)), in_force.get(rate), standard),
            )
        )
    return tuple(found)


def usual_rate(done: Done) -> str:
    """The labour rate with the most agreed hours; empty where no labour was agreed."""
    labour = done.agreed.labour
    return max(labour, key=lambda each: each.access + each.net).rate if labour else ""


def standard_hours(done: Done) -> dict[str, Fraction]:
    """Hours allowed for what was done, by labour rate."""
    missing = work_not_done(done)
    return {labour.rate: _standard(labour, done, {work.key for work in missing}) for labour in done.agreed.labour}


def hours_known(done: Done) -> bool:
    """False where work was done and no hours were written down."""
    return any(line.hours for line in done.closed.hours) or not any(standard_hours(done).values())


def _standard(labour: AgreedLabour, done: Done, missing: set[str]) -> Fraction:
    own = [work for work in done.agreed.work if work.labour == labour.rate]
    fallen = sum((Fraction(work.hours) for work in own if work.key in missing), Fraction(0))
    rusty = sum((Fraction(work.hours) for work in own if work.slowed_by_rust), Fraction(0))
    rusty_fallen = sum((Fraction(w.hours) for w in own if w.slowed_by_rust and w.key in missing), Fraction(0))
    share = 1 - rusty_fallen / rusty if rusty else Fraction(1)
    return Fraction(labour.access + labour.net) - fallen + Fraction(labour.allowance) * share


def _actual_cost(person: LabourRate | None, rate: LabourRate | None, standard: Decimal | None) -> Decimal | None:
    if person is not None and person.cost_per_hour is not None:
        return person.cost_per_hour
    if rate is not None and rate.in_force_from is not None and rate.cost_per_hour is not None:
        return rate.cost_per_hour
    return standard


def _by_name(in_force: Mapping[str, LabourRate]) -> dict[str, LabourRate]:
    """Rows by code and by name; no row for a name that two rows have."""
    found: dict[str, LabourRate] = {}
    twice: set[str] = set()
    for row in in_force.values():
        for name in {_name(row.code), _name(row.name)} - {""}:
            twice |= {name} & found.keys()
            found[name] = row
    return {name: row for name, row in found.items() if name not in twice}


def _name(text: str) -> str:
    return " ".join(text.split()).casefold()
