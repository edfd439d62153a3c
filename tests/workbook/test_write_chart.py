"""A chart that a black and white printer keeps readable, and whose figures may stand on a hidden sheet."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import Any

import openpyxl
import pytest

from quotekit.documents.sheet import Chart, Series, Sheet, WorkbookValue, number, row, text
from quotekit.workbook.write_sheet import CannotWrite, workbook_bytes
from tests.workbook.test_live_cells import workbook

DASHES: tuple[Any, ...] = ("solid", "dash", "square_dot", "long_dash_dot")
MARKERS: tuple[Any, ...] = ("circle", "square", "diamond", "triangle")


def drawn(**changed: Any) -> WorkbookValue:
    """Four lines over a hidden sheet."""
    lines = tuple(
        Series(name=f"=Working!$A${line}", values=f"=Working!$B${line}:$D${line}", dash=dash, marker=marker)
        for line, (dash, marker) in enumerate(zip(DASHES, MARKERS, strict=True), start=2)
    )
    chart = Chart(
        row=1, column=0, width=500, height=260, title="Over the years", categories="=Working!$B$1:$D$1", series=lines,
        across_title="Years from now", up_title="Before tax", number_format='"$"#,##0', alt="Four lines that rise",
    )  # fmt: skip
    figures = [row(text("Years"), number(0), number(1), number(2))]
    figures += [row(text(f"Option {line}"), *(number(100 * line + year) for year in range(3))) for line in range(1, 5)]
    return workbook(
        Sheet(name="Quote", rows=(row(text("x")),), widths=(60,), charts=(replace(chart, **changed),)),
        Sheet(name="Working", rows=tuple(figures), widths=(10, 10, 10, 10), hidden=True),
    )


def xml(value: WorkbookValue, name: str = "xl/charts/chart1.xml") -> str:
    """One part of the file."""
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(value))) as package:
        return package.read(name).decode()


def test_lines_differ_by_dash_and_marker_and_have_no_colour() -> None:
    chart = xml(drawn())
    assert re.findall(r'<c:symbol val="(\w+)"', chart) == list(MARKERS)
    lines = re.findall(
        r'<a:ln w="(\d+)"><a:solidFill><a:srgbClr val="(\w+)"/></a:solidFill><a:prstDash val="(\w+)"', chart
    )
    assert [dash for _, _, dash in lines] == ["solid", "dash", "sysDot", "lgDashDot"]
    colours = set(re.findall(r'<a:srgbClr val="(\w{6})"', chart))
    assert all(len({one[:2], one[2:4], one[4:]}) == 1 for one in colours), colours
    assert chart.count('<a:srgbClr val="FFFFFF"/></a:solidFill><a:ln w="19050">') == 4


def test_a_line_that_lies_on_another_hides_neither() -> None:
    """Each is thinner and darker, its marker smaller, than those before it."""
    each = re.findall(r"<c:ser>.*?</c:ser>", xml(drawn()))
    widths = [int(re.findall(r'<a:ln w="(\d+)"', one)[0]) for one in each]
    greys = [int(re.findall(r'<a:srgbClr val="(\w\w)', one)[0], 16) for one in each]
    sizes = [int(re.findall(r'<c:size val="(\d+)"', one)[0]) for one in each]
    assert len(set(widths)) == 4 and widths == sorted(widths, reverse=True)
    assert greys == sorted(greys, reverse=True) and greys[0] < 0x95
    assert len(set(sizes)) == 4 and sizes == sorted(sizes, reverse=True)


def test_hidden_figures_are_drawn_and_stored() -> None:
    chart = xml(drawn())
    assert '<c:plotVisOnly val="1"/>' not in chart
    assert "<c:f>Working!$B$2:$D$2</c:f>" in chart and "<c:v>402</c:v>" in chart
    assert "<c:v>Option 3</c:v>" in chart


def test_titles_legend_and_words_for_who_cannot_see() -> None:
    chart = xml(drawn())
    assert re.findall(r"<a:t>([^<]*)</a:t>", chart) == ["Over the years", "Years from now", "Before tax"]
    assert '<c:legendPos val="b"/>' in chart and '<c:numFmt formatCode="&quot;$&quot;#,##0"' in chart
    drawing = xml(drawn(), "xl/drawings/drawing1.xml")
    assert 'descr="Four lines that rise"' in drawing and 'editAs="oneCell"' in drawing


def test_the_same_chart_gives_the_same_bytes_and_another_library_reads_it() -> None:
    assert workbook_bytes(drawn()) == workbook_bytes(drawn())
    (chart,) = openpyxl.load_workbook(io.BytesIO(workbook_bytes(drawn())))["Quote"]._charts
    assert len(chart.series) == 4


@pytest.mark.parametrize(
    "changed", [{"title": "=1+1"}, {"row": -1}, {"series": (Series(name="=Gone!$A$1", values="=Gone!$B$1:$C$1"),)}]
)
def test_a_chart_that_leads_nowhere_is_refused(changed: Any) -> None:
    with pytest.raises(CannotWrite):
        workbook_bytes(drawn(**changed))


def test_numbers_along_a_scale_stand_where_they_belong() -> None:
    """Uneven numbers would be drawn evenly as categories: the line would bend where nothing does."""
    scale = (Decimal(1200), Decimal(2200), Decimal(200))
    chart = xml(drawn(across=scale))
    assert "<c:scatterChart>" in chart and "<c:lineChart>" not in chart
    assert chart.count("<c:xVal>") == 4 and "<c:f>Working!$B$1:$D$1</c:f>" in chart
    across = chart[chart.index("<c:valAx>") : chart.index("</c:valAx>")]
    for tag in ('<c:max val="2200.0"/>', '<c:min val="1200.0"/>', '<c:majorUnit val="200.0"/>'):
        assert tag in across
    assert re.findall(r'<a:prstDash val="(\w+)"', chart) == ["solid", "dash", "sysDot", "lgDashDot"]


def test_categories_have_no_scale() -> None:
    assert "<c:lineChart>" in xml(drawn()) and "majorUnit" not in xml(drawn())


@pytest.mark.parametrize(("bars", "direction"), [("upright", "col"), ("lying", "bar")])
def test_bars_are_told_apart_by_grey(bars: Any, direction: str) -> None:
    """Four greys with a black edge; names stand below the bars also where a value lies below zero."""
    chart = xml(drawn(bars=bars))
    assert f'<c:barDir val="{direction}"/>' in chart and "<c:lineChart>" not in chart
    fills = re.findall(r'<c:spPr><a:solidFill><a:srgbClr val="(\w{6})"/></a:solidFill><a:ln', chart)
    assert all(one[:2] == one[2:4] == one[4:] for one in fills)
    shades = sorted(int(one[:2], 16) for one in fills[:4])
    assert min(lighter - darker for darker, lighter in pairwise(shades)) >= 0x37
    assert '<c:tickLblPos val="low"/>' in chart


@pytest.mark.parametrize(("below_zero", "begins"), [(False, True), (True, False)])
def test_the_scale_of_bars_begins_at_zero(below_zero: bool, begins: bool) -> None:
    """A bar is read by its length; only values below zero let the scale begin lower."""
    chart = xml(drawn(bars="upright", below_zero=below_zero))
    assert ('<c:min val="0"/>' in chart) is begins


@pytest.mark.parametrize(("count", "shown"), [(1, False), (2, True)])
def test_one_row_of_bars_needs_no_legend(count: int, shown: bool) -> None:
    """Its title says what it is."""
    series = drawn().sheets[0].charts[0].series[:count]
    assert ("<c:legend>" in xml(drawn(bars="upright", series=series))) is shown
