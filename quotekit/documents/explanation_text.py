"""Explained figures as lines for a person: an indented tree, cells beside what they give, then what else decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from textwrap import wrap

from quotekit.documents.cell_ranges import range_words
from quotekit.model.explanation import Condition, Explanation, Operation, Value, number_text
from quotekit.model.quote import PricedTier, Quote

WIDTH = 110
"""Letters of a line; a tree that reaches further in is not wrapped below half of it."""

_SIGNS: dict[Operation, str] = {"sum": "+", "product": "x", "quotient": "/", "difference": "-", "less": "-"}
_MANY_BEFORE: dict[Operation, str] = {"least": "the least of", "most": "the most of"}


def explained_tier_lines(
    quote: Quote, tier: PricedTier, figures: Iterable[Explanation], *, in_short: bool
) -> Iterator[str]:
    """A heading, then each figure; in short only what goes straight into it."""
    yield f"{tier.name} [{tier.code}], job {quote.job.job_number} version {quote.job.version}, in {quote.currency}"
    if not tier.priced:
        yield f"It could not be worked out: {tier.reason}."
    elif not tier.offered:
        yield f"It is priced, but not offered to the customer: {tier.reason}."
    for figure in figures:
        yield ""
        yield from explanation_lines(figure, 1 if in_short else 99)
    if in_short:
        yield ""
        yield "One figure in full: --figure NAME, such as --figure total. All of them: --json."


def explanation_lines(figure: Explanation, deepest: int = 99) -> Iterator[str]:
    """One figure down to its cells, at most so many levels; what was shown once is not shown again."""
    yield f"{figure.figure}: {value_words(figure)}"
    yield from _about(figure, "  ")
    yield from _inputs(figure, "  ", deepest, {id(figure)})
    yield from _decided_by(figure.conditions)


def value_words(node: Explanation) -> str:
    """A value as people write it: `45 %`, yes, a list, nothing."""
    if node.form == "percent" and isinstance(node.number, Decimal):
        return f"{number_text(node.number * 100)} %"
    return _words(node.value)


def _words(value: Value) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(value) or "none"
    return str(value)


def _about(node: Explanation, indent: str) -> Iterator[str]:
    rounding = f" Rounded {node.rounding}." if node.rounding else ""
    yield from _wrapped(f"{node.rule}{rounding}", indent)
    if node.cells:
        yield from _wrapped(f"[{range_words(node.cells)}]", indent)


def _inputs(node: Explanation, indent: str, deepest: int, shown: set[int]) -> Iterator[str]:
    for place, one in enumerate(node.inputs):
        yield from _input(one, _sign(node.operation, place, len(node.inputs)), indent, deepest, shown)


def _input(node: Explanation, sign: str, indent: str, deepest: int, shown: set[int]) -> Iterator[str]:
    start = f"{indent}{sign} {node.figure}: {value_words(node)}"
    below = f"{indent}    "
    if node.operation == "given" and not node.inputs:
        yield from _leaf(node, start, below)
        return
    if id(node) in shown and node.inputs:
        yield f"{start} (see above)"
        return
    shown.add(id(node))
    yield start
    yield from _about(node, below)
    if deepest > 1:
        yield from _inputs(node, below, deepest - 1, shown)


def _leaf(node: Explanation, start: str, below: str) -> Iterator[str]:
    """What stands in a cell, on one line where it fits."""
    rule = "" if node.rule == "As typed." else f" {node.rule}"
    cells = f" [{range_words(node.cells)}]" if node.cells else ""
    line = f"{start}{cells}{rule}"
    if len(line) <= WIDTH:
        yield line
        return
    yield f"{start}{cells}"
    if rule:
        yield from _wrapped(rule.strip(), below)


def _sign(operation: Operation, place: int, of: int) -> str:
    """What joins an input to the ones before it."""
    if operation in _MANY_BEFORE:
        return "*"
    if operation == "less":
        return "-"
    if not place:
        return "1 +" if operation == "one plus" else "="
    return _SIGNS.get(operation, "*") if of > 1 else "="


def _decided_by(conditions: Iterable[Condition]) -> Iterator[str]:
    listed = list(conditions)
    if listed:
        yield "  What else decides it:"
    for one in listed:
        yield f"  - {one.why}: {range_words(one.cells)}"


def _wrapped(words: str, indent: str) -> list[str]:
    room = max(WIDTH // 2, WIDTH - len(indent))
    return [f"{indent}{line}" for line in wrap(words, room, break_long_words=False, break_on_hyphens=False)]
