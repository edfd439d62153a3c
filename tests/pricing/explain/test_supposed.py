"""A cell typed anew, to show both sides of a break-even: the right cell, and nothing else."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any, get_args

import pytest

from quotekit.model.explanation import Explanation
from quotekit.model.source import Source
from quotekit.model.why import BreakEven, FigureKind, Named
from quotekit.pricing.explain.supposed import FIXED, HOURS, LIFE, PACK, column_of, marked, supposed
from quotekit.pricing.setup import Setup, set_up
from quotekit.problems import Place
from tests.build import a_finding, a_part, a_remedy
from tests.pricing.explain.small import a_shop, job_of

SOURCE = Source(file="book", sheet="Parts", row=7, columns={FIXED: "F", PACK: "D"})


def a_break_even(figure: FigureKind, code: str, source: Source = SOURCE) -> BreakEven:
    return BreakEven(
        figure=figure,
        of=Named(key=code, name=code),
        present=D(1),
        step=D("0.01"),
        wins_at=None,
        tried=D(1),
        source=source,
    )


def a_setup(**job: Any) -> Setup:
    """A seal of 10.00, half an hour, a remedy of four years on either side."""
    book = a_shop(remedies=[a_remedy("NEW", ["WORN"], ["FIT"], life_years=4)])
    return set_up(book, job_of(book, **job))


def cells(setup: Setup) -> dict[str, object]:
    """Every number that a break-even can change."""
    book, job = setup.basis.book, setup.basis.job
    own = job.parts.get("SEAL")
    return {
        "fixed": book.parts["SEAL"].fixed_price_each,
        "pack": book.parts["SEAL"].pack_cost,
        "hours": book.operations["FIT"].net_hours,
        "life": book.remedies["NEW"].life_years,
        "job's fixed": own.fixed_price_each if own else None,
        "job's pack": own.pack_cost if own else None,
    }


@pytest.mark.parametrize(
    ("figure", "code", "column", "changed"),
    [
        ("price of the alternative", "SEAL", FIXED, "fixed"),
        ("price of the alternative", "SEAL", PACK, "pack"),
        ("hours of the alternative", "FIT", HOURS, "hours"),
        ("hours of the alternative", "FIT@left", HOURS, "hours"),
        ("life of the alternative", "NEW", LIFE, "life"),
        ("life of the alternative", "NEW@left", LIFE, "life"),
        ("price of what is taken", "SEAL", FIXED, "fixed"),
        ("hours of what is taken", "FIT", HOURS, "hours"),
        ("life of what is taken", "NEW", LIFE, "life"),
    ],
)
def test_one_cell_is_typed_anew_and_no_other(figure: FigureKind, code: str, column: str, changed: str) -> None:
    """With a side the row is the same: operations and remedies are stated once for both sides."""
    before = a_setup()
    after = cells(supposed(before, a_break_even(figure, code), column, D(9)))
    assert after == {**cells(before), changed: D(9)}


@pytest.mark.parametrize(("column", "changed"), [(FIXED, "job's fixed"), (PACK, "job's pack")])
def test_the_jobs_own_row_of_a_part_is_the_one_that_counts(column: str, changed: str) -> None:
    """Typed into the book, the price would move nothing: the job's row stands for it."""
    before = a_setup(parts={"SEAL": a_part("SEAL", 7)})
    after = cells(supposed(before, a_break_even("price of the alternative", "SEAL"), column, D(9)))
    assert after == {**cells(before), changed: D(9)}


COLUMNS: dict[FigureKind, str] = {
    "price of the alternative": FIXED,
    "price of what is taken": FIXED,
    "hours of the alternative": HOURS,
    "hours of what is taken": HOURS,
    "life of the alternative": LIFE,
    "life of what is taken": LIFE,
}


@pytest.mark.parametrize("figure", get_args(FigureKind))
def test_a_figure_is_typed_into_its_column(figure: FigureKind) -> None:
    """Every kind there is; a selling price has no cell of its own but the fixed price."""
    assert column_of(a_break_even(figure, "X")) == COLUMNS[figure]


def leaf(name: str, value: str, cell: str, **values: Any) -> Explanation:
    place = Place("book", "Parts", cell)
    made = Explanation(figure=name, value=value, rule="Typed.", operation="given", number=D(value), cells=(place,))
    return made if not values else Explanation(**{**{f: getattr(made, f) for f in made.__dataclass_fields__}, **values})


def marks(tree: Explanation) -> list[str]:
    """Figures that are said to be supposed, inner ones too."""
    own = [tree.figure] if tree.rule.startswith("Supposed") else []
    return own + [name for one in tree.inputs for name in marks(one)]


def over(*inputs: Explanation) -> Explanation:
    return Explanation(figure="sum", value="1", rule="Added.", operation="sum", number=D(1), inputs=inputs)


@pytest.mark.parametrize(
    ("node", "found"),
    [
        (leaf("Fixed price each of SEAL", "9", "F7"), True),
        (leaf("Fixed price each of SEAL", "8", "F7"), False),
        (leaf("Fixed price each of BELT", "9", "F8"), False),
        (leaf("Fixed price each of SEAL", "9", "F7", operation="decided"), False),
        (leaf("Fixed price each of SEAL", "9", "F7", inputs=(leaf("x", "1", "A1"),)), False),
    ],
    ids=["the cell with the value", "another value", "another row", "what a rule settled", "what has inputs"],
)
def test_only_the_leaf_that_reads_the_cell_is_said_to_be_supposed(node: Explanation, found: bool) -> None:
    """Another price of 9.00 on the sheet was really typed."""
    tree = marked(over(over(node)), a_break_even("price of the alternative", "SEAL"), FIXED, D(9))
    assert marks(tree) == ([node.figure] if found else [])


def test_a_column_that_the_sheet_lacks_is_known_by_its_name() -> None:
    """A book without the column Fixed price each has no cell that could be looked for."""
    found = a_break_even(
        "price of the alternative", "SEAL", Source(file="book", sheet="Parts", row=7, columns={PACK: "D"})
    )
    tree = marked(
        over(leaf("Fixed price each of SEAL", "9", "Z9"), leaf("Pack cost of SEAL", "9", "D7")), found, FIXED, D(9)
    )
    assert marks(tree) == ["Fixed price each of SEAL"]


def test_what_is_shared_stays_shared_and_what_is_not_touched_stays_itself() -> None:
    """A tree of thousands of nodes must not grow by being marked."""
    typed, other = leaf("Fixed price each of SEAL", "9", "F7"), over(leaf("Other", "3", "A1"))
    shared = over(typed)
    tree = marked(over(shared, shared, other), a_break_even("price of the alternative", "SEAL"), FIXED, D(9))
    assert tree.inputs[0] is tree.inputs[1] and tree.inputs[2] is other
    unchanged = over(other)
    assert marked(unchanged, a_break_even("price of the alternative", "SEAL"), FIXED, D(9)) is unchanged


def test_the_setup_it_came_from_is_left_as_it_was() -> None:
    """Both sides of a break-even are worked out from the same job."""
    before = a_setup()
    was = cells(before)
    supposed(before, a_break_even("price of the alternative", "SEAL"), PACK, D(9))
    assert cells(before) == was


def test_a_finding_is_none_of_the_cells() -> None:
    """What was recorded on the job stays recorded, whatever is supposed."""
    book = a_shop(findings=[a_finding("WORN"), a_finding("OLD")])
    setup = set_up(book, job_of(book))
    after = supposed(setup, a_break_even("life of the alternative", "NEW"), LIFE, D(2))
    assert after.basis.job.findings == setup.basis.job.findings
