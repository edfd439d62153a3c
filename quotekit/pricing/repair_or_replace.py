"""Repair or replace, for each tier (values: DESIGN.md 4; formulas and source: `worth`; missing values: `what_decides`).

A no and a yes are compared by what each still costs from here. So the repair total is the work with its tax, and these
stay out of it, as they are no part of the choice:
- the inspection fee, its credit and the tax on both: the look has been done whichever way the customer goes. Where a
  yes brings the fee back, that speaks for the repair and is not counted;
- putting the machine back together after a no: a machine that is traded in or scrapped goes as it stands;
- what was paid so far: it is part of either total; and the deposit, which is part of the total;
- what may be added to the option: the sums stand for the option as offered.
It is worked out for every tier with figures, offered or not, where the job gives at least one of new price, used value
working, value as it stands and the two upkeeps. The years alone ask no such question: they serve the choice of tier.
Units: money with tax, years. Source: sunk costs stay out, any managerial accounting text; the rest is shop policy.

Worked example: work 455.82, inspection 45.00 credited, tax 5.49 of the work: repair total 461.31, left out 0.00.
Without a credit: total to pay 506.31, repair total 461.31, left out 45.00; the word is the same.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.repair_or_replace import COMPARED, NEW_LOSES, RepairOrReplace, WorthInput
from quotekit.model.source import Source
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.taxes import charge_lines, tax_total, taxes_on
from quotekit.pricing.what_decides import what_decides
from quotekit.pricing.worth import (
    Sums,
    Worth,
    new_value_between,
    new_value_then,
    sums_of,
    upkeep_over,
    used_value_then,
    worth_of,
)


def weigh(basis: Basis, charges: Charges, total: Decimal, upgrade: Decimal) -> RepairOrReplace:
    """The comparison for a set of charges with its total to pay; `upgrade` is its upgrade labour."""
    worth = worth_of(basis.job, basis.book.settings.years_to_compare, basis.digits)
    inputs, repair = inputs_of(basis, worth), repair_total(basis, charges, upgrade)
    clash = basis.job.contradicting_worth
    if clash is None:
        return repair_or_replace(repair, total - repair, worth, inputs)
    words = f"{clash[0]} is above {clash[1]}"
    return RepairOrReplace(
        inputs=inputs, repair=repair, left_out=total - repair, missing=worth.missing, contradiction=words
    )


def repair_total(basis: Basis, charges: Charges, upgrade: Decimal) -> Decimal:
    """The work with its tax, as if there had been no inspection; `upgrade` is its upgrade labour."""
    lines = charge_lines(charges, ZERO, ZERO)
    taxes = taxes_on(basis, lines, min(upgrade, charges.labour_total))
    return charges.total + round_to(tax_total(taxes), basis.digits)


def inputs_of(basis: Basis, worth: Worth) -> tuple[WorthInput, ...]:
    """Every value with its cell; years to compare are the shop's where the job has none."""
    sources = basis.job.sources
    shops = basis.book.settings.sources
    found = []
    for name, value in worth.by_name().items():
        own = not (name == COMPARED and basis.job.years_to_compare is None)
        source = (sources if own else shops).get(name, Source(file=basis.job.file, sheet="Job"))
        found.append(WorthInput(name=name, value=value, place=source.place("Value")))
    loses = sources.get(NEW_LOSES, Source(file=basis.job.file, sheet="Job"))
    return (*found, WorthInput(name=NEW_LOSES, value=worth.new_loses, place=loses.place("Value")))


def repair_or_replace(
    repair: Decimal, left_out: Decimal, worth: Worth, inputs: tuple[WorthInput, ...]
) -> RepairOrReplace:
    """The comparison for one repair total: what is known of it where values are missing."""
    sums = sums_of(repair, worth)
    if sums is None:
        return _in_part(repair, left_out, worth, inputs)
    return RepairOrReplace(
        inputs=inputs,
        repair=repair,
        left_out=left_out,
        horizon=worth.horizon,
        upkeep_kept=sums.upkeep_kept,
        used_value_then=sums.used_value_then,
        upkeep_new=sums.upkeep_new,
        new_value_then=sums.new_value_then,
        keep=sums.keep,
        replace=sums.replace,
        limit=sums.limit,
        limit_between=_limit_between(sums, worth),
        limit_against_used=_against_used(worth),
        difference=sums.difference,
        word=sums.word,
    )


def _in_part(repair: Decimal, left_out: Decimal, worth: Worth, inputs: tuple[WorthInput, ...]) -> RepairOrReplace:
    """Either sum where its own values are there, and what the word waits for."""
    kept, new = upkeep_over(worth.upkeep_kept, worth), upkeep_over(worth.upkeep_new, worth)
    used, later = used_value_then(worth), new_value_then(worth)
    price, now = worth.new_price, worth.as_it_stands
    word, would_decide = what_decides(repair, worth)
    return RepairOrReplace(
        inputs=inputs,
        repair=repair,
        left_out=left_out,
        horizon=worth.horizon,
        upkeep_kept=kept,
        used_value_then=used,
        upkeep_new=new,
        new_value_then=later,
        keep=None if kept is None or used is None else repair + kept - used,
        replace=None if None in (price, now, new, later) else _sum(price, new) - _sum(now, later),
        limit_against_used=_against_used(worth),
        word=word,
        missing=worth.missing,
        would_decide=would_decide,
    )


def _sum(*values: Decimal | None) -> Decimal:
    return sum((value for value in values if value is not None), ZERO)


def _limit_between(sums: Sums, worth: Worth) -> tuple[Decimal, Decimal] | None:
    """The limit where a new one is worth the most it can be at the end, and the least."""
    between = new_value_between(worth)
    if between is None:
        return None
    least, most = between
    return sums.limit + sums.new_value_then - most, sums.limit + sums.new_value_then - least


def _against_used(worth: Worth) -> Decimal | None:
    """Against a sound used one: it costs the used value working, and is then worth what yours would be."""
    if worth.used_working is None or worth.as_it_stands is None:
        return None
    return worth.used_working - worth.as_it_stands
