"""Works out every node of a tree again from the numbers of its inputs: what an operation and a rounding mean, in full.

Written from the words in `model/explanation`, with fractions and with no rule of the shop.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from functools import cache
from math import ceil, floor

from quotekit.model.explanation import Explanation

WITHOUT_INPUTS = {"given", "decided", "elsewhere"}

SETTLED = re.compile(r"compared|of what rounding leaves|none|.*upgrade labour.*")
"""Numbers that are neither zero, nor read from a cell, nor worked out from inputs: named one by one."""


def faults(trees: Iterable[Explanation]) -> list[str]:
    """What does not follow: one line a node whose number is not what its operation gives."""
    once = list(_each_once(trees))
    known = {node.figure: _exact(node) for _, node in once if node.operation != "elsewhere"}
    return [f"{tree.figure}: {node.figure}: {fault}" for tree, node in once for fault in _faults_of(node, known)]


def _each_once(trees: Iterable[Explanation]) -> Iterator[tuple[Explanation, Explanation]]:
    """Each node of all trees once, with the first tree that holds it."""
    seen: set[int] = set()
    for tree in trees:
        waiting = [tree]
        while waiting:
            node = waiting.pop()
            if id(node) not in seen:
                seen.add(id(node))
                yield tree, node
                waiting.extend(node.inputs)


def _faults_of(node: Explanation, known: dict[str, Fraction | None]) -> Iterator[str]:
    if node.operation == "days after":
        start, days = node.inputs
        if node.value != (date.fromisoformat(str(start.value)) + timedelta(int(str(days.value)))).isoformat():
            yield f"{node.value} is not {days.value} days after {start.value}"
        return
    if node.operation == "elsewhere":
        if node.figure not in known or known[node.figure] != _exact(node):
            yield "no such figure is shown elsewhere, or with another number"
        return
    if node.number is None:
        if node.operation not in WITHOUT_INPUTS:
            yield f"{node.operation} without a number"
        return
    if node.operation in WITHOUT_INPUTS:
        if node.operation == "decided" and node.number and not SETTLED.fullmatch(node.figure):
            yield f"{node.value} is settled without arithmetic"
        return
    if node.operation == "count":
        if node.number != len(node.inputs):
            yield f"{node.value} is not how many of {len(node.inputs)} there are"
        return
    if node.operation == "turns at":
        yield from _turns(node)
        return
    if node.operation in ("share", "power"):
        yield from _close(node, [_exact(one) or Fraction(0) for one in node.inputs])
        return
    expected = rounded(apply(node.operation, [_exact(one) or Fraction(0) for one in node.inputs]), node.rounding)
    if expected != _exact(node):
        yield f"{node.operation} of {[one.value for one in node.inputs]} gives {expected}, not {node.value}"


def _turns(node: Explanation) -> Iterator[str]:
    """At the value the other choice is not behind, one step nearer it is not ahead; the value is in whole steps."""
    there, nearer = (_exact(one) for one in node.inputs)
    step = Fraction(node.rounding.rpartition(" ")[2])
    if there is None or nearer is None or there > 0 or nearer < 0:
        yield f"{node.value}: the other choice is behind by {there}, one step nearer by {nearer}"
    if (_exact(node) or Fraction(0)) % step:
        yield f"{node.value} is in no whole steps of {step}"


def _close(node: Explanation, inputs: Sequence[Fraction]) -> Iterator[str]:
    """A share is what is rounded toward zero and its cent, so less than a cent from its exact part; a power of years
    that are no whole number is no fraction, so it is held to its own logarithm."""
    number = Fraction(node.number or 0)
    if node.operation == "power":
        base, years = inputs
        if years.denominator == 1:
            if abs(number - base**years.numerator) > Fraction(1, 10**40):
                yield f"{base} to the power of {years} is not {node.value}"
        elif abs(_logarithm(number) - Fraction(years) * _logarithm(base)) > Fraction(1, 10**40):
            yield f"{base} to the power of {years} is not {node.value}"
        return
    amount, own, together, left = inputs
    exact = amount * own / together
    unit = Fraction(1, 10 ** len(str(node.value).partition(".")[2]))
    toward_zero = number - left
    if abs(left) not in (0, unit) or abs(exact) < abs(toward_zero) or abs(exact - toward_zero) >= unit:
        yield f"{node.value} is no share of {amount} by {own} of {together}"


@cache
def _logarithm(number: Fraction) -> Fraction:
    """The natural logarithm to 60 digits."""
    with localcontext(Context(prec=60)):
        return Fraction((Decimal(number.numerator) / Decimal(number.denominator)).ln())


def apply(operation: str, inputs: Sequence[Fraction]) -> Fraction:
    """The number of an operation, before rounding."""
    first, *rest = [*inputs] or [Fraction(0)]
    if operation in ("sum", "less"):
        return sum(inputs, Fraction(0)) * (-1 if operation == "less" else 1)
    if operation == "product":
        for other in rest:
            first *= other
        return first
    if operation in ("least", "most"):
        return min(inputs) if operation == "least" else max(inputs)
    if operation == "same":
        assert len(inputs) == 1
        return first
    return _of_fixed_number(operation, first, rest)


def _of_fixed_number(operation: str, first: Fraction, rest: Sequence[Fraction]) -> Fraction:
    if operation == "difference":
        return first - sum(rest, Fraction(0))
    if operation == "quotient":
        return first / rest[0]
    if operation == "one plus":
        return 1 + first
    if operation == "up to a step":
        return ceil(first / rest[0]) * rest[0]
    reached = bool(rest[0]) and len(rest) > 1 and rest[1] >= rest[0]
    if operation == "unless at least":
        return Fraction(0) if reached else first
    if operation == "if at least":
        return first if reached else Fraction(0)
    if operation == "if below":
        return first if rest[0] and not reached else Fraction(0)
    raise AssertionError(operation)


def rounded(exact: Fraction, rounding: str) -> Fraction:
    """What a rounding in words makes of a number."""
    if not rounding or rounding.startswith("up to a step of"):
        return exact
    if rounding == "up to whole packs":
        return Fraction(ceil(exact))
    digits = {"cents": 2, "whole units": 0, "four decimals": 4}.get(re.sub(r"^(half )?up to ", "", rounding))
    if digits is None:
        digits = int(rounding.split()[-2])
    scaled = exact * 10**digits
    if rounding.startswith("up"):
        return Fraction(ceil(scaled), 10**digits)
    half_up = floor(abs(scaled) + Fraction(1, 2))
    return Fraction(half_up if scaled >= 0 else -half_up, 10**digits)


def _exact(node: Explanation) -> Fraction | None:
    return None if node.number is None else Fraction(node.number)
