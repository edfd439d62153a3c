"""Live pricing as JavaScript: the same trees as the workbook's formulas, one constant for each step.

Every number stays whole and below 1e14, so a script's numbers hold it exactly and a quotient rounded down is the
true one: two such numbers that differ in their quotient differ by more than a script's number can lose.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from quotekit.model.expression import Expression, Kind, Step
from quotekit.model.live import FIGURES, LivePricing

Names = Mapping[Step, str]


def script_function(live: LivePricing) -> str:
    """`figures(tiers, ticks)`: lists of 0 and 1 in, all figures in the order of `figure_names` out."""
    lines = [*_constants(live), f"return[{','.join(_results(live))}];"]
    return "function figures(t,x){\n" + "\n".join(lines) + "\n}"


def figure_names(live: LivePricing) -> tuple[str, ...]:
    """The names of what `figures` gives: amounts first, then each tax as `tax 1` and on."""
    return (*(name for name in FIGURES if name in live.figures), *(f"tax {n + 1}" for n in range(len(live.taxes))))


def script_expression(expression: Expression, names: Names) -> str:
    """A tree as an expression in brackets where it needs them.

    >>> from quotekit.model.expression import rounded_signed, times
    >>> step = Step("a")
    >>> script_expression(rounded_signed(times(step, -3), 10), {step: "a"})
    '(Math.sign((a*(-3)))*Math.floor((Math.abs((a*(-3)))+5)/10))'
    """
    if isinstance(expression, int):
        return str(expression) if expression >= 0 else f"({expression})"
    if isinstance(expression, Step):
        return names[expression]
    return _WRITTEN[expression.kind]([script_expression(part, names) for part in expression.args])


def _constants(live: LivePricing) -> Iterable[str]:
    inputs = {option.chosen: f"t[{n}]" for n, option in enumerate(live.options)}
    inputs |= {extra.ticked: f"x[{n}]" for n, extra in enumerate(live.extras)}
    names = _names(live)
    for step in live.steps:
        value = inputs.get(step, "0") if step.formula is None else script_expression(step.formula, names)
        yield f"const {names[step]}={value};"


def _results(live: LivePricing) -> Iterable[str]:
    names = _names(live)
    for name in FIGURES:
        if name in live.figures:
            yield names[live.figures[name]]
    for _, step in live.taxes:
        yield names[step]


def _names(live: LivePricing) -> Names:
    return {step: f"v{n}" for n, step in enumerate(live.steps)}


_WRITTEN: Mapping[Kind, Callable[[list[str]], str]] = {
    "sum": lambda args: f"({'+'.join(args)})",
    "minus": lambda args: f"({args[0]}-{args[1]})",
    "times": lambda args: f"({args[0]}*{args[1]})",
    "floor": lambda args: f"Math.floor({args[0]}/{args[1]})",
    "rest": lambda args: f"({args[0]}%{args[1]})",
    "max": lambda args: f"Math.max({','.join(args)})",
    "min": lambda args: f"Math.min({','.join(args)})",
    "if": lambda args: f"({args[0]}?{args[1]}:{args[2]})",
    "more": lambda args: f"Number({args[0]}>{args[1]})",
    "at least": lambda args: f"Number({args[0]}>={args[1]})",
    "sign": lambda args: f"Math.sign({args[0]})",
    "abs": lambda args: f"Math.abs({args[0]})",
}
