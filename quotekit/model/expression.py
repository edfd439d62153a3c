"""Whole-number sums as values: one tree for each figure, read by several interpreters.

A `Program` is a list of steps in working order; a step names a whole number and how it is worked out from earlier
steps. Here a tree is evaluated exactly and its largest number is bounded; `documents/formula_text` writes it as a
spreadsheet formula and `documents/script_text` as a script, so that all three give the same number.
Everything is a whole number: money in minor units, hours and rates scaled by a power of ten.

>>> tick = Step("tick")
>>> price = Step("price", times(tick, 250))
>>> evaluate((tick, price), {tick: 1})[price]
250
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

Kind = Literal["sum", "minus", "times", "floor", "rest", "max", "min", "if", "more", "at least", "sign", "abs"]


class Step:
    """A whole number with a name; without a formula it is an input.

    Where `most` is given, the rule itself keeps the number from 0 to that: `spans` can't always see why.
    """

    __slots__ = ("formula", "most", "name")

    def __init__(self, name: str, formula: Expression | None = None, most: Expression | None = None) -> None:
        self.name = name
        self.formula = formula
        self.most = most

    def __repr__(self) -> str:
        return f"Step({self.name!r})"


class Term(NamedTuple):
    """A sum, product, quotient rounded down, choice or the like over its arguments."""

    kind: Kind
    args: tuple[Expression, ...]


Expression = int | Step | Term
Span = tuple[int, int]
"""The least and the greatest a number can be."""


def total(*parts: Expression) -> Expression:
    """A sum; whole numbers among the parts are added up.

    >>> total(2, 3), total(0)
    (5, 0)
    """
    known = sum(part for part in parts if isinstance(part, int))
    rest: list[Expression] = [part for part in parts if not isinstance(part, int)]
    if known or not rest:
        rest.append(known)
    return rest[0] if len(rest) == 1 else Term("sum", tuple(rest))


def weighted(parts: Iterable[tuple[int, Expression]]) -> Expression:
    """A sum of numbers each with a weight: equal weights are added up first."""
    groups: dict[int, list[Expression]] = {}
    for weight, part in parts:
        groups.setdefault(weight, []).append(part)
    return total(*(times(total(*group), weight) for weight, group in groups.items() if weight))


def minus(one: Expression, other: Expression) -> Expression:
    """A difference."""
    if isinstance(one, int) and isinstance(other, int):
        return one - other
    return one if other == 0 and isinstance(other, int) else Term("minus", (one, other))


def times(one: Expression, other: Expression) -> Expression:
    """A product."""
    if isinstance(one, int) and isinstance(other, int):
        return one * other
    for known, rest in ((one, other), (other, one)):
        if isinstance(known, int) and known in (0, 1):
            return rest if known else 0
    return Term("times", (one, other))


def floor(whole: Expression, by: Expression) -> Expression:
    """A quotient rounded down; `by` is above zero."""
    if isinstance(by, int) and (by == 1 or isinstance(whole, int)):
        return whole // by if isinstance(whole, int) else whole
    return Term("floor", (whole, by))


def rest(whole: Expression, by: Expression) -> Expression:
    """What a quotient rounded down leaves: `n - d * INT(n / d)`; neither is negative."""
    return Term("rest", (whole, by))


def most(*parts: Expression) -> Expression:
    """The greatest."""
    return _extreme("max", max, parts)


def least(*parts: Expression) -> Expression:
    """The least."""
    return _extreme("min", min, parts)


def any_of(flags: Iterable[Expression]) -> Expression:
    """1 where any flag is 1; flags are 0 or 1."""
    kept = tuple(dict.fromkeys(flag for flag in flags if not (isinstance(flag, int) and flag == 0)))
    if any(isinstance(flag, int) for flag in kept):
        return 1
    return _extreme("max", max, kept) if kept else 0


def all_of(*flags: Expression) -> Expression:
    """1 where every flag is 1; flags are 0 or 1."""
    kept = tuple(dict.fromkeys(flag for flag in flags if not (isinstance(flag, int) and flag == 1)))
    if any(isinstance(flag, int) for flag in kept):
        return 0
    return _extreme("min", min, kept) if kept else 1


def none_of(flag: Expression) -> Expression:
    """1 where a flag is 0, and 0 where it is 1."""
    return minus(1, flag)


def if_more(one: Expression, other: Expression, then: Expression, otherwise: Expression) -> Expression:
    """`then` where one number is more than another."""
    return _choice("more", one, other, then, otherwise)


def if_at_least(one: Expression, other: Expression, then: Expression, otherwise: Expression) -> Expression:
    """`then` where one number is at least another."""
    return _choice("at least", one, other, then, otherwise)


def rounded(product: Expression, scale: int) -> Expression:
    """A product that is not negative over its scale, half up: `INT((p + half) / scale)`. `scale` is a power of ten."""
    return floor(total(product, scale // 2), scale) if scale > 1 else product


def rounded_signed(product: Expression, scale: int) -> Expression:
    """A product over its scale, half away from zero: the sign is taken off before anything is added."""
    if scale == 1 or isinstance(product, int):
        if not isinstance(product, int) or scale == 1:
            return product
        size = (abs(product) + scale // 2) // scale
        return size if product >= 0 else -size
    size_of = floor(total(Term("abs", (product,)), scale // 2), scale)
    return times(Term("sign", (product,)), size_of)


def rounded_up(whole: Expression, by: Expression) -> Expression:
    """A quotient that is not negative, rounded up: `INT((n + d - 1) / d)`."""
    return floor(total(whole, minus(by, 1)), by)


def evaluate(steps: Sequence[Step], inputs: Mapping[Step, int]) -> dict[Step, int]:
    """Every step's number, exactly; an input that is not given is zero."""
    values: dict[Step, int] = {}
    for step in steps:
        values[step] = inputs.get(step, 0) if step.formula is None else _value(step.formula, values)
    return values


