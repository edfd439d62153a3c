"""One cell changed: which figures moved, and whether their explanation named the cell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.explanation import Explanation, all_cells
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from quotekit.pricing.explain.cells import FigureCells, cells_behind
from quotekit.pricing.explain.conditions import with_conditions
from quotekit.problems import Place, has_errors
from tests.completeness.cells_to_change import Spot, Workbooks
from tests.completeness.figures import figures_of_job, figures_of_tier

Figures = dict[tuple[str, str], Any]
"""By tier (empty for the job's own) and name."""

NAMES = ("code",)
"""A tier is told apart by its code, so this figure cannot move: it comes and goes with the tier."""


@dataclass
class Tally:
    """What came of many changes."""

    tried: int = 0
    valid: int = 0
    compared: int = 0
    moved: int = 0
    surprises: list[str] = field(default_factory=list)
    columns: Counter[tuple[str, str]] = field(default_factory=Counter)
    named: dict[tuple[str, str, str], set[Place]] = field(default_factory=dict)
    changed_named: int = 0
    """Figure and changed cell that the figure names."""
    moved_named: int = 0
    by_column: Counter[tuple[str, str]] = field(default_factory=Counter)


class Explained:
    """Two workbooks with the figures of their quote and the cells that each figure's explanation names.

    A figure that has a tree names the cells of the tree and its conditions, as people see it; another all it reads.
    """

    def __init__(self, workbooks: Workbooks, records: tuple[ShopBook, Job], figures: Figures) -> None:
        self.workbooks, self.figures = workbooks, figures
        self.cells: dict[str, FigureCells] = {}
        self.trees: dict[str, dict[str, Explanation]] = {}
        quote = build_quote(*records)
        for tier in quote.tiers:
            cells = self.cells[tier.code] = cells_behind(*records, tier.code)
            trees = with_conditions(explain_priced(quote, tier, _is_sharp), cells) if tier.priced else ()
            self.trees[tier.code] = {tree.figure: tree for tree in trees}
        first = next(iter(self.cells), "")
        self.cells[""] = self.cells[first] if first else cells_behind(*records, "")
        self.trees[""] = self.trees.get(first, {})
        self.places = {figure: self._places(*figure) for figure in figures}

    def _places(self, tier: str, name: str) -> frozenset[Place]:
        tree = self.trees[tier].get(name)
        return frozenset(all_cells(tree)) if tree is not None else self.cells[tier].all_of(name)

    def names(self, figure: tuple[str, str], place: Place) -> bool:
        """True where a figure's explanation names a cell."""
        return place in self.places[figure]


def _is_sharp(figure: str) -> bool:
    """False for figures that hang on everything the quote reads: their trees take long and show no more."""
    return not figure.startswith(("why.", "sensitivity."))


def explained(workbooks: Workbooks) -> Explained | None:
    """The workbooks with their figures explained; None where they cannot be quoted."""
    records = workbooks.records()
    figures = figures_of(records) if records is not None else None
    return Explained(workbooks, records, figures) if records is not None and figures is not None else None


def figures_of(records: tuple[ShopBook, Job]) -> Figures | None:
    """Every figure of the quote; None where the engine finds an error."""
    quote = build_quote(*records)
    if has_errors(quote.problems):
        return None
    laid_out: Any = lay_out_quote_json(quote)
    found: Figures = {("", name): value for name, value in figures_of_job(laid_out).items()}
    for tier in laid_out["tiers"]:
        found.update({(tier["code"], name): value for name, value in figures_of_tier(tier).items()})
    return found


def moved(old: Figures, new: Figures) -> list[tuple[str, str]]:
    """Figures that are another value or gone; a tier's code is its name."""
    return [key for key, value in old.items() if key not in new or new[key] != value]


def try_change(case: Explained, spot: Spot, value: Any, percent: bool, tally: Tally) -> list[str]:
    """Change one cell and compare every figure; the surprises, in words."""
    tally.tried += 1
    records = case.workbooks.with_cell(spot, value, percent).records()
    figures = figures_of(records) if records is not None else None
    if figures is None:
        return []
    tally.valid += 1
    tally.columns[spot.sheet, spot.header] += 1
    tally.compared += len(case.figures)
    moves = set(moved(case.figures, figures))
    tally.moved += len(moves)
    found = []
    for key in case.figures:
        named = case.names(key, spot.place)
        tally.changed_named += named
        tally.moved_named += named and key in moves
        if key in moves and not named:
            found.append(_surprise(case, spot, value, key, figures))
    tally.surprises += found
    if found:
        tally.by_column[spot.sheet, spot.header] += 1
    return found


def _surprise(case: Explained, spot: Spot, value: Any, key: tuple[str, str], figures: Figures) -> str:
    held = spot.held.text if spot.held is not None else "(blank)"
    now = figures.get(key, "gone")
    where = f"{spot.sheet}!{spot.place.cell} {spot.header}"
    return f"{where}: {held} -> {value}: {'.'.join(key)} {case.figures[key]} -> {now}"


def report(tally: Tally) -> Iterable[str]:
    """One number a line."""
    yield f"changes tried      {tally.tried:>12,}"
    yield f"valid              {tally.valid:>12,}"
    yield f"columns changed    {len(tally.columns):>12,}"
    yield f"figures compared   {tally.compared:>12,}"
    yield f"figures moved      {tally.moved:>12,}"
    yield f"surprises          {len(tally.surprises):>12,}"
    share = tally.moved_named / tally.changed_named if tally.changed_named else 0
    yield f"moved, of the figures that named the changed cell {share:.1%}"
    for (sheet, header), count in tally.by_column.most_common(30):
        yield f"  {sheet} / {header}: {count}"
