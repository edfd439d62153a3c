"""The summary as a value: what would lose money at the top, sums, lists, and the name that marks it as our own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quotekit.batch.holding import first_losses, hold, sums
from quotekit.documents.batch_jobs import MOST_PROBLEMS
from quotekit.documents.batch_summary import MARK, MOST_LINES, lay_out_batch
from quotekit.documents.sheet import Sheet, WorkbookValue
from quotekit.model.batch import BatchedJob, BatchSummary, Given, TierGiven, TierNow, ToldProblem

Problems = tuple[ToldProblem, ...]
ERROR = ToldProblem(place="a.xlsx:Job!B2", severity="error", message="it is blank", remedy="Fill it in.")
WARNING = ToldProblem(place="a.xlsx:Job!B2", severity="warning", message="it is old", remedy="Look.")


def tier(cost: str = "50.00", name: str = "Put right", **about: object) -> TierNow:
    made = TierNow(
        code=name.lower(),
        name=name,
        offered=True,
        items=("A",),
        total=Decimal("107.00"),
        subtotal=Decimal("100.00"),
        cost=Decimal(cost),
    )
    return replace(made, **about)  # type: ignore[arg-type]


def batched(
    file: str, *tiers: TierNow, given: Given | None = None, problems: tuple[ToldProblem, ...] = ()
) -> BatchedJob:
    return BatchedJob(
        file=file,
        job=file.removesuffix(".xlsx"),
        version=1,
        customer="R. Alder",
        machine="Example 22",
        valid_until="2026-12-01",
        day=date(2026, 11, 1),
        tiers=hold(tiers, given),
        problems=problems,
        given=given,
    )


def given(subtotal: str = "90.00", *, items: frozenset[str] | None = frozenset({"A"})) -> Given:
    options = {"put right": TierGiven(total=Decimal("96.30"), subtotal=Decimal(subtotal), items=items)}
    return Given(origin="its costing", tiers=options)


def laid_out(
    *jobs: BatchedJob, passed: dict[str, int] | None = None, book: tuple[ToldProblem, ...] = ()
) -> WorkbookValue:
    summary = BatchSummary(
        shop_name="Mill Lane Repairs",
        currency="USD",
        language="en_US",
        folder="jobs",
        book_file="shop book.xlsx",
        day=date(2026, 11, 1),
        jobs=jobs,
        sums=sums(jobs),
        book_problems=book,
        passed_over=passed or {},
    )
    return lay_out_batch(summary, first_losses(jobs))


def contents(sheet: Sheet) -> list[object]:
    return [cell.content for row in sheet.rows for cell in row.cells if cell.content is not None]


def test_three_sheets_and_a_mark() -> None:
    value = laid_out(batched("a.xlsx", tier()))
    assert [sheet.name for sheet in value.sheets] == ["Batch", "Jobs", "Problems"]
    assert [name.name for name in value.names] == [MARK]
    assert value.properties.created == date(2026, 11, 1)


def test_losses_come_before_everything_else_that_is_listed() -> None:
    value = laid_out(batched("good.xlsx", tier()), batched("bad.xlsx", tier("130.00")), batched("x", problems=(ERROR,)))
    found = contents(value.sheets[0])
    assert found.index("bad, bad.xlsx") < found.index("Not priced")
    assert Decimal("-30.00") in found and "good, good.xlsx" not in found


def test_whose_price_it_is_that_loses() -> None:
    value = laid_out(batched("a.xlsx", tier("95.00"), given=given()), batched("b.xlsx", tier("130.00")))
    found = contents(value.sheets[0])
    assert found.count("the quote, valid until 2026-12-01") == 1 and found.count("today") == 1
    assert found[found.index("the quote, valid until 2026-12-01") - 3 :][:3] == [
        Decimal("90.00"), Decimal("95.00"), Decimal("-5.00")
    ]  # fmt: skip


def test_no_loss_is_said_in_words() -> None:
    assert any("None: every option" in str(each) for each in contents(laid_out(batched("a", tier())).sheets[0]))


def test_sums_have_a_chart_only_where_there_are_open_quotes() -> None:
    assert len(laid_out(batched("a.xlsx", tier(), given=given())).sheets[0].charts) == 1
    assert laid_out(batched("a.xlsx", tier())).sheets[0].charts == ()


def test_the_chart_stands_over_the_sums() -> None:
    """Its figures are those of the table: title row, then one row an option."""
    sheet = laid_out(batched("a.xlsx", tier(), given=given())).sheets[0]
    titles = next(
        n for n, row in enumerate(sheet.rows) if [cell.content for cell in row.cells][:2] == ["Option", "Quotes"]
    )
    assert sheet.charts[0].series[0].values == f"='Batch'!$D${titles + 2}"
    assert sheet.charts[0].categories == f"='Batch'!$A${titles + 2}"


@pytest.mark.parametrize(
    ("job", "remark"),
    [
        (batched("a", tier(offered=False, reason="it is the same work")), "not offered: it is the same work"),
        (
            batched("a", tier(), given=given(items=frozenset({"B"}))),
            "other work than in the quote given; given: its costing",
        ),
        (batched("a", problems=(ERROR,)), "not priced: see Problems"),
        (batched("a"), "no option can be offered"),
    ],
)
def test_remarks_on_a_job(job: BatchedJob, remark: str) -> None:
    assert remark in " ".join(map(str, contents(laid_out(job).sheets[1])))


def test_an_amount_that_no_cell_keeps_stands_as_text() -> None:
    """Every digit of it: as a number it would be cut after fifteen."""
    huge = Decimal("10699999891930098.84")
    job = batched("a", replace(tier(), total=huge, subtotal=huge, cost=huge + 1), given=given())
    first, listed, _ = laid_out(job).sheets
    assert "10699999891930098.84" in contents(listed) and "10699999891930099.84" in contents(listed)
    assert "10699999891930002.54" in contents(first), "the difference of the sums"
    assert Decimal("96.30") in contents(first), "what a cell keeps is a number"


def test_a_copy_of_a_job_is_told_and_its_quote_counts_once() -> None:
    copy = replace(batched("a - Copy", tier(), given=given()), job="a", same_as="a")
    value = laid_out(batched("a", tier(), given=given()), copy)
    assert "the same number and version as a" in " ".join(map(str, contents(value.sheets[1])))
    found = contents(value.sheets[0])
    assert found[found.index("With the number and version of another file") + 1] == 1
    assert found[found.index("With a quote that was given") + 1] == 1


def test_a_cost_that_is_not_known_is_not_zero() -> None:
    job = batched("a", replace(tier(), cost=None))
    found = contents(laid_out(job).sheets[1])
    assert found.count("not known") == 3, "cost, what is left of it, and whether it loses"


def test_problems_errors_first_and_those_of_the_book_once() -> None:
    old = ToldProblem(place="shop book.xlsx:Parts!K2", severity="warning", message="old", remedy="Ask.")
    value = laid_out(batched("a", problems=(old, WARNING)), batched("b", problems=(old, ERROR)), book=(old,))
    rows = [[cell.content for cell in row.cells] for row in value.sheets[2].rows[1:]]
    assert [(row[0], row[2]) for row in rows] == [("shop book.xlsx", "warning"), ("b", "error"), ("a", "warning")]


def test_lists_have_an_end_that_is_told() -> None:
    many = tuple(batched(f"{n}.xlsx", tier("130.00"), problems=(WARNING,)) for n in range(MOST_LINES + 5))
    assert "And 5 more: see the sheet Jobs, column Loses money." in contents(laid_out(*many).sheets[0])
    worst = batched("a", problems=(ERROR,) * 1)
    flood = replace(worst, problems=tuple(replace(ERROR, place=f"a:{n}") for n in range(MOST_PROBLEMS + 3)))
    assert any("And 3 more" in str(each) for each in contents(laid_out(flood).sheets[2]))


def test_what_was_passed_over() -> None:
    found = contents(laid_out(batched("a", tier()), passed={"quote": 2, "costing": 0}).sheets[0])
    assert "Passed over, as they are no jobs: quote: 2." in found


def test_text_of_a_workbook_stays_text() -> None:
    """A customer named like a formula is a name."""
    job = replace(batched("=1+1.xlsx", tier("130.00")), customer="=HYPERLINK(1)", machine="+1")
    for sheet in laid_out(job).sheets:
        for row in sheet.rows:
            assert all(not cell.formula for cell in row.cells)
            assert all(cell.kind == "text" for cell in row.cells if str(cell.content).startswith("="))
