"""Which figures moved, and because of which changed cells (shop policy: a cause is named, and proved where it can be).

A figure moved when its text or number differs; the difference is new - old, where both are numbers.
What may have moved it are the changed cells that its explanation names, in the old workbooks or in the new ones.
Each is put back by itself: what the figure is with that one cell as it was is taken from what it is now, and that much
of the difference went with the cell. What is left over, difference - sum of those, the cells bring only together.
Where the cells that move it alone bring the whole difference, they are its causes. Else each of the others is tried the
other way too, as the only cell that is as it is now; those that move it one way or the other are its causes, and where
none does, all that its explanation names.
Units: those of the figure. Nothing is rounded: figures are compared as they are printed.

>>> name = FigureName("117", "good", "total")
>>> was, now = ({name: Figure(text=text, number=Decimal(text))} for text in ("100.00", "110.00"))
>>> cell = ChangedCell(what="rate", old="80", new="90", place_old=None, place_new=Place("b.xlsx", "Labour rates", "C2"))
>>> tries = Tries(names=lambda name, cell: True, without=lambda cell: was, alone=lambda cell: now)
>>> (moved,) = causes_of(was, now, [cell], tries)
>>> moved.difference, moved.alone, moved.together
(Decimal('10.00'), {'b.xlsx:Labour rates!C2': Decimal('10.00')}, Decimal('0.00'))
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.comparison import ChangedCell, Figure, FigureName, Figures, MovedFigure
from quotekit.problems import Place
from quotekit.record import record

MOST_PUT_BACK = 120
"""Cells that are put back one by one; each costs a pricing."""

_NOTHING = Figure(text=None)


@record
class Tries:
    """What can be asked of the workbooks.

    `names`: does a figure's explanation name a cell? `without`: the figures as they are, with one cell as it was.
    `alone`: the figures as they were, with one cell as it is. The last two give None for a mixture that can't stand.
    """

    names: Callable[[FigureName, ChangedCell], bool]
    without: Callable[[ChangedCell], Figures | None]
    alone: Callable[[ChangedCell], Figures | None]
    most: int = MOST_PUT_BACK
    candidates: Callable[[FigureName], Sequence[ChangedCell]] | None = None
    """The cells that may be named at all, where looking at each would take long."""


@record
class _Tried:
    """Figures by the place of the cell that was put back, or that alone is as it is now."""

    old: Figures
    new: Figures
    without: Mapping[str, Figures | None]
    alone: Mapping[str, Figures | None]


def figures_that_moved(old: Figures, new: Figures) -> list[MovedFigure]:
    """Every figure that differs, those that came or went too, without causes; option by option, in their order now."""
    options = dict.fromkeys(name[:2] for name in (*new, *old))
    order = {option: at for at, option in enumerate(options)}
    names = sorted(dict.fromkeys((*old, *new)), key=lambda name: order[name[:2]])
    return [
        MovedFigure(name=name, old=before.text, new=after.text, difference=_less(after, before))
        for name in names
        if _differ(before := old.get(name, _NOTHING), after := new.get(name, _NOTHING))
    ]


def causes_of(old: Figures, new: Figures, cells: Sequence[ChangedCell], tries: Tries) -> list[MovedFigure]:
    """Every figure that moved, with its causes."""
    moved = figures_that_moved(old, new)
    named = {one.name: _named(one.name, cells, tries) for one in moved}
    tried = _worth_trying(cells, named)[: tries.most] if moved else []
    without = {cell.place: tries.without(cell) for cell in tried}
    found = _Tried(old=old, new=new, without=without, alone={})
    first = [_with_shares(one, named[one.name] or tuple(tried), found) for one in moved]
    open_ones = {cell.place for one in first if not _settled(one, found) for cell in one.because}
    alone = {cell.place: tries.alone(cell) for cell in tried if cell.place in open_ones}
    found = replace(found, alone=alone)
    return [_with_causes(one, found) for one in first]


def _named(name: FigureName, cells: Sequence[ChangedCell], tries: Tries) -> tuple[ChangedCell, ...]:
    among = cells if tries.candidates is None else tries.candidates(name)
    return tuple(cell for cell in among if tries.names(name, cell))


def _worth_trying(
    cells: Sequence[ChangedCell], named: Mapping[FigureName, tuple[ChangedCell, ...]]
) -> list[ChangedCell]:
    """The cells that some figure names; all of them, those first, where a figure that moved names none."""
    wanted = {cell.place for of_figure in named.values() for cell in of_figure}
    first = [cell for cell in cells if cell.place in wanted]
    return first if all(named.values()) else [*first, *(cell for cell in cells if cell.place not in wanted)]


def _with_shares(moved: MovedFigure, named: tuple[ChangedCell, ...], found: _Tried) -> MovedFigure:
    """A figure with all cells that its explanation names, and how much goes with each."""
    now = found.new.get(moved.name, _NOTHING)
    shares = {
        cell.place: _share_of(moved, now, found.without[cell.place]) for cell in named if cell.place in found.without
    }
    together = None
    if moved.difference is not None:
        together = moved.difference - sum((share for share in shares.values() if share is not None), Decimal(0))
    return replace(moved, because=named, alone=shares, together=together)


def _settled(moved: MovedFigure, found: _Tried) -> bool:
    """True where the cells that move it when put back bring the whole difference."""
    return not moved.together and any(_moves(moved.name, found.new, found.without, cell) for cell in moved.because)


def _with_causes(moved: MovedFigure, found: _Tried) -> MovedFigure:
    """Only the cells that move it, put back or alone; all of them where none does."""
    because = tuple(
        cell
        for cell in moved.because
        if _moves(moved.name, found.new, found.without, cell)
        or (not _settled(moved, found) and _moves(moved.name, found.old, found.alone, cell))
    )
    because = because or moved.because
    alone = {cell.place: moved.alone[cell.place] for cell in because if cell.place in moved.alone}
    return replace(moved, because=because, alone=alone)


def _moves(name: FigureName, base: Figures, tried: Mapping[str, Figures | None], cell: ChangedCell) -> bool:
    figures = tried.get(cell.place)
    return figures is not None and _differ(figures.get(name, _NOTHING), base.get(name, _NOTHING))


def _share_of(moved: MovedFigure, now: Figure, figures: Figures | None) -> Decimal | None:
    """How much of the difference goes when a cell is put back."""
    return None if figures is None or moved.difference is None else _less(now, figures.get(moved.name, _NOTHING))


def _differ(one: Figure, other: Figure) -> bool:
    if one.number is not None and other.number is not None:
        return one.number != other.number
    return one.text != other.text


def _less(one: Figure, other: Figure) -> Decimal | None:
    return None if one.number is None or other.number is None else one.number - other.number


def names_cell(places: frozenset[Place], cell: ChangedCell, *, old: bool) -> bool:
    """True where an explanation's cells hold this one as it was, or as it is; a sheet stands for all its cells.

    >>> row = ChangedCell(what="", old=None, new="", place_old=None, place_new=Place("b", "Parts", "A7"), extent="row")
    >>> names_cell(frozenset({Place("b", "Parts", "D7")}), row, old=False)
    True
    """
    place = cell.place_old if old else cell.place_new
    if place is None:
        return False
    if place in places or Place(place.file, place.sheet) in places:
        return True
    if cell.extent == "cell":
        return False
    of_sheet = (named for named in places if (named.file, named.sheet) == (place.file, place.sheet))
    return any(cell.extent == "sheet" or _row(named) == _row(place) for named in of_sheet)


def _row(place: Place) -> str:
    return place.cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def paths_to(figure: str) -> Iterator[str]:
    """A figure's name, then what it is part of, from the nearest out; a number for a second of one name is left off.

    >>> list(paths_to("not_permitted.CAP@left.why#2"))
    ['not_permitted.CAP@left.why', 'not_permitted.CAP@left', 'not_permitted']
    """
    path = figure.partition("#")[0]
    while path:
        yield path
        path = path.rpartition(".")[0]
