"""What parts leave toward the cost of the year, and what they sell for.

Formula: sales x margin on price where both are given, each margin with the sales its line names (`names.py`); else the
money that the rows give. A margin is on the price, never the markup on the cost: a row that says markup is asked about,
and so is a margin beside an amount that is called a contribution, which may be before or after it.
Where a Line holds sales and a margin that multiply to its amount exactly, the sales are read from it, with a warning.
Sales are needed for a profit that is a share of total sales; without them only what parts leave is known.
Units: money of a year, fractions. Source: shop policy.

Example: parts sold for 95,000 at a margin of 40 % leave 38,000.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotekit.model.rate import RateLine
from quotekit.money import round_to
from quotekit.pricing.rates.amounts import as_typed, money_or_share, plain
from quotekit.pricing.rates.names import meant_by, says_contribution, says_markup, says_sales
from quotekit.problems import Problem, error, warning
from quotekit.record import record

Money = tuple[RateLine, Fraction]

_PERCENT = re.compile(r"(\d{1,3}(?:\.\d{1,4})?)\s*%")
_NUMBER = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?|\d{1,12}(?:\.\d{1,2})?")


@record
class Parts:
    """What parts leave; `sales` is None where it is not known."""

    contribution: Fraction = Fraction(0)
    sales: Fraction | None = None


NO_PARTS = Parts(sales=Fraction(0))
"""A shop that sells none, or does not count on them."""


def read_parts(lines: Sequence[RateLine]) -> tuple[Parts, list[Problem]]:
    """What the rows of parts contribution come to."""
    rows = [line for line in lines if line.kind == "parts contribution"]
    if not rows:
        return NO_PARTS, []
    money: list[Money] = []
    margins: list[Money] = []
    problems: list[Problem] = []
    for line in rows:
        amount, found = money_or_share(line)
        problems += found
        if amount is not None:
            (margins if amount.percent else money).append((line, Fraction(amount.value)))
    if problems:
        return NO_PARTS, problems
    if margins:
        return _from_margins(money, margins)
    return _from_money(money)


def _from_money(money: Sequence[Money]) -> tuple[Parts, list[Problem]]:
    """No margin is given: what parts leave, and their sales where rows say so."""
    sales = [row for row in money if says_sales(row[0].line)]
    left = [row for row in money if row not in sales]
    contribution, sold = _sum(left), _sum(sales)
    if not sales:
        return _with_sales_in_lines(left)
    if left and contribution <= sold:
        return Parts(contribution=contribution, sales=sold), []
    line = sales[0][0]
    message = f"{line.line} says sales, and it is not known what they leave"
    if left:
        message = f"parts would leave {plain(round_to(contribution, 2))}, more than {line.line} says they sell for"
    remedy = "Add a row of the same kind with the margin on price, for example 40%."
    return NO_PARTS, [_ask(line, "parts-unclear", message, remedy)]


def _with_sales_in_lines(money: Sequence[Money]) -> tuple[Parts, list[Problem]]:
    """What parts leave; their sales are known where every Line proves them."""
    told = [(line, sales_in(line.line, amount)) for line, amount in money]
    sold = [sales for _, sales in told if sales is not None]
    if len(sold) < len(told):
        return Parts(contribution=_sum(money)), []
    problems = [
        warning(
            line.source.place("Line"),
            "sales-in-the-line",
            f"parts sales of {plain(sales)} were read from the words of the Line, which multiply to its amount",
            "Put the sales on a row of their own and the margin on another, so that both can be changed.",
            line.line,
        )
        for line, sales in told
        if sales is not None
    ]
    return Parts(contribution=_sum(money), sales=sum(sold, Fraction(0))), problems


def sales_in(line: str, amount: Fraction) -> Fraction | None:
    """The sales that a Line speaks of, where they and the percentage beside them multiply to the amount.

    >>> sales_in("Parts 95,000 at 40 % margin", Fraction(38000)), sales_in("Parts 95,000 at 40 %", Fraction(37000))
    (Fraction(95000, 1), None)
    """
    percents = _PERCENT.findall(line)
    others = _NUMBER.findall(_PERCENT.sub(" ", line))
    if len(percents) != 1 or len(others) != 1:
        return None
    sales, percent = Fraction(others[0].replace(",", "")), Fraction(percents[0])
    return sales if sales * percent == amount * 100 else None


def _from_margins(money: Sequence[Money], margins: Sequence[Money]) -> tuple[Parts, list[Problem]]:
    """Each row of money is sales, and has one margin."""
    problems = [*_of_cost(margins), *_of_a_contribution(money, margins)]
    rows = [line for line, _ in money]
    margin_of: dict[RateLine, Fraction] = {}
    for line, margin in margins:
        meant = meant_by(line.line, rows, lambda row: row.line) or (rows if len(rows) == 1 else [])
        if not meant or any(row in margin_of for row in meant):
            problems.append(_whose(line, bool(rows)))
        margin_of |= {row: margin for row in meant if row not in margin_of}
    if not problems:
        problems += [_whose(row, True) for row in rows if row not in margin_of]
    if problems:
        return NO_PARTS, problems
    contribution = sum((amount * margin_of[line] for line, amount in money), Fraction(0))
    return Parts(contribution=contribution, sales=_sum(money)), []


def _of_cost(margins: Sequence[Money]) -> Iterator[Problem]:
    for line, share in margins:
        if says_markup(line.line):
            margin = round_to(share / (1 + share) * 100, 2)
            message = f"{line.line} speaks of markup, which is on cost; what parts leave is a margin on price"
            remedy = (
                f"A markup of {as_typed(line)} is a margin of {plain(margin)}%: type that, and name the row Margin."
            )
            yield _ask(line, "markup-not-margin", message, remedy)


def _of_a_contribution(money: Sequence[Money], margins: Sequence[Money]) -> Iterator[Problem]:
    """A contribution with a margin of another name beside it: are 38,000 what parts sell for, or what they leave?"""
    names = {line.line.casefold() for line, _ in margins}
    for line, _ in money:
        if says_contribution(line.line) and line.line.casefold() not in names:
            message = f"{line.line} has a margin beside it: is the amount what parts sell for, or what they leave?"
            remedy = "Name the row Parts sales if they sell for it; take the margin out if they leave it."
            yield _ask(line, "parts-unclear", message, remedy)


def _whose(line: RateLine, any_money: bool) -> Problem:
    message = f"it is not clear which sales of parts {line.line} belongs to, or it has two margins"
    if not any_money:
        message = f"{line.line} is a margin, and there is no row with the sales of parts"
    remedy = "Give the sales and their margin on price one row each, with the same Line."
    return _ask(line, "parts-unclear", message, remedy)


def _sum(rows: Sequence[Money]) -> Fraction:
    return sum((amount for _, amount in rows), Fraction(0))


def _ask(line: RateLine, code: str, message: str, remedy: str) -> Problem:
    return error(line.source.place("Amount"), code, message, remedy, as_typed(line))
