"""Which figure stands in a cell of a costing: held against the JSON of the quote the costing was made from."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.cli.answers.document_cell import lines_of_money
from quotekit.model.quote import Quote
from quotekit.workbook.costing_cells import PART_OF, CostingCell, costing_cell
from quotekit.workbook.returned_cells import RawCell, RawWorkbook, read_raw
from quotekit.workbook.write_sheet import write_costing
from tests.pricing.explain.cases import EXAMPLES, example_quote, example_trees, json_figures


def raw_costing(name: str, folder: Path) -> RawWorkbook:
    """The costing of a worked example, as written and read again; that of the first with every number."""
    path = folder / "costing.xlsx"
    write_costing(example_quote(name), path, trees=example_trees(name) if name == EXAMPLES[0] else None)
    raw, problems = read_raw(path)
    assert raw is not None, problems
    return raw


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> RawWorkbook:
    """The costing of the first example."""
    return raw_costing(EXAMPLES[0], tmp_path_factory.mktemp("first"))


def cells_of(quote: Quote, raw: RawWorkbook) -> dict[tuple[str, int, int], CostingCell]:
    """Every cell that holds a number, with what it is told to be."""
    lines = {tier.code: lines_of_money(quote, tier) for tier in quote.tiers if tier.priced}
    found = {}
    for sheet, cells in raw.sheets.items():
        for at, cell in cells.items():
            if isinstance(cell.value, Decimal):
                told = costing_cell(raw, sheet, at, {})
                found[sheet, *at] = costing_cell(raw, sheet, at, lines.get(told.tier or "", {}))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_cell_holds_the_figure_it_is_told_to_hold(name: str, first: RawWorkbook, tmp_path: Path) -> None:
    """Every number of every sheet whose figure is told: the JSON says the same; no line is taken for another."""
    quote = example_quote(name)
    raw = first if name == EXAMPLES[0] else raw_costing(name, tmp_path)
    figures = {tier.code: json_figures(quote, tier) for tier in quote.tiers}
    any_tier = next(iter(figures))
    wrong, told = [], 0
    for at, found in cells_of(quote, raw).items():
        if not found.figure or PART_OF in found.figure:
            continue
        of_tier = figures[found.tier or any_tier]
        if found.figure not in of_tier:
            assert any(one.startswith(f"{found.figure}.") for one in of_tier), (at, found.figure)
            continue
        told += 1
        value = of_tier[found.figure]
        assert isinstance(found.cell, RawCell) and isinstance(found.cell.value, Decimal)
        shown, known = abs(found.cell.value), abs(Decimal(str(value)))
        if abs(shown - known) > Decimal("0.00005"):
            wrong.append((at, found.figure, found.cell.value, value))
    assert wrong == []
    assert told > 30 * len([tier for tier in quote.tiers if tier.priced])


def test_most_numbers_of_a_tier_are_told(first: RawWorkbook) -> None:
    """On the sheets of money and hours nearly every number has its figure or is told to be a line of one."""
    quote, raw = example_quote(EXAMPLES[0]), first
    of_tiers = [found for (sheet, *_), found in cells_of(quote, raw).items() if sheet == quote.tiers[0].name]
    assert sum(bool(found.figure) for found in of_tiers) > len(of_tiers) * 0.5


def test_cells_that_name_cells(first: RawWorkbook) -> None:
    """On the sheet Inputs each row leads to the cell of its input, wherever in the row one points."""
    raw = first
    rows = [at[0] for at, cell in raw.sheets["Inputs"].items() if at[1] == 4 and cell.text.startswith("Parts!")]
    assert costing_cell(raw, "Inputs", (rows[0], 3), {}).places == costing_cell(raw, "Inputs", (rows[0], 4), {}).places
    assert costing_cell(raw, "Inputs", (rows[0], 4), {}).places == (raw.sheets["Inputs"][rows[0], 4].text,)


def test_a_title_holds_no_figure(first: RawWorkbook) -> None:
    """Nor does a cell beside the table, or a sheet that is not there."""
    for sheet, at in (
        ("Summary", (1, 1)),
        ("Summary", (900, 2)),
        ("Nowhere", (1, 1)),
        ("Reasons and warnings", (2, 1)),
    ):
        assert costing_cell(first, sheet, at, {}).figure == ""
