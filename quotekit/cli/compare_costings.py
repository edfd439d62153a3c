"""Which inputs changed between two costings, and which figures name their cells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from quotekit.model.comparison import ChangedCell, FigureName, MovedFigure

if TYPE_CHECKING:
    from quotekit.documents.costing_input_line import InputLine
    from quotekit.workbook.read_costing import ReadCosting

_Key = tuple[str, str, int]

_ALL = ("hours", "parts", "bundles", "amounts", "taxes")
_MADE_OF = {
    "amounts.labour": ("hours",),
    "amounts.parts": ("parts",),
    "amounts.savings": ("bundles", "hours", "parts"),
    "amounts.supplies": ("hours", "amounts.labour"),
    "deposit": ("parts",),
    "taxes": ("hours", "parts", "bundles", "amounts"),
    "tax": _ALL,
    "work": _ALL,
    "subtotal": _ALL,
    "total": _ALL,
    "due": _ALL,
}
"""What each figure of a tier is made of: a costing names the cells of each figure down to the next one alone."""

_NO_NEED_TO_SAY = frozenset({"Shop", "Job"})
_NO_CELLS = "A costing without the sheet `Every number` does not say which cells a figure hangs on"
_NOT_PROVED = (
    "The costings name the cells that each figure is worked out from, not those that decide what is done; how much "
    "goes with each cell is told when the shop books and the job are given"
)


def changed_inputs(old: ReadCosting, new: ReadCosting) -> tuple[tuple[ChangedCell, ...], tuple[str, ...]]:
    """Cells whose value differs, and notes on what the two costings can't tell."""
    before, after = _keyed(old.inputs), _keyed(new.inputs)
    rows_before, rows_after = ({what for what, _, _ in keyed} for keyed in (before, after))
    in_both = rows_before & rows_after
    cells: list[ChangedCell] = []
    only_one = 0
    for key in dict.fromkeys((*after, *before)):
        was, now = before.get(key), after.get(key)
        if was is not None and now is not None and was.value == now.value:
            continue
        if key[0] not in in_both and not _of_the_job(was or now):
            only_one += 1
            continue
        cells.append(
            ChangedCell(
                what=key[1] if key[0] in _NO_NEED_TO_SAY else f"{key[1]} of {key[0]}",
                old=was.value if was else None,
                new=now.value if now else None,
                place_old=old.place(was.cell) if was else None,
                place_new=new.place(now.cell) if now else None,
            )
        )
    return tuple(cells), tuple(_notes(old, new, only_one))


def causes_in_costings(
    moved: Sequence[MovedFigure], cells: Sequence[ChangedCell], costings: tuple[ReadCosting, ReadCosting]
) -> list[MovedFigure]:
    """Figures with the changed cells that either costing names behind them, or behind what they are made of."""
    own = {one.name: [cell for cell in cells if _named(one, cell, costings)] for one in moved}
    found = []
    for one in moved:
        behind = [*own[one.name], *(cell for name in own if _is_part(name, one.name) for cell in own[name])]
        found.append(replace(one, because=tuple(dict.fromkeys(behind))))
    return found


def _is_part(name: FigureName, whole: FigureName) -> bool:
    """True where a figure of the same tier goes into another."""
    if whole.figure.startswith("parts.") and name.figure == f"{whole.figure.rpartition('.')[0]}.unit_price":
        return (name.job, name.tier) == (whole.job, whole.tier)
    made_of = _MADE_OF.get(whole.figure) or _MADE_OF.get(whole.figure.partition(".")[0], ())
    group = name.figure.partition(".")[0]
    return (name.job, name.tier) == (whole.job, whole.tier) and (group in made_of or name.figure in made_of)


def _named(moved: MovedFigure, cell: ChangedCell, costings: tuple[ReadCosting, ReadCosting]) -> bool:
    """True where one of the costings names the cell, as it was or as it is, behind the figure itself."""
    from quotekit.pricing.compare import paths_to

    for costing, place in zip(costings, (cell.place_old, cell.place_new), strict=True):
        if place is None:
            continue
        start = "job " if place.file == costing.job_file else ""
        names = (moved.name._replace(figure=path) for path in paths_to(moved.name.figure))
        known: frozenset[str] = next((costing.cells[name] for name in names if name in costing.cells), frozenset())
        if f"{start}{place.sheet}!{place.cell}" in known:
            return True
    return False


def _keyed(lines: Sequence[InputLine]) -> dict[_Key, InputLine]:
    """Inputs by what they belong to, their column, and which of several alike they are."""
    found: dict[_Key, InputLine] = {}
    for line in lines:
        number = 0
        while (key := (line.what, line.column, number)) in found:
            number += 1
        found[key] = line
    return found


def _of_the_job(line: InputLine | None) -> bool:
    return line is not None and line.cell.startswith("job ")


def _notes(old: ReadCosting, new: ReadCosting, only_one: int) -> list[str]:
    notes = [f"{_NO_CELLS}." if not (old.cells and new.cells) else f"{_NOT_PROVED}."]
    if only_one:
        notes.append(
            f"{only_one} inputs stand in one of the two costings only: that row is used in one of them, "
            "and whether its cells changed can't be known from the costings."
        )
    return notes
