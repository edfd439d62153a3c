"""The picture of the choice: its figures, where they stand, and when there is none."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.documents.customer_chart import (
    chart_alt,
    chart_note,
    chart_over_years,
    chart_rows,
    chart_title,
    has_chart,
    years_compared,
)
from quotekit.documents.money_text import formats
from quotekit.documents.sheet import Look, Properties, Row, Sheet, WorkbookValue
from quotekit.model.quote import Quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests.documents import quotes

D = Decimal
GOOD, BETTER = "180.00 290.00 290.00 400.00", "320.00 320.00 320.00 320.00"


def quoted(*figures: str, job: dict[str, Any] | None = None, **settings: Any) -> Quote:
    """A quote whose offered options have these figures over three years."""
    quote = quotes.three()
    model = quote.tiers[0]
    tiers = tuple(
        replace(model, code=f"t{at}", name=f"Way {at}", offered=True, reason=None, over_years=_amounts(line))
        for at, line in enumerate(figures, start=1)
    )
    settings = {"years_to_compare": D(3), "interest_a_year": D(0), **settings}
    book = replace(quote.book, settings=replace(quote.book.settings, **settings))
    return replace(quote, tiers=tiers, book=book, job=replace(quote.job, **(job or {})))


def _amounts(line: str) -> tuple[Decimal, ...]:
    return tuple(D(amount) for amount in line.split())


def contents(rows: tuple[Row, ...]) -> list[list[Any]]:
    """What the cells hold."""
    return [[cell.content for cell in line.cells] for line in rows]


def test_rows_of_figures() -> None:
    """Years across, an option a row; the document's own labels where they are given."""
    rows = chart_rows(quoted(GOOD, BETTER))
    assert contents(rows) == [
        ["Years", 0, 1, 2, 3],
        ["Way 1", *_amounts(GOOD)],
        ["Way 2", *_amounts(BETTER)],
    ]
    assert {cell.kind for cell in rows[1].cells} == {"text", "money"}
    named = chart_rows(quoted(GOOD, BETTER), labels=("Option 1: mend", "Option 2: mend"))
    assert [line.cells[0].content for line in named] == ["Years", "Option 1: mend", "Option 2: mend"]


def test_a_horizon_between_years_is_the_last_year() -> None:
    quote = quoted(GOOD, BETTER, job={"years_it_could_last": D("2.5")})
    assert contents(chart_rows(quote))[0] == ["Years", 0, 1, 2, D("2.5")]
    assert chart_title(quote) == "What each option comes to over 2.5 years"


@pytest.mark.parametrize(
    ("job", "years"),
    [({}, 3), ({"years_to_compare": D(8)}, 8), ({"years_to_compare": D(8), "years_it_could_last": D(1)}, 1)],
)
def test_the_years_compared(job: dict[str, Any], years: int) -> None:
    assert years_compared(quoted(GOOD, BETTER, job=job)) == years


def test_one_year_is_no_plural() -> None:
    assert chart_title(quoted(GOOD, BETTER, job={"years_to_compare": D(1)})).endswith("over 1 year")


def test_the_chart_says_where_its_figures_stand() -> None:
    chart = chart_over_years(
        quoted(GOOD, BETTER), sheet="Joe's", first_row=20, row=4, column=1, width=600, height=280
    )  # fmt: skip
    assert (chart.row, chart.column, chart.width, chart.height) == (4, 1, 600, 280)
    assert chart.categories == "='Joe''s'!$B$21:$E$21"
    assert [(one.name, one.values) for one in chart.series] == [
        ("='Joe''s'!$A$22", "='Joe''s'!$B$22:$E$22"),
        ("='Joe''s'!$A$23", "='Joe''s'!$B$23:$E$23"),
    ]
    assert (chart.across_title, chart.up_title) == ("Years from now", "Before tax")


def test_eight_lines_differ_and_more_are_not_drawn() -> None:
    quote = quoted(*[GOOD] * 8)
    series = chart_over_years(quote, sheet="S", first_row=0, row=0, column=0, width=9, height=9).series
    assert len({(one.dash, one.marker) for one in series}) == 8
    assert not has_chart(quoted(*[GOOD] * 9))


@pytest.mark.parametrize("figures", [(), (GOOD,), (GOOD, ""), ("100.00", "120.00")])
def test_no_chart_where_nothing_can_be_compared(figures: tuple[str, ...]) -> None:
    """No option, one option, an option with a life not stated, or no year to look ahead."""
    quote = quoted(*figures)
    assert not has_chart(quote) and chart_rows(quote) == ()


def test_an_option_not_offered_is_not_drawn() -> None:
    quote = quoted(GOOD, BETTER, "")
    hidden = replace(quote.tiers[2], offered=False, reason="the same work")
    assert len(chart_rows(replace(quote, tiers=(*quote.tiers[:2], hidden)))) == 3


@pytest.mark.parametrize(
    ("currency", "figures", "shown"),
    [
        ("USD", GOOD, '"$"#,##0;"-$"#,##0'),
        ("USD", "1.00 2.00 3.00 99.99", '"$"#,##0.00;"-$"#,##0.00'),
        ("JPY", "180 290 290 400", '"¥"#,##0;"-¥"#,##0'),
    ],
)
def test_a_scale_of_large_amounts_has_no_cents(currency: str, figures: str, shown: str) -> None:
    quote = replace(quoted(figures, figures, language="en_US"), currency=currency)
    chart = chart_over_years(quote, sheet="S", first_row=0, row=0, column=0, width=9, height=9)
    assert chart.number_format == shown


def test_words_for_who_cannot_see_it() -> None:
    quote = quoted(GOOD, BETTER, language="en_US")
    assert chart_alt(quote) == (
        "What each option comes to over 3 years. Way 1: $180.00 now, $400.00 in the end; "
        "Way 2: $320.00 now, $320.00 in the end. "
        "Today’s work and its repeats; before tax. Estimates, not a guarantee."
    )


def test_the_note_says_that_later_work_counts_less_where_it_does() -> None:
    assert "worth" not in chart_note(quoted(GOOD, BETTER))
    assert "later ones at today’s worth" in chart_note(quoted(GOOD, BETTER, interest_a_year=D("0.05")))


def test_it_is_written_with_its_figures() -> None:
    """The names and figures are in the chart's own part, for programs that do not calculate."""
    quote = quoted(GOOD, BETTER)
    chart = chart_over_years(quote, sheet="Working", first_row=0, row=0, column=0, width=600, height=280)
    value = WorkbookValue(
        sheets=(
            Sheet(name="Quote", rows=(Row(),), widths=(60,), charts=(chart,)),
            Sheet(name="Working", rows=chart_rows(quote), widths=(12,) * 5, hidden=True),
        ),
        properties=Properties(created=date(2026, 1, 2)),
        formats=formats("USD", "en_US"),
        looks={"body": Look()},
    )
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(value))) as package:
        part = package.read("xl/charts/chart1.xml").decode()
    assert "<c:v>Way 2</c:v>" in part and "<c:v>290</c:v>" in part
