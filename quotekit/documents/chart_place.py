"""Where the chart of the years stands: on the paper in a row of its own, or beside it on screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from quotekit.documents.customer_chart import chart_note, chart_over_years
from quotekit.documents.customer_grid import Grid
from quotekit.documents.fingerprint import WORKING
from quotekit.documents.sheet import Chart, Row, blank, text
from quotekit.documents.working_sheet import Working
from quotekit.model.quote import Quote

_STYLE = "chart space"
_HIGH = 138.0
"""Points of the row a chart stands in."""
_BESIDE = (420, 260)


def chart_space(quote: Quote, grid: Grid) -> Iterator[Row]:
    """A row for the chart, with what it counts below it."""
    yield grid.gap()
    yield Row(cells=(blank(_STYLE, grid.columns),), height=_HIGH, keep_with_next=True)
    yield grid.fit(text(chart_note(quote), "quiet", grid.columns))


def charts(quote: Quote, rows: Sequence[Row], grid: Grid, working: Working) -> tuple[Chart, ...]:
    """The chart, in its row where there is one."""
    if working.chart_row is None:
        return ()
    line = next((n for n, row in enumerate(rows) if row.cells and row.cells[0].style == _STYLE), None)
    if line is None:
        row, column, (width, height) = 3, grid.columns + 1, _BESIDE
    else:
        row, column = line, 0
        width, height = sum(int(wide * 7 + 5) for wide in grid.widths) - 4, int(_HIGH * 4 / 3) - 2
    chart = chart_over_years(
        quote, sheet=WORKING, first_row=working.chart_row, row=row, column=column, width=width, height=height
    )
    return (chart if line is None else replace(chart, up_title=""),)
