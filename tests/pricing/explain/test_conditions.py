"""What decides a figure besides its tree: the cells it hangs on, each said once."""

from __future__ import annotations

from quotekit.model.explanation import all_cells
from quotekit.pricing.explain import explain_tier
from quotekit.pricing.explain.cells import cells_behind
from quotekit.pricing.explain.conditions import conditions_of, stages_of
from tests.pricing.explain.cases import EXAMPLES, example_quote

QUOTE = example_quote(EXAMPLES[3])
CELLS = cells_behind(QUOTE.book, QUOTE.job, "good")
TREES = {tree.figure: tree for tree in explain_tier(QUOTE.book, QUOTE.job, "good")}


def test_tree_and_conditions_name_all_cells_a_figure_hangs_on() -> None:
    """So that a cell that is not named may be changed without moving the figure."""
    for name, tree in TREES.items():
        hangs_on = frozenset().union(*stages_of(name, CELLS).values())
        assert hangs_on <= set(all_cells(tree)), name


def test_no_cell_is_said_twice() -> None:
    for tree in TREES.values():
        listed = [place for one in tree.conditions for place in one.cells]
        assert len(listed) == len(set(listed))


def test_an_entry_hangs_on_what_its_list_hangs_on() -> None:
    code = QUOTE.tiers[0].items[0].key
    assert stages_of(f"items.{code}", CELLS) == CELLS["items"]
    assert stages_of(f"shares.{code}.item", CELLS) == CELLS["items"]
    part = QUOTE.tiers[0].part_lines[0].part
    assert stages_of(f"parts.{part}.part", CELLS) == CELLS[f"parts.{part}.quantity"]
    assert stages_of("over_years.cost", CELLS) == CELLS["horizon_cost"]


def test_a_name_nobody_knows_hangs_on_everything() -> None:
    assert stages_of("no.such.figure", CELLS) == CELLS.everything


def test_conditions_leave_out_what_the_tree_shows() -> None:
    tree = TREES["total"]
    shown = {place for one in conditions_of(tree, {"everything": frozenset(all_cells(tree))}) for place in one.cells}
    assert shown
    assert not shown & set(tree.cells)
