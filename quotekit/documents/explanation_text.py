"""Explained figures as lines for a person: an indented tree, cells beside what they give, then what else decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from quotekit.documents.cell_ranges import range_words
from quotekit.model.explanation import Condition, Explanation, Operation, Value, number_text
from quotekit.model.quote import PricedTier, Quote
from quotekit.problems import Place

Files = Mapping[str, str]

WIDTH = 110
"""Letters of a line; a tree that reaches further in is not wrapped below half of it."""

MOST_LETTERS = 300
"""Letters of ranges of cells that can still be read."""

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
    files = _short_names(quote)
    if files:
        yield f"Cells are those of {quote.book.file}; `job` before a sheet means {quote.job.file}."
    told: set[Condition] = set()
    for figure in figures:
        yield ""
        yield from _short_lines(figure, files) if in_short else explanation_lines(figure, files, told)
    if in_short:
        yield ""
        yield "One figure down to its cells: --figure NAME, such as --figure total. All of them: --json."


def explanation_lines(figure: Explanation, files: Files, before: set[Condition] | None = None) -> Iterator[str]:
    """One figure down to its cells; what was shown once is not shown again.

    `before` are conditions that were told for figures before it: their cells are not told again.
    """
    told = set() if before is None else before
    yield f"{figure.figure}: {value_words(figure)}"
    tree = _Tree(files)
    yield from tree.about(figure, "  ")
    yield from tree.inputs(figure, "  ")
    if figure.conditions:
        yield "  What else decides it:"
    for one in figure.conditions:
        cells = "the same cells as above" if one in told else _cells_in_short(one.cells, files)
        first, *rest = _wrapped(f"- {one.why}: {cells}", "  ")
        yield first
        yield from (f"  {line}" for line in rest)
        told.add(one)


def _cells_in_short(cells: Sequence[Place], files: Files) -> str:
    """Ranges where they can be read, else how many cells of which sheets."""
    ranges = range_words(cells, files)
    if len(ranges) <= MOST_LETTERS:
        return ranges
    sheets = dict.fromkeys(f"{files.get(place.file, '')}{place.sheet}" for place in cells if place.sheet)
    return f"{len(cells)} cells of {', '.join(sheets)}; --json names each"


def _short_lines(figure: Explanation, files: Files) -> Iterator[str]:
    """One figure with what goes straight into it."""
    yield f"{figure.figure}: {value_words(figure)}"
    tree = _Tree(files)
    yield from tree.about(figure, "  ")
    for place, one in enumerate(figure.inputs):
        cells = f" [{range_words(one.cells, files)}]" if one.cells and not one.inputs else ""
        yield f"  {_sign(figure.operation, place, len(figure.inputs))} {one.figure}: {value_words(one)}{cells}"


def _short_names(quote: Quote) -> Files:
    """What stands for the names of the two files; nothing where they are alike."""
    book, job = quote.book.file, quote.job.file
    return {book: "", job: "job "} if book and job and book != job else {}


def without_section(rule: str) -> str:
    """A rule without the section it stands in.

    >>> without_section("Subtotal less cost (rules 5.9, Cost)."), without_section("As typed.")
    ('Subtotal less cost.', 'As typed.')
    """
    start, _, rest = rule.partition(" (rules ")
    _, _, after = rest.partition(")")
    return f"{start}{after}" if rest else rule


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


class _Tree:
    """Lines of one tree, and what of it was shown."""

    def __init__(self, files: Files) -> None:
        self.files = files
        self.shown: set[int] = set()

    def about(self, node: Explanation, indent: str) -> Iterator[str]:
        """Rule, rounding and the cells read at a node."""
        rounding = f" Rounded {node.rounding}." if node.rounding else ""
        cells = f" [{range_words(node.cells, self.files)}]" if node.cells else ""
        yield from _wrapped(f"{without_section(node.rule)}{rounding}{cells}", indent)

    def inputs(self, node: Explanation, indent: str, within: str = "") -> Iterator[str]:
        """What goes into a node, each with what goes into it; `within` is not said again of each."""
        for place, one in enumerate(node.inputs):
            start = f"{indent}{_sign(node.operation, place, len(node.inputs))} "
            first = f"{start}{one.figure.removesuffix(within)}: {value_words(one)}"
            if node.operation == "count":
                yield first
            elif node.operation == "decided":
                yield from self._beside(one, first, f"{indent}    ")
            else:
                yield from self._input(one, first, f"{indent}    ")

    def _beside(self, node: Explanation, first: str, below: str) -> Iterator[str]:
        """What a word was decided by: each with its rule, and no deeper."""
        yield first
        if id(node) not in self.shown:
            self.shown.add(id(node))
            yield from self.about(node, below)

    def _input(self, node: Explanation, first: str, below: str) -> Iterator[str]:
        if node.operation == "given" and not node.inputs:
            yield from self._leaf(node, first, below)
        elif id(node) in self.shown and node.inputs:
            yield f"{first} (see above)"
        else:
            self.shown.add(id(node))
            yield first
            yield from self.about(node, below)
            yield from self.inputs(node, below, _company(node.figure))

    def _leaf(self, node: Explanation, first: str, below: str) -> Iterator[str]:
        """What stands in a cell, on one line where it fits."""
        rule = "" if node.rule == "As typed." else without_section(node.rule)
        cells = f" [{range_words(node.cells, self.files)}]" if node.cells else ""
        line = f"{first}{cells} {rule}".rstrip()
        if len(line) <= WIDTH:
            yield line
            return
        yield f"{first}{cells}"
        yield from _wrapped(rule, below)


def _sign(operation: Operation, place: int, of: int) -> str:
    """What joins an input to the ones before it."""
    if operation in _MANY_BEFORE:
        return "*"
    if operation == "less":
        return "-"
    if not place:
        return "1 +" if operation == "one plus" else "="
    return _SIGNS.get(operation, "*") if of > 1 else "="


def _company(figure: str) -> str:
    """What is said of a figure that is not the tier's own, in brackets at its end: its inputs have it too.

    >>> _company("work (with BELT)"), _company("work"), _company("growth (a) over 2 years")
    (' (with BELT)', '', '')
    """
    start = figure.find(" (")
    return figure[start:] if start > 0 and figure.endswith(")") else ""


def _wrapped(words: str, indent: str) -> list[str]:
    from textwrap import wrap

    room = max(WIDTH // 2, WIDTH - len(indent))
    return [f"{indent}{line}" for line in wrap(words, room, break_long_words=False, break_on_hyphens=False)]
