"""What changed, as lines for a person: the changed cells, numbered, then the figures that moved, option by option.

The options stand in the order of the book, the figures of each by their effect, the biggest first.
A line of a figure names the cells by their numbers, with how much of the difference goes with each by itself.
Figures that only follow from others (shares, what each extra would then come to, the sums behind repair or replace)
are counted, not told: the JSON has them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from quotekit.documents.compare_figures import number_of
from quotekit.documents.compare_words import cell_words, difference_text, figure_words, follows, value_text
from quotekit.model.comparison import ChangedCell, Comparison, FigureName, MovedFigure

MOST_CAUSES = 8
"""Causes named beside one figure; the JSON has all of them."""

MOST_TOLD = 100
"""Cells named that move a figure, those that move most first."""

MOST_IDLE = 30
"""Cells named that move no figure."""

MOST_BY_THE_BOOK = 20
"""Figures named that follow from the shop book alone."""

_RANKS = (
    frozenset({"offered", "reason", "items"}),
    frozenset({"total"}),
    frozenset({"not_permitted", "only_with", "fixed", "left", "safety_left"}),
)
_LAST = frozenset({"shares", "extras", "cost", "over_years", "repair_or_replace", "sensitivity"})

_SAME_AS = {"due": "total", "subtotal": "work"}

Numbers = Mapping[str, int]


def compare_lines(found: Comparison) -> Iterator[str]:
    """The whole text."""
    yield f"{found.old} -> {found.new}"
    if not found.cells and not found.figures:
        yield "Nothing changed that counts."
    cells = _by_effect(found)
    numbers = {cell.place: number for number, cell in enumerate(cells, start=1)}
    yield from _cells(found, cells)
    for (job, tier), moved in _by_tier(found.figures):
        yield ""
        yield _title(job, tier)
        shown = _worth_telling(moved) if job is not None else moved[:MOST_BY_THE_BOOK]
        yield from (f"  {_line(found, one, numbers)}" for one in shown)
        if len(shown) < len(moved):
            more = len(moved) - len(shown)
            yield f"  and {more} more {'figure' if more == 1 else 'figures'} (--json has them all)"
    if found.notes:
        yield ""
    yield from (f"Note: {note}" for note in found.notes)


def _by_effect(found: Comparison) -> list[ChangedCell]:
    """The changed cells, those that move a total most first, those that move nothing last."""
    effect: dict[str, tuple[Decimal, Decimal]] = {}
    for moved in found.figures:
        for cell in moved.because:
            share = abs(moved.alone.get(cell.place) or Decimal(0))
            of_total, of_any = effect.get(cell.place, (Decimal(0), Decimal(0)))
            is_total = moved.name.figure == "total"
            effect[cell.place] = (max(of_total, share) if is_total else of_total, max(of_any, share))
    return sorted(found.cells, key=lambda cell: _descending(effect.get(cell.place)))


def _descending(effect: tuple[Decimal, Decimal] | None) -> tuple[int, Decimal, Decimal]:
    return (1, Decimal(0), Decimal(0)) if effect is None else (0, -effect[0], -effect[1])


def _cells(found: Comparison, cells: Sequence[ChangedCell]) -> Iterator[str]:
    moving = {cell.place for moved in found.figures for cell in moved.because}
    if found.figures and not moving:  # nothing says which figure hangs on which cell
        moving = {cell.place for cell in cells}
    told = [cell for cell in cells if cell.place in moving]
    idle = [cell for cell in cells if cell.place not in moving]
    if told:
        yield ""
        yield "What was changed:" if not idle else "What was changed and moves a figure:"
        listed = enumerate(told[:MOST_TOLD], start=1)
        yield from (f"  [{number}] {cell.place}  {cell_words(cell)}" for number, cell in listed)
    if len(told) > MOST_TOLD:
        yield f"  and {len(told) - MOST_TOLD} more (--json has them all)"
    if idle:
        yield ""
        yield "What was changed and moves no figure here:"
        yield from (f"  {cell.place}  {cell_words(cell)}" for cell in idle[:MOST_IDLE])
    if len(idle) > MOST_IDLE:
        yield f"  and {len(idle) - MOST_IDLE} more (--json has them all)"


def _by_tier(figures: Sequence[MovedFigure]) -> Iterator[tuple[tuple[str | None, str | None], list[MovedFigure]]]:
    """Figures of each option of each job in the order they come, then the job's own; last those of the book alone."""
    groups: dict[tuple[str | None, str | None], list[MovedFigure]] = {}
    for moved in figures:
        groups.setdefault((moved.name.job, moved.name.tier), []).append(moved)
    for job, tier in sorted(groups, key=lambda of: (of[0] is None, of[0] or "", of[1] is None)):
        yield (job, tier), sorted(groups[job, tier], key=_weight)


def _worth_telling(moved: Sequence[MovedFigure]) -> Sequence[MovedFigure]:
    """Without what only follows from the others; all of it, up to a page, where nothing else moved."""
    by_name = {one.name.figure: one.difference for one in moved}
    told = [one for one in moved if not follows(one.name.figure) and not _repeats(one, by_name)]
    return told or moved[:MOST_BY_THE_BOOK]


def _repeats(moved: MovedFigure, by_name: Mapping[str, Decimal | None]) -> bool:
    """True for a sum that moved as much as the one it is made from."""
    whole = _SAME_AS.get(moved.name.figure, "")
    return by_name.get(whole) is not None and moved.difference == by_name[whole]


def _weight(moved: MovedFigure) -> tuple[int, Decimal]:
    """What is offered and done, the total, what fits, then the others by what they moved."""
    first = moved.name.figure.partition(".")[0]
    rank = next((at for at, named in enumerate(_RANKS) if first in named), len(_RANKS) + (first in _LAST))
    return (rank, -abs(moved.difference or Decimal(0)))


def _title(job: str | None, tier: str | None) -> str:
    if job is None:
        return "By the shop book alone:"
    return f"Job {job}, option {tier}:" if tier is not None else f"Job {job}, whatever the option:"


def _line(found: Comparison, moved: MovedFigure, numbers: Numbers) -> str:
    before, after = (_said(found, moved.name, text) for text in (moved.old, moved.new))
    by = "" if moved.difference is None else f" ({_difference(found, moved.name, moved.difference)})"
    causes = ", ".join(_causes(found, moved, numbers))
    return f"{figure_words(moved.name.figure)}: {before} -> {after}{by}{f'  because of {causes}' if causes else ''}"


def _causes(found: Comparison, moved: MovedFigure, numbers: Numbers) -> Iterator[str]:
    """Each cell by its number with its own share, then what they bring only together."""
    told = sorted(moved.because, key=lambda cell: -abs(moved.alone.get(cell.place) or Decimal(0)))
    for cell in told[:MOST_CAUSES]:
        yield f"[{numbers[cell.place]}]{_share(found, moved, cell)}"
    if len(told) > MOST_CAUSES:
        yield f"{len(told) - MOST_CAUSES} more"
    if moved.together and moved.alone:
        yield f"{_difference(found, moved.name, moved.together)} only together"


def _share(found: Comparison, moved: MovedFigure, cell: ChangedCell) -> str:
    """How much goes with a cell, where it is not simply all of it."""
    share = moved.alone.get(cell.place)
    return "" if not share or share == moved.difference else f" {_difference(found, moved.name, share)}"


def _said(found: Comparison, name: FigureName, text: str | None) -> str:
    return value_text(name, text, None if text is None else number_of(text), found.currency, found.language)


def _difference(found: Comparison, name: FigureName, difference: Decimal) -> str:
    return difference_text(name, difference, found.currency, found.language)
