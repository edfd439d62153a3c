"""Where the chart of the years stands: in a row of the paper where it fits, else beside it on screen."""

from __future__ import annotations

from quotekit.documents.chart_place import chart_space, charts
from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.page_breaks import pages_of
from quotekit.documents.sheet import Row, text
from quotekit.documents.working_sheet import lay_out_working
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.many_extras import job_with_extras
from tests.pricing.live.belt_shop import job, shop

GRID = Grid(options=2)


def quoted(**values: object) -> Quote:
    """Two options whose remedies all state a life."""
    return build_quote(shop(**values), job())


def test_a_row_for_it_with_what_it_counts_below() -> None:
    """A gap, the space over all columns kept with its note, and the note."""
    gap, space, note = chart_space(quoted(), GRID)
    assert gap.cells[0].style == "gap"
    assert (space.cells[0].style, space.cells[0].across, space.height) == ("chart space", 5, 138)
    assert space.keep_with_next
    assert str(note.cells[0].content).startswith("Today’s work and its repeats")


def test_in_its_row_it_is_as_wide_as_the_paper_and_no_higher_than_the_row() -> None:
    quote = quoted()
    rows = [Row(cells=(text("first"),)), *chart_space(quote, GRID)]
    (chart,) = charts(quote, rows, GRID, lay_out_working(quote))
    assert (chart.row, chart.column) == (2, 0)
    assert chart.width <= sum(width * 7 + 5 for width in GRID.widths)
    assert chart.height <= 138 * 4 / 3
    assert chart.up_title == ""


def test_without_a_row_it_stands_beside_the_paper() -> None:
    """A column of air is left between, and the line above it that says where to choose."""
    quote = quoted()
    (chart,) = charts(quote, [Row(cells=(text("first"),))], GRID, lay_out_working(quote))
    assert (chart.row, chart.column, chart.width, chart.height) == (3, 6, 420, 260)
    assert chart.up_title == "Before tax"


def test_its_figures_stand_on_the_hidden_sheet() -> None:
    """The row of years, then a row for each option, below the options."""
    quote = quoted()
    working = lay_out_working(quote)
    (chart,) = charts(quote, [], GRID, working)
    assert working.chart_row is not None
    first = working.chart_row + 1
    assert chart.categories == f"='Working'!$B${first}:$G${first}"
    assert [series.name for series in chart.series] == [f"='Working'!$A${first + 1}", f"='Working'!$A${first + 2}"]
    labels = [working.sheet.rows[first + n].cells[0].content for n in (0, 1)]
    assert labels == ["Good", "Better"]


def test_no_chart_where_a_life_is_not_stated() -> None:
    quote = quoted(
        remedies=[
            build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT-BUSHING"], life_years=None),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"]),
        ]
    )
    working = lay_out_working(quote)
    assert working.chart_row is None
    assert charts(quote, [], GRID, working) == ()
    assert lay_out_customer_quote(quote).sheets[0].charts == ()


def test_in_the_document_it_is_on_the_paper_where_it_fits() -> None:
    sheet = lay_out_customer_quote(quoted()).sheets[0]
    (chart,) = sheet.charts
    assert sheet.rows[chart.row].cells[0].style == "chart space"
    assert chart.column == 0
    assert pages_of(sheet.rows) == 2


def test_in_a_long_document_it_is_on_screen_only() -> None:
    """Forty things to tick leave no room on two pages."""
    sheet = lay_out_customer_quote(build_quote(*job_with_extras(40))).sheets[0]
    (chart,) = sheet.charts
    assert chart.column >= sheet.printed_columns
    above = [cell.content for row in sheet.rows[: chart.row] for cell in row.cells]
    assert any("To choose on screen" in content for content in above if isinstance(content, str))
    assert all(row.cells[0].style != "chart space" for row in sheet.rows if row.cells)
