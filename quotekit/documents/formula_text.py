"""Whole-number sums as spreadsheet formulas, with functions that every spreadsheet program has had for years.

IF, MAX, MIN, SUM, INT, SIGN and ABS do it all. Neighbouring cells are written as a range, so formulas stay short;
a function never has more than 60 arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from quotekit.model.expression import Expression, Step, Term

Addresses = Mapping[Step, tuple[str, int]]
"""Column letters and 1-based row of each step."""

_MOST_ARGUMENTS = 60


def formula_of(expression: Expression, addresses: Addresses) -> str:
    """A formula with its leading `=`.

    >>> one, two, three = (Step(name) for name in "abc")
    >>> at = {one: ("B", 4), two: ("B", 5), three: ("C", 9)}
    >>> formula_of(Term("sum", (one, two, three, 7)), at)
    '=SUM(B4:B5,C9,7)'
    >>> formula_of(Term("times", (Term("minus", (one, two)), 3)), at)
    '=(B4-B5)*3'
    """
    return "=" + _text(expression, addresses)


def _text(expression: Expression, at: Addresses) -> str:
    if isinstance(expression, int):
        return str(expression)
    if isinstance(expression, Step):
        column, line = at[expression]
        return f"{column}{line}"
    if expression.kind in ("sum", "max", "min"):
        name = expression.kind.upper()
        return _function(name, list(_arguments(expression.args, at)))
    return _WRITTEN[expression.kind]([_operand(part, at) for part in expression.args])


def _operand(expression: Expression, at: Addresses) -> str:
    """A part in brackets where it would read differently without."""
    text = _text(expression, at)
    bare = isinstance(expression, Step) or (isinstance(expression, int) and expression >= 0)
    loose = isinstance(expression, Term) and expression.kind in ("minus", "times", "more", "at least", "rest", "sign")
    return text if bare or not (loose or isinstance(expression, int)) else f"({text})"


def _function(name: str, arguments: list[str]) -> str:
    """A function over any number of arguments: groups of 60 inside one another."""
    while len(arguments) > _MOST_ARGUMENTS:
        groups = [arguments[start : start + _MOST_ARGUMENTS] for start in range(0, len(arguments), _MOST_ARGUMENTS)]
        arguments = [f"{name}({','.join(group)})" for group in groups]
    return f"{name}({','.join(arguments)})"


def _arguments(parts: Sequence[Expression], at: Addresses) -> Iterator[str]:
    """Each argument; cells that stand one below the other as a range."""
    cells = sorted({at[part] for part in parts if isinstance(part, Step)})
    repeated = len(cells) < sum(isinstance(part, Step) for part in parts)
    if repeated:
        yield from (_text(part, at) for part in parts)
        return
    start = 0
    for end, (column, line) in enumerate(cells):
        if end + 1 == len(cells) or cells[end + 1] != (column, line + 1):
            first = cells[start][1]
            yield f"{column}{line}" if first == line else f"{column}{first}:{column}{line}"
            start = end + 1
    yield from (_text(part, at) for part in parts if not isinstance(part, Step))


_WRITTEN: Mapping[str, Callable[[list[str]], str]] = {
    "minus": lambda args: f"{args[0]}-{args[1]}",
    "times": lambda args: f"{args[0]}*{args[1]}",
    "floor": lambda args: f"INT({args[0]}/{args[1]})",
    "rest": lambda args: f"{args[0]}-{args[1]}*INT({args[0]}/{args[1]})",
    "if": lambda args: f"IF({args[0][1:-1]},{args[1]},{args[2]})",
    "more": lambda args: f"{args[0]}>{args[1]}",
    "at least": lambda args: f"{args[0]}>={args[1]}",
    "sign": lambda args: f"SIGN({args[0]})",
    "abs": lambda args: f"ABS({args[0]})",
}
