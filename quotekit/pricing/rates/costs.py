"""What a year costs: pay, what comes on top of it, and overhead.

Formula: each pay and overhead in money; a burden in money, or a percentage of the pay it belongs to (`names.py`).
A percentage whose line names no pay is taken on all pay, with a warning where it names something; where other burdens
belong to one person it could be meant for the rest only, so the owner is asked.
Units: money of a year. Source: shop policy; that pay brings more than a quarter again on top is common in the trade.

Example: pay of 62,000 with a burden of 15 % costs 62,000 + 9,300 = 71,300.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from quotekit.model.rate import CostLine, RateKind, RateLine
from quotekit.pricing.rates.amounts import as_typed, money_of, money_or_share
from quotekit.pricing.rates.names import meant_by, misspelt, names_nobody
from quotekit.problems import Problem, error, warning

Costs = tuple[list[CostLine], list[Problem]]


def read_costs(lines: Sequence[RateLine]) -> Costs:
    """Every cost of the sheet in the order of its rows."""
    pay, problems = _in_money(lines, "pay")
    burden, more = _burdens([line for line in lines if line.kind == "burden"], pay)
    overhead, others = _in_money(lines, "overhead")
    costs = sorted([*pay, *burden, *overhead], key=lambda cost: cost.source.row)
    return costs, [*problems, *more, *others]


def _in_money(lines: Sequence[RateLine], kind: RateKind) -> Costs:
    costs: list[CostLine] = []
    problems: list[Problem] = []
    for line in lines:
        if line.kind == kind:
            amount, found = money_of(line)
            problems += found
            if amount is not None:
                costs.append(CostLine(line=line.line, kind=kind, amount=amount, source=line.source))
    return costs, problems


def _burdens(lines: Sequence[RateLine], pay: Sequence[CostLine]) -> Costs:
    costs: list[CostLine] = []
    problems: list[Problem] = []
    for line in lines:
        amount, found = money_or_share(line)
        problems += found
        if amount is None:
            continue
        if not amount.percent:
            costs.append(_cost(line, Fraction(amount.value)))
            continue
        on, found = _pay_of(line, pay)
        problems += found
        if on:
            percent = Fraction(amount.value)
            whole = sum((each.amount for each in on), Fraction(0))
            costs.append(_cost(line, percent * whole, percent, tuple(dict.fromkeys(each.line for each in on))))
    return costs, [*problems, *_for_all_or_for_the_rest(costs, pay)]


def _cost(line: RateLine, amount: Fraction, percent: Fraction | None = None, on: tuple[str, ...] = ()) -> CostLine:
    return CostLine(line=line.line, kind=line.kind, amount=amount, percent=percent, on=on, source=line.source)


def _pay_of(line: RateLine, pay: Sequence[CostLine]) -> tuple[list[CostLine], list[Problem]]:
    """The pay that a percentage is of."""
    on = meant_by(line.line, pay, lambda each: each.line)
    if on:
        return on, []
    names = [each.line for each in pay]
    close = misspelt(line.line, names)
    if not pay:
        message = f"{line.line} is a percentage of pay, and there is no pay"
        return [], [_unclear(line, message, "Add the row of the pay, or type the burden as money.")]
    if close or names_nobody(line.line):
        hint = f"Did you mean {close}? " if close else ""
        message = f"it is not clear which pay {line.line} is a percentage of"
        return [], [_unclear(line, message, f"{hint}Give it the same Line as that pay.")]
    if len(pay) == 1:
        return list(pay), []
    message = f"{line.line} names no line of pay, so it is taken on all pay"
    remedy = "Give it the same Line as the pay it belongs to, if it is not all."
    return list(pay), [warning(line.source.place("Line"), "burden-on-all-pay", message, remedy, line.line)]


def _for_all_or_for_the_rest(costs: Sequence[CostLine], pay: Sequence[CostLine]) -> list[Problem]:
    """A percentage of all pay beside one of somebody's: it may be meant for the others only."""
    names = {each.line for each in pay}
    shares = [cost for cost in costs if cost.percent is not None]
    of_all = [cost for cost in shares if set(cost.on) == names]
    if len(names) == 1 or len(of_all) in (0, len(shares)):
        return []
    remedy = "Give each row of burden the Line of the pay it belongs to, one row for each person."
    return [
        error(
            cost.source.place("Line"),
            "line-unclear",
            f"{cost.line} could be a percentage of all pay, or of the pay without a burden of its own",
            remedy,
            cost.line,
        )
        for cost in of_all
    ]


def without_burden(costs: Sequence[CostLine]) -> list[CostLine]:
    """Lines of pay that no burden is on."""
    pay = [cost for cost in costs if cost.kind == "pay" and cost.amount]
    burdens = [cost for cost in costs if cost.kind == "burden"]
    with_percent = {name for cost in burdens for name in cost.on}
    in_money = [cost.line for cost in burdens if cost.percent is None]
    with_money = {each.line for line in in_money for each in meant_by(line, pay, lambda cost: cost.line) or pay}
    return [cost for cost in pay if cost.line not in with_percent | with_money]


def _unclear(line: RateLine, message: str, remedy: str) -> Problem:
    return error(line.source.place("Line"), "line-unclear", message, remedy, f"{line.line}: {as_typed(line)}")
