"""Rows of a costing by hand: which label is which figure, whose column it stands in, and what is no costing."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest
import xlsxwriter

from quotekit.documents.costing import INPUTS, SUMMARY
from quotekit.model.comparison import FigureName
from quotekit.workbook.read_costing import EVERY_NUMBER, ReadCosting, read_costing

Rows = Sequence[Sequence[object]]

TITLE = ["Costing of job 117, version 2"]
HEAD = [None, "Put right (good)", "New parts (better)"]
"""Both options above their columns."""


def written(folder: Path, summary: Rows, every: Rows = (), inputs: Rows = ()) -> Path:
    """A workbook of these rows, and of nothing else."""
    path = folder / "costing.xlsx"
    book = xlsxwriter.Workbook(str(path))
    for name, rows in ((SUMMARY, summary), (EVERY_NUMBER, every), (INPUTS, inputs)):
        sheet = book.add_worksheet(name)
        for at, cells in enumerate(rows):
            for column, value in enumerate(cells):
                if value is not None:
                    sheet.write(at, column, value)
    book.close()
    return path


def read(folder: Path, summary: Rows, every: Rows = (), inputs: Rows = ()) -> ReadCosting:
    found, problems = read_costing(written(folder, summary, every, inputs))
    assert found is not None and problems == []
    return found


def texts(found: ReadCosting, tier: str | None = "good") -> dict[str, str | None]:
    """Figures of a tier, as they stand there."""
    return {name.figure: figure.text for name, figure in found.figures.items() if name.tier == tier}


@pytest.mark.parametrize(
    ("label", "figure"),
    [
        ("Offered", "offered"),
        ("What is done", "items"),
        ("Faults left", "left"),
        ("Ready, working days", "ready_days"),
        ("Labour", "amounts.labour"),
        ("Parts", "amounts.parts"),
        ("Core charges", "amounts.cores"),
        ("Sublet", "amounts.sublet"),
        ("Savings and discount", "amounts.savings"),
        ("Supplies", "amounts.supplies"),
        ("Fees and charges", "amounts.fees"),
        ("Freight charged", "amounts.freight"),
        ("Work", "work"),
        ("Inspection fee", "amounts.inspection"),
        ("Inspection fee credited", "amounts.inspection_credit"),
        ("Subtotal", "subtotal"),
        ("Tax", "tax"),
        ("Total to pay", "total"),
        ("Due, after what was paid", "due"),
        ("Deposit when work is agreed", "deposit"),
        ("Cost of labour", "cost.labour"),
        ("Cost of parts used", "cost.parts_used"),
        ("Core charges paid", "cost.cores"),
        ("Cost of sublet", "cost.sublet"),
        ("Freight paid", "cost.freight"),
        ("Cost", "cost.total"),
        ("Margin (subtotal less cost)", "margin"),
        ("Cash for parts, whole packs", "cash_for_parts"),
        ("Cost over the years compared", "horizon_cost"),
    ],
)
def test_each_line_of_the_summary_is_a_figure_by_its_name_in_the_json(tmp_path: Path, label: str, figure: str) -> None:
    """`Cost of parts used` is not `Parts`: a label read as another would compare cost with price."""
    found = read(tmp_path, [TITLE, HEAD, [label, 12.5, 13]])
    assert (texts(found), texts(found, "better")) == ({figure: "12.5"}, {figure: "13"})
    assert found.figures[FigureName("117", "good", figure)].number == Decimal("12.5")


@pytest.mark.parametrize(
    ("rows", "good"),
    [
        ([HEAD, ["Labour", 1, 2], HEAD, ["Tax", 3, 4]], {"amounts.labour": "1", "tax": "3"}),
        ([HEAD, ["Labour", None, 2]], {}),
        ([["Labour", 1, 2], HEAD], {}),
        ([HEAD, ["Labour costs", 1, 2]], {}),
        ([HEAD, ["What is done", "NEW\nBELT"]], {"items": "NEW; BELT"}),
        ([HEAD, ["What is done", "NEW, BELT"]], {"items": "NEW; BELT"}),
        ([["Options (two)", "Put right (good)"], ["Labour", 1]], {}),
        ([HEAD, ["If the customer declines"], ["Tax", 3, 4]], {}),
        ([[None, "Rust (heavy) treated (good)"], ["Tax", 3]], {"tax": "3"}),
    ],
    ids=["a section below", "a blank cell is no zero", "above the options", "a line of the owner's own",
         "one text of several lines", "many codes in one text",
         "a row that has a label names no options", "what a no costs is no option's",
         "brackets in the name of an option"],
)  # fmt: skip
def test_figures_stand_under_the_option_above_them(tmp_path: Path, rows: Rows, good: dict[str, str]) -> None:
    assert texts(read(tmp_path, [TITLE, *rows])) == good


def test_what_a_no_costs_belongs_to_no_option(tmp_path: Path) -> None:
    rows = [TITLE, HEAD, ["Tax", 3, 4], ["If the customer declines"], ["A no costs", 25]]
    found = read(tmp_path, rows)
    assert (texts(found, None), texts(found)) == ({"declined.total": "25"}, {"tax": "3"})
    assert texts(read(tmp_path, [TITLE, ["A no costs"]]), None) == {}


@pytest.mark.parametrize(
    ("summary", "read_back"),
    [
        ([TITLE], True),
        ([["Shop"], [], TITLE], True),
        ([["Shop"], ["Street"], TITLE], True),
        ([["Shop"], ["Street"], ["Town"], TITLE], False),
        ([["Costing of job 117"]], False),
        ([["Costing of job 117, version two"]], False),
        ([["A costing of job 117, version 2"]], False),
        ([], False),
    ],
)
def test_the_title_says_which_job_it_is(tmp_path: Path, summary: Rows, read_back: bool) -> None:
    """Another workbook with a sheet named Summary must not be compared as if it had no figures."""
    found, problems = read_costing(written(tmp_path, summary))
    assert (found is not None) == read_back
    assert [problem.code for problem in problems] == ([] if read_back else ["not-a-costing"])
    if found is not None:
        assert (found.job, found.version) == ("117", "2")


EVERY: Rows = [
    ["Every number"],
    ["Put right"],
    ["Figure", "Value", "Rule", "Cells"],
    ["total", "100.00", "work and tax", "Shop!B2", "Taxes!C2"],
    [None, None, None, "job Job!B3"],
    ["items", None, "what is done", "Tiers!C2"],
    ["New parts"],
    ["Figure", "Value", "Cells"],
    ["total", "150.00", "Shop!B3"],
]


def test_every_number_with_its_cells_option_by_option(tmp_path: Path) -> None:
    """More cells than one row holds stand in the rows below it; each section has its own column of cells."""
    found = read(tmp_path, [TITLE, HEAD], EVERY)
    assert found.cells == {
        FigureName("117", "good", "total"): {"Shop!B2", "Taxes!C2", "job Job!B3"},
        FigureName("117", "good", "items"): {"Tiers!C2"},
        FigureName("117", "better", "total"): {"Shop!B3"},
    }
    assert (texts(found), texts(found, "better")) == ({"total": "100.00", "items": None}, {"total": "150.00"})


def test_rows_before_the_first_option_are_no_figures(tmp_path: Path) -> None:
    every = [["Figure", "Value", "Cells"], ["total", "1.00", "Shop!B2"], *EVERY]
    assert read(tmp_path, [TITLE, HEAD], every).cells.keys() == read(tmp_path, [TITLE, HEAD], EVERY).cells.keys()


def test_two_options_of_one_name_are_told_apart_by_their_order(tmp_path: Path) -> None:
    head = [None, "Repair (good)", "Repair (better)"]
    every: Rows = [
        ["Repair"], ["Figure", "Value", "Cells"], ["total", "1.00", "Shop!B2"],
        ["Repair"], ["Figure", "Value", "Cells"], ["total", "2.00", "Shop!B3"],
    ]  # fmt: skip
    found = read(tmp_path, [TITLE, head], every)
    assert (texts(found), texts(found, "better")) == ({"total": "1.00"}, {"total": "2.00"})


def test_the_exact_number_of_a_figure_stands_before_the_one_of_the_summary(tmp_path: Path) -> None:
    found = read(tmp_path, [TITLE, HEAD, ["Total to pay", 100, 150], ["Tax", 7, 8]], EVERY)
    assert texts(found) == {"total": "100.00", "tax": "7", "items": None}


def test_one_head_holds_for_all_options(tmp_path: Path) -> None:
    """As costings are written since a sheet has one head that stays in sight; older ones have one an option."""
    once = [EVERY[0], EVERY[2], EVERY[1], *EVERY[3:7], ["total", "150.00", "a rule", "Shop!B3"]]
    found, older = read(tmp_path, [TITLE, HEAD], once), read(tmp_path, [TITLE, HEAD], EVERY)
    assert (found.cells, found.figures) == (older.cells, older.figures)


@pytest.mark.parametrize("heads", [1, 2], ids=["one head for all", "a head each table, as in older costings"])
def test_inputs_are_named_by_the_row_they_began_in(tmp_path: Path, heads: int) -> None:
    """What several cells belong to is written once; the name of a table is no input."""
    inputs: Rows = [
        ["Inputs"],
        ["`job` before a cell means the job workbook job.xlsx; the others are in prices.xlsx."],
        ["What", "Input", "Value", "Cell"],
        ["Seal (SEAL)", "Pack cost", "10", "Parts!D2"],
        [None, "Supplier", "NORTH", "Parts!E2"],
        ["Rates"],
        *([["What", "Input", "Value", "Cell"]] if heads > 1 else []),
        ["Labour rate MAIN", "Rate per hour", 90, "Labour rates!C2"],
    ]
    found = read(tmp_path, [TITLE, HEAD], (), inputs)
    assert [line[:4] for line in found.inputs] == [
        ("Seal (SEAL)", "Pack cost", "10", "Parts!D2"),
        ("Seal (SEAL)", "Supplier", "NORTH", "Parts!E2"),
        ("Labour rate MAIN", "Rate per hour", "90", "Labour rates!C2"),
    ]
    assert (found.job_file, found.book_file) == ("job.xlsx", "prices.xlsx")
    assert (read(tmp_path, [TITLE]).job_file, read(tmp_path, [TITLE]).book_file) == ("job", "shop book")


def test_a_value_of_several_rows_is_one_input(tmp_path: Path) -> None:
    """A row holds sixteen lines; the customer's words may need more, and what follows them is still an input."""
    inputs: Rows = [
        ["Inputs"],
        ["no input", "yet", "above the head"],
        ["What", "Input", "Value", "Cell"],
        ["Job", "Customer's words", "It rattles", "job Job!B8"],
        [None, None, "and it smokes"],
        [None, "Condition", "RUSTY", "job Job!B9"],
    ]
    assert [line[1:3] for line in read(tmp_path, [TITLE], (), inputs).inputs] == [
        ("Customer's words", "It rattles and it smokes"),
        ("Condition", "RUSTY"),
    ]
