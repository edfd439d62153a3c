"""Which figures moved, and because of which changed cells (shop policy: a cause is named, and proved where it can be).

A figure moved when its text or number differs; the difference is new - old, where both are numbers.
Its causes are the changed cells that its explanation names, in the old workbooks or in the new ones.
Each is put back by itself: what the figure is with that one cell as it was is taken from what it is now, and that much
of the difference went with the cell. What is left over, difference - sum of those, the cells bring only together.
A figure whose explanation names none of them gets the cells that move it alone, else all that could.
Units: those of the figure. Nothing is rounded: figures are compared as they are printed.

>>> name = FigureName("117", "good", "total")
>>> now, was = ({name: Figure(text=text, number=Decimal(text))} for text in ("110.00", "100.00"))
>>> cell = ChangedCell(what="rate", old="80", new="90", place_old=None, place_new=Place("b.xlsx", "Labour rates", "C2"))
>>> (moved,) = causes_of(was, now, [cell], lambda name, cell: True, lambda cell: was)
>>> moved.difference, moved.alone, moved.together
(Decimal('10.00'), {'b.xlsx:Labour rates!C2': Decimal('10.00')}, Decimal('0.00'))
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from quotekit.model.comparison import ChangedCell, Figure, FigureName, Figures, MovedFigure
from quotekit.problems import Place

MOST_PUT_BACK = 120
"""Cells that are put back one by one; each costs a pricing."""

_NOTHING = Figure(text=None)

Names = Callable[[FigureName, ChangedCell], bool]
Without = Callable[[ChangedCell], Figures | None]


def figures_that_moved(old: Figures, new: Figures) -> list[MovedFigure]:
    """Every figure that differs, those that came or went too, without causes."""
    names = dict.fromkeys((*old, *new))
    return [
        MovedFigure(name=name, old=before.text, new=after.text, difference=_less(after, before))
        for name in names
        if _differ(before := old.get(name, _NOTHING), after := new.get(name, _NOTHING))
    ]


def causes_of(
    old: Figures, new: Figures, cells: Sequence[ChangedCell], names: Names | None, without: Without
) -> list[MovedFigure]:
    """Every figure that moved with its causes; `without` gives the figures with one cell as it was, None if it can't
    stand so, and `names` whether a figure's explanation names a cell."""
    moved = figures_that_moved(old, new)
    if not moved:
        return []
    named = {one.name: _named_by(one.name, cells, names) for one in moved}
    tried = _worth_trying(cells, named)
    put_back = {cell.place: without(cell) for cell in tried[:MOST_PUT_BACK]}
    return [_with_causes(one, new, cells, named[one.name], put_back) for one in moved]


def _named_by(name: FigureName, cells: Sequence[ChangedCell], names: Names | None) -> tuple[ChangedCell, ...]:
    return () if names is None else tuple(cell for cell in cells if names(name, cell))


def _worth_trying(
    cells: Sequence[ChangedCell], named: Mapping[FigureName, tuple[ChangedCell, ...]]
) -> list[ChangedCell]:
    """The cells that some figure names; all of them where a figure that moved names none."""
    if not all(named.values()):
        return list(cells)
    wanted = {cell.place for of_figure in named.values() for cell in of_figure}
    return [cell for cell in cells if cell.place in wanted]


def _with_causes(
    moved: MovedFigure,
    new: Figures,
    cells: Sequence[ChangedCell],
    named: tuple[ChangedCell, ...],
    put_back: Mapping[str, Figures | None],
) -> MovedFigure:
    now = new.get(moved.name, _NOTHING)
    because = named or _causes_found(moved.name, now, cells, put_back)
    alone = {cell.place: _share_of(moved, now, put_back[cell.place]) for cell in because if cell.place in put_back}
    together = None
    if moved.difference is not None:
        together = moved.difference - sum((share for share in alone.values() if share is not None), Decimal(0))
    return MovedFigure(
        name=moved.name,
        old=moved.old,
        new=moved.new,
        difference=moved.difference,
        because=because,
        alone=alone,
        together=together,
    )


def _causes_found(
    name: FigureName, now: Figure, cells: Sequence[ChangedCell], put_back: Mapping[str, Figures | None]
) -> tuple[ChangedCell, ...]:
    """Cells that move the figure when put back alone; where none does, every cell that may move it with others."""
    found = []
    for cell in cells:
        figures = put_back.get(cell.place)
        if figures is not None and _differ(figures.get(name, _NOTHING), now):
            found.append(cell)
    return tuple(found) or tuple(cells)


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
