"""A chart in the file, for a black and white printer: lines are told apart by dash, marker and grey, bars by grey.

Its figures may stand on a hidden sheet. Its size is fixed: it moves with its cell and keeps its shape.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from quotekit.documents.sheet import Chart, Series, Sheet
from quotekit.workbook.cannot_write import done, refused
from quotekit.workbook.printable import printable

_INK = "#000000"
_QUIET = "#595959"
_GRID = "#D0D0D0"
_PENS = (("#8C8C8C", 3.5, 10), ("#595959", 2.5, 8), ("#000000", 1.75, 7), ("#000000", 1.25, 5))
"""Ink, points of the line and size of the marker: each line is thinner and darker than those it may lie on."""
_FINE_PENS = (("#000000", 1.75, 5), ("#595959", 1.75, 5), ("#000000", 1.25, 4), ("#8C8C8C", 1.25, 4))
"""Where values are close together along a scale, and lines cross rather than lie on each other."""
_GREYS = ("#404040", "#C8C8C8", "#FFFFFF", "#808080")
"""Of the bars of one chart, in the order of its series."""
_DASHES = {"solid": "solid", "dash": "dash", "square_dot": "round_dot", "long_dash_dot": "long_dash_dot"}
_MOVES_ONLY = 2
_WIDE = 2.5
"""Times its height: a chart as wide has no room to spare above and below its lines."""


def write_chart(book: Any, page: Any, sheet: Sheet, chart: Chart, font: str) -> None:
    """One chart at its cell."""
    where = (chart.row, chart.column)
    if any(words.startswith("=") for words in (chart.title, chart.across_title, chart.up_title)):
        raise refused(sheet, where, "a title of a chart is a text and does not start with =")
    scale = chart.across
    drawn = book.add_chart(_kind_of(chart))
    for number, series in enumerate(chart.series):
        done(drawn.add_series((_bars if chart.bars else _series)(number, series, chart)), sheet, where)
    wide = chart.width > _WIDE * chart.height
    title = {"name": chart.title, "name_font": _font(font, 9 if wide else 11, bold=True)}
    drawn.set_title(title if chart.title else {"none": True})
    drawn.set_x_axis(_axis(chart.across_title, font) | (_named(chart) if chart.bars else _along(scale)))
    drawn.set_y_axis(_axis(chart.up_title, font) | _upright(chart))
    alone = bool(chart.bars) and len(chart.series) == 1
    legend = {"none": True} if alone else {"position": "right" if wide else "bottom", "font": _font(font, 9)}
    drawn.set_legend(legend)
    drawn.set_chartarea({"border": {"none": True}, "fill": {"color": "#FFFFFF"}})
    drawn.set_plotarea({"fill": {"none": True}})
    drawn.set_size({"width": chart.width, "height": chart.height})
    drawn.show_hidden_data()
    drawn.show_blanks_as("gap")
    options = {"description": printable(chart.alt), "object_position": _MOVES_ONLY}
    done(page.insert_chart(chart.row, chart.column, drawn, options), sheet, where)


def _series(number: int, series: Series, chart: Chart) -> dict[str, Any]:
    pens = _PENS if chart.across is None else _FINE_PENS
    ink, width, size = pens[number % len(pens)]
    return {
        "name": series.name,
        "categories": chart.categories,
        "values": series.values,
        "line": {"color": ink, "width": width, "dash_type": _DASHES[series.dash]},
        "marker": {
            "type": series.marker,
            "size": size,
            "fill": {"color": "#FFFFFF"},
            "border": {"color": ink, "width": 1.5},
        },
        "smooth": False,
    }


def _kind_of(chart: Chart) -> dict[str, str]:
    if chart.bars:
        return {"type": "bar" if chart.bars == "lying" else "column"}
    return {"type": "line"} if chart.across is None else {"type": "scatter", "subtype": "straight_with_markers"}


def _bars(number: int, series: Series, chart: Chart) -> dict[str, Any]:
    return {
        "name": series.name,
        "categories": chart.categories,
        "values": series.values,
        "fill": {"color": _GREYS[number % len(_GREYS)]},
        "border": {"color": _INK, "width": 0.75},
        "gap": 60,
    }


def _named(chart: Chart) -> dict[str, Any]:
    """Names under the bars, also where a bar lies below zero; lying bars are read from the top."""
    return {"label_position": "low"} | ({"reverse": True} if chart.bars == "lying" else {})


def _axis(title: str, font: str) -> dict[str, Any]:
    named = {"name": title, "name_font": _font(font, 9)} if title else {}
    return {"num_font": _font(font, 9), "line": {"color": _QUIET}, **named}


def _along(scale: tuple[Decimal, Decimal, Decimal] | None) -> dict[str, Any]:
    """Categories at equal distances, or numbers where they belong."""
    if scale is None:
        return {"position_axis": "on_tick"}
    first, last, step = (float(number) for number in scale)
    return {"min": first, "max": last, "major_unit": step}


def _upright(chart: Chart) -> dict[str, Any]:
    numbers = {"num_format": chart.number_format} if chart.number_format else {}
    least = {} if chart.below_zero else {"min": 0}
    return {**least, "major_gridlines": {"visible": True, "line": {"color": _GRID, "width": 0.75}}, **numbers}


def _font(name: str, size: int, bold: bool = False) -> dict[str, Any]:
    return {"name": name, "size": size, "bold": bold, "color": _INK}
