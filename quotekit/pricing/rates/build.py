"""The sheet Rate builder understood: costs, hours, parts and the wanted profit, or what must be asked first.

Everything wrong is found in one pass; an error leaves nothing, as a rate from half a sheet would be too low.
Source: shop policy; each kind's own rule stands in `costs.py`, `hours.py` and `parts.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotekit.model.rate import BenchHours, CostLine, RateBuild, RateLine
from quotekit.pricing.rates.amounts import as_typed, plain, share_of
from quotekit.pricing.rates.costs import read_costs, without_burden
from quotekit.pricing.rates.hours import read_hours
from quotekit.pricing.rates.names import meant_by
from quotekit.pricing.rates.parts import Parts, read_parts
from quotekit.pricing.rates.sums import counted_twice
from quotekit.pricing.rates.twice import typed_twice
from quotekit.problems import Place, Problem, error, has_errors, warning

LEAST_AN_HOUR = Fraction(1, 10)
"""Pay for less than this an hour, in any currency, was not typed as the pay of a year."""


def read_build(lines: Sequence[RateLine], sheet: Place) -> tuple[RateBuild | None, list[Problem]]:
    """What the rows mean, and everything wrong with them; None where an error leaves no rate."""
    if not lines:
        return None, [_no_sheet(sheet)]
    costs, problems = read_costs(lines)
    hours, found = read_hours(lines, sheet)
    problems += found
    parts, found = read_parts(lines)
    problems += found
    share, found = _profit_share(lines)
    problems += [*found, *_paid_by_the_hour(costs, hours)]
    if not has_errors(problems):
        problems += [*_nothing_paid(costs, sheet), *_no_burden(costs), *counted_twice(costs), *typed_twice(lines)]
        problems += _sales_unknown(lines, parts, share)
    if has_errors(problems):
        return None, problems
    build = RateBuild(
        costs=tuple(costs),
        hours=tuple(hours),
        parts_contribution=parts.contribution,
        parts_sales=parts.sales,
        profit_share=share,
    )
    return build, problems


def _profit_share(lines: Sequence[RateLine]) -> tuple[Fraction | None, list[Problem]]:
    rows = [line for line in lines if line.kind == "profit share"]
    if not rows:
        return None, []
    first, *others = rows
    share, problems = share_of(first)
    for line in others:
        message = f"the profit share is given already, in row {first.source.row}"
        problems.append(error(line.source.place("Amount"), "share-twice", message, "Keep one of the rows.", line.line))
    if share is not None and share >= 1:
        message = "a profit of all that is sold leaves nothing for the cost, at any rate"
        remedy = "Type the part of the sales that is to be left, for example 10%."
        problems.append(error(first.source.place("Amount"), "profit-too-big", message, remedy, as_typed(first)))
    return share, problems


def _paid_by_the_hour(costs: Sequence[CostLine], hours: Sequence[BenchHours]) -> Iterator[Problem]:
    """Pay of next to nothing for each hour paid for: the wage of an hour stands where the pay of a year should."""
    for pay in costs:
        own = meant_by(pay.line, hours, lambda each: each.line) if pay.kind == "pay" and pay.amount else []
        clock = sum((each.clock for each in own), Fraction(0))
        if pay.amount < LEAST_AN_HOUR * clock:
            message = (
                f"{pay.line} is paid {plain(pay.amount)} for {plain(clock)} clock hours: is it the pay of an hour?"
            )
            remedy = f"Type the pay of a year: {plain(pay.amount * clock)} if it is {plain(pay.amount)} an hour."
            yield error(pay.source.place("Amount"), "pay-by-the-hour", message, remedy, plain(pay.amount))


def _nothing_paid(costs: Sequence[CostLine], sheet: Place) -> Iterator[Problem]:
    for kind, what in (("pay", "nobody is paid"), ("overhead", "the shop has no overhead")):
        if not any(cost.amount for cost in costs if cost.kind == kind):
            message = f"{what} on this sheet, so the rate covers none"
            remedy = f"Add the rows of the kind {kind}; an owner's own pay is a cost too."
            yield warning(sheet, "cost-missing", message, remedy)


def _no_burden(costs: Sequence[CostLine]) -> Iterator[Problem]:
    for pay in without_burden(costs):
        message = f"{pay.line} has pay and no burden, so none is counted"
        remedy = "Add a row of the kind burden with the same Line, for the taxes and benefits on top of the pay."
        yield warning(pay.source.place("Line"), "no-burden", message, remedy, pay.line)


def _sales_unknown(lines: Sequence[RateLine], parts: Parts, share: Fraction | None) -> Iterator[Problem]:
    """The profit can't be a share of total sales while only what parts leave is known."""
    if parts.sales is None and share:
        line = next(line for line in lines if line.kind == "parts contribution")
        message = "what parts sell for is not known, so the profit is taken as a share of labour and what parts leave"
        remedy = "Put the sales of parts on this row and their margin on price on another, for a share of total sales."
        yield warning(line.source.place("Amount"), "parts-sales-unknown", message, remedy, as_typed(line))


def _no_sheet(sheet: Place) -> Problem:
    message = "there is no sheet Rate builder, or it has no row"
    remedy = (
        "Add a sheet named Rate builder with the columns Line, Amount and Kind, and a row for each cost of the year."
    )
    return error(sheet, "no-rate-builder", message, remedy)