def spans(steps: Sequence[Step]) -> tuple[dict[Step, Span], int]:
    """What each step can be at least and at most, and the largest number met anywhere; inputs are 0 or 1."""
    found: dict[Step, Span] = {}
    seen = [0]
    for step in steps:
        found[step] = (0, 1) if step.formula is None else _span(step.formula, found, seen)
        if step.most is not None:
            low, high = found[step]
            found[step] = (max(0, low), max(0, min(high, _span(step.most, found, [])[1])))
    return found, max(seen)


def steps_of(expression: Expression) -> Iterable[Step]:
    """The steps an expression is worked out from, as met."""
    if isinstance(expression, Step):
        yield expression
    elif isinstance(expression, Term):
        for part in expression.args:
            yield from steps_of(part)


def _extreme(
    kind: Literal["max", "min"], of: Callable[[Iterable[int]], int], parts: Sequence[Expression]
) -> Expression:
    known = [part for part in parts if isinstance(part, int)]
    rest: list[Expression] = [part for part in parts if not isinstance(part, int)]
    if known:
        rest.append(of(known))
    return rest[0] if len(rest) == 1 else Term(kind, tuple(rest))


def _choice(
    kind: Literal["more", "at least"], one: Expression, other: Expression, then: Expression, otherwise: Expression
) -> Expression:
    if isinstance(one, int) and isinstance(other, int):
        return then if one > other or (kind == "at least" and one == other) else otherwise
    return Term("if", (Term(kind, (one, other)), then, otherwise))


def _value(expression: Expression, values: Mapping[Step, int]) -> int:
    if isinstance(expression, int):
        return expression
    if isinstance(expression, Step):
        return values[expression]
    if expression.kind == "if":
        test, then, otherwise = expression.args
        return _value(then if _value(test, values) else otherwise, values)
    return _EVALUATED[expression.kind]([_value(part, values) for part in expression.args])


_EVALUATED: Mapping[str, Callable[[list[int]], int]] = {
    "sum": sum,
    "minus": lambda args: args[0] - args[1],
    "times": lambda args: args[0] * args[1],
    "floor": lambda args: args[0] // args[1],
    "rest": lambda args: args[0] % args[1],
    "max": max,
    "min": min,
    "more": lambda args: int(args[0] > args[1]),
    "at least": lambda args: int(args[0] >= args[1]),
    "sign": lambda args: (args[0] > 0) - (args[0] < 0),
    "abs": lambda args: abs(args[0]),
}


def _span(expression: Expression, found: Mapping[Step, Span], seen: list[int]) -> Span:
    if isinstance(expression, int):
        span = (expression, expression)
    elif isinstance(expression, Step):
        span = found[expression]
    else:
        span = _SPANNED[expression.kind]([_span(part, found, seen) for part in expression.args])
    seen.append(max(abs(span[0]), abs(span[1])))
    return span


def _product(args: list[Span]) -> Span:
    ends = [one * other for one in args[0] for other in args[1]]
    return min(ends), max(ends)


def _quotient(args: list[Span]) -> Span:
    (low, high), (least_by, most_by) = args[0], (max(1, args[1][0]), max(1, args[1][1]))
    ends = [low // least_by, low // most_by, high // least_by, high // most_by]
    return min(ends), max(ends)


def _sizes(args: list[Span]) -> Span:
    low, high = args[0]
    return (0 if low <= 0 <= high else min(abs(low), abs(high))), max(abs(low), abs(high))


_SPANNED: Mapping[str, Callable[[list[Span]], Span]] = {
    "sum": lambda args: (sum(low for low, _ in args), sum(high for _, high in args)),
    "minus": lambda args: (args[0][0] - args[1][1], args[0][1] - args[1][0]),
    "times": _product,
    "floor": _quotient,
    "rest": lambda args: (0, min(args[0][1], args[1][1] - 1)),
    "max": lambda args: (max(low for low, _ in args), max(high for _, high in args)),
    "min": lambda args: (min(low for low, _ in args), min(high for _, high in args)),
    "if": lambda args: (min(args[1][0], args[2][0]), max(args[1][1], args[2][1])),
    "more": lambda args: (0, 1),
    "at least": lambda args: (0, 1),
    "sign": lambda args: (-1, 1),
    "abs": _sizes,
}
