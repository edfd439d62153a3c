"""Where a figure comes from, as a tree: value, rule, what went into it, rounding, down to the cells (DESIGN.md 7).

A node's `operation` says how its number follows from the numbers of its inputs, its `rounding` what is done last;
whoever has the tree can work every number out again. A leaf is `given`: what stands in its cells, or what holds where
nothing is said. `decided` is what a rule settles without arithmetic: a list, a word, or a zero with its reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from quotekit.money import Exact, in_fifty_digits
from quotekit.problems import Place
from quotekit.record import record

Value = str | int | bool | None | tuple[str, ...]

Operation = Literal[
    "given",
    "decided",
    "elsewhere",
    "same",
    "sum",
    "difference",
    "less",
    "product",
    "quotient",
    "one plus",
    "power",
    "least",
    "most",
    "up to a step",
    "unless at least",
    "if at least",
    "if below",
    "share",
    "days after",
    "count",
    "turns at",
]
"""`elsewhere` stands for a figure whose tree is shown under its own name. `less` is minus the sum of the inputs,
`difference` the first less the others. Of three inputs, `unless at least` is the first unless the third reaches the
second, `if at least` and `if below` the first only then, else zero; a blank or zero second is never reached.
`share` of four is first x second / third rounded toward zero, plus the fourth: the cent of the largest remainders.
`count` is how many inputs there are.
`turns at` is a value of a cell, in whole steps: of its two inputs, what another choice is behind what is taken, the
first, at the value, is zero or below, the second, one step nearer to what stands in the cell now, is zero or above; at
zero the rules for ties decide."""

MOST_KEPT = 100_000
"""Cells whose place in the reading order is kept."""

LONGEST_BITS = 6_000
"""A longer number, of some 2,000 digits, is not written in full: 4,300 digits are the most Python writes."""

Form = Literal["money", "number", "percent", "text"]


@record
class Condition:
    """What decides a figure without going into it: one rule in words, and the cells it reads."""

    why: str
    cells: tuple[Place, ...]


@record
class Explanation:
    """One figure, or one number on the way to it."""

    figure: str
    """Its name in the JSON of the quote, or plain words for a number on the way."""
    value: Value
    """As in the JSON of the quote; a number that never ends is written as a fraction, `10/3`."""
    rule: str
    """One plain sentence, with the section of the shop's rules."""
    operation: Operation = "decided"
    number: Exact | None = None
    """The exact number behind `value`, after rounding; None where there is none."""
    form: Form = "text"
    rounding: str = ""
    inputs: tuple[Explanation, ...] = ()
    cells: tuple[Place, ...] = ()
    """Read at this node."""
    conditions: tuple[Condition, ...] = ()
    everything: tuple[Place, ...] = ()
    """All cells of a figure that stands elsewhere, which has no inputs here."""


def nodes(tree: Explanation) -> Iterator[Explanation]:
    """Each node of a tree once, a node before its inputs."""
    seen: set[int] = set()
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if id(node) not in seen:
            seen.add(id(node))
            yield node
            waiting.extend(reversed(node.inputs))


def cells_of_tree(tree: Explanation) -> frozenset[Place]:
    """Every cell that a tree reads, without its conditions."""
    return frozenset(place for node in nodes(tree) for place in (*node.cells, *node.everything))


def by_value(tree: Explanation) -> Explanation:
    """A figure by its value alone: its tree stands under its own name."""
    return Explanation(
        figure=tree.figure,
        value=tree.value,
        rule=shown_elsewhere(tree.rule),
        operation="elsewhere",
        number=tree.number,
        form=tree.form,
        everything=in_order(cells_of_tree(tree)),
    )


def shown_elsewhere(rule: str) -> str:
    """The rule of a figure whose tree stands under its own name.

    >>> shown_elsewhere("Subtotal less cost.")
    'Shown under its own name: subtotal less cost.'
    """
    return f"Shown under its own name: {rule[:1].lower()}{rule[1:]}"


def all_cells(tree: Explanation) -> tuple[Place, ...]:
    """Every cell a figure hangs on, those of its conditions too, in reading order."""
    found: set[Place] = set()
    for node in nodes(tree):
        found.update(node.cells, node.everything, *(one.cells for one in node.conditions))
    return in_order(found)


def in_order(places: Iterable[Place]) -> tuple[Place, ...]:
    """Cells by file, sheet, column and row, each once."""
    return tuple(sorted(set(places), key=_reading_key))


def number_text(number: Exact) -> str:
    """A number as the JSON writes it; one that never ends as a fraction, one of thousands of digits to fifty of them.

    >>> from fractions import Fraction
    >>> number_text(Decimal("2.60")), number_text(Fraction(10, 3)), number_text(Fraction(1, 4)), number_text(3)
    ('2.6', '10/3', '0.25', '3')
    """
    if not isinstance(number, Decimal):
        numerator, denominator = number.as_integer_ratio()
        rest, twos, fives = denominator, 0, 0
        while rest % 2 == 0:
            rest, twos = rest // 2, twos + 1
        while rest % 5 == 0:
            rest, fives = rest // 5, fives + 1
        places = max(twos, fives)
        if max(numerator.bit_length(), denominator.bit_length(), 3 * places) > LONGEST_BITS:
            return number_text(in_fifty_digits(Fraction(numerator, denominator)))
        if rest != 1:
            return f"{numerator}/{denominator}"
        sign, digits = int(numerator < 0), abs(numerator) * 10**places // denominator
        number = Decimal((sign, tuple(map(int, str(digits))), -places))
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("", "-0") else text


@lru_cache(maxsize=MOST_KEPT)
def _reading_key(place: Place) -> tuple[str, str, int, str, int]:
    letters = place.cell.rstrip("0123456789")
    row = place.cell[len(letters) :]
    return (place.file, place.sheet, len(letters), letters, int(row) if row else 0)
