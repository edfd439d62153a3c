"""Rows of Parts used: sides that exist, under work that has a side (DESIGN.md 3 and 5.9)."""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.model.shop_book import PartUsed, ShopBook
from quotekit.problems import Problem, error
from quotekit.workbook.names import did_you_mean
from quotekit.workbook.positions import DEFAULT_POSITIONS, positions_for
from quotekit.workbook.sided import is_sided


def check_parts_used(book: ShopBook) -> list[Problem]:
    """Every row that names a side."""
    return [problem for row in book.parts_used if row.sides for problem in _check_sides(book, row)]


def _check_sides(book: ShopBook, row: PartUsed) -> list[Problem]:
    place, shown = row.source.place("Side"), "; ".join(row.sides)
    problems = [
        error(
            place,
            "unknown-side",
            f"{side} is not a side of {_classes(row)}: positions are {'; '.join(_all(positions))}",
            f"{did_you_mean(side, _all(positions))}Use a position, both, all, or a list separated by semicolons.",
            shown,
        )
        for positions in [_positions(book, row)]
        for side in row.sides
        if not _fits(side, positions, every=bool(row.machines))
    ]
    if not is_sided(book, row.used_by):
        problems.append(
            error(
                place,
                "side-unused",
                f"{row.used_by} is not done each side, so a part for one side can never count",
                f"Empty the side, or set Each side of {row.used_by} to Yes.",
                shown,
            )
        )
    return problems


def _positions(book: ShopBook, row: PartUsed) -> list[tuple[str, ...]]:
    if book.machines is None:
        return [DEFAULT_POSITIONS]
    codes = row.machines or tuple(book.machines)
    return [book.machines[code].positions for code in codes if code in book.machines]


def _fits(side: str, classes: Sequence[tuple[str, ...]], every: bool) -> bool:
    """A named class must have the side; with no class named, one that has it is enough."""
    fits = [bool(positions_for(side, positions)) for positions in classes]
    return (all if every else any)(fits) or not classes


def _all(classes: Sequence[tuple[str, ...]]) -> list[str]:
    return list(dict.fromkeys(position for positions in classes for position in positions))


def _classes(row: PartUsed) -> str:
    return "; ".join(row.machines) or "any machine class"
