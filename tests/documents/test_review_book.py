"""The sheets of the review as values: every figure of the records stands where a person looks for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.documents.costing_style import WIDEST
from quotekit.documents.review_blocks import CHART_POINTS, Drawing, block, cells, equal, lay_out_blocks
from quotekit.documents.review_book import lay_out_review
from quotekit.documents.review_jobs import lay_out_jobs, lay_out_variances, ranked
from quotekit.documents.review_quotes import lay_out_parts, lay_out_quotes
from quotekit.documents.review_summary import lay_out_summary
from quotekit.documents.review_text import lay_out_review_text
from quotekit.documents.review_times import FURTHEST, furthest, lay_out_times
from quotekit.documents.sheet import Cell, Chart, Row, Sheet, number, placed, row, text
from quotekit.model.review import Review
from tests.pricing.review.stories import a_job
from tests.review.reviews import EVIL, a_review, empty, every, full, hostile, season

D = Decimal


def texts(sheet: Sheet) -> list[str]:
    """Every text of a sheet, in order."""
    return [cell.content for line in sheet.rows for cell in line.cells if isinstance(cell.content, str)]


def line_of(sheet: Sheet, first: str) -> list[object]:
    """The contents of the row that begins with a text."""
    for line in sheet.rows:
        if line.cells and line.cells[0].content == first:
            return [cell.content for cell in line.cells]
    raise AssertionError(f"no row begins with {first!r}")


def column(sheet: Sheet, title: str) -> list[object]:
    """What stands below a title, up to the next row of another shape."""
    for number_of_row, line in enumerate(sheet.rows):
        at = {cell.content: place for place, cell in placed(line)}
        if title in at and all(cell.style.startswith("head") for cell in line.cells):
            below = [dict(placed(each)) for each in sheet.rows[number_of_row + 1 :]]
            return [cells_[at[title]].content for cells_ in below if at[title] in cells_]
    raise AssertionError(f"no column {title!r}")


def test_the_sheets_in_order() -> None:
    """What was left first, single jobs after it."""
    names = [sheet.name for sheet in lay_out_review(full()).sheets]
    assert names == ["Review", "Jobs", "Variances", "Times", "Quotes", "Parts"]


@pytest.mark.parametrize("name", every())
def test_every_sheet_fits_a_page_across(name: str) -> None:
    """On its side, for the shop only, and no row is wider than the columns."""
    for sheet in lay_out_review(every()[name]).sheets:
        assert sum(sheet.widths) <= WIDEST + 3
        assert (sheet.page.landscape, sheet.page.fit_wide) == (True, 1)
        assert "for the shop only" in sheet.page.footer
        assert all(sum(cell.across for cell in line.cells) <= len(sheet.widths) for line in sheet.rows)


@pytest.mark.parametrize("name", every())
def test_charts_point_at_numbers_of_their_table(name: str) -> None:
    """Each series is as long as its categories, and every cell of it holds a number or nothing."""
    found = 0
    for sheet in lay_out_review(every()[name]).sheets:
        for chart in sheet.charts:
            found += 1
            for series in chart.series:
                values = list(pointed(sheet, series.values))
                assert values
                assert all(isinstance(each, (Decimal, int)) or each in (None, "-", "not known") for each in values)
                (title,) = pointed(sheet, series.name)
                assert isinstance(title, str) and title
            assert len(list(pointed(sheet, chart.categories))) == len(values)
            assert chart.alt and chart.title
    assert found >= {"empty": 0, "hostile": 3}.get(name, 5)


def pointed(sheet: Sheet, formula: str) -> Iterator[object]:
    """What stands in the cells that a chart names."""
    name, _, area = formula.removeprefix("=").rpartition("!")
    assert name == f"'{sheet.name}'"
    first, _, last = area.replace("$", "").partition(":")
    letter, start = first[0], int(first[1:])
    for line in sheet.rows[start - 1 : int((last or first)[1:])]:
        yield dict(placed(line))[ord(letter) - 65].content


def test_charts_have_a_space_of_their_own() -> None:
    """No chart lies on a table."""
    for sheet in lay_out_review(full()).sheets:
        for chart in sheet.charts:
            assert sheet.rows[chart.row].height == CHART_POINTS
            assert chart.height <= CHART_POINTS * 4 / 3


def test_the_sums_on_the_first_sheet() -> None:
    """As in the record, with what is not known said."""
    review, sheet = full(), lay_out_summary(full())
    totals = review.totals
    assert line_of(sheet, "Invoiced before tax")[1] == totals.invoiced
    assert line_of(sheet, "Profit of the jobs")[1] == totals.profit
    assert line_of(sheet, "Contribution per bench hour")[1] == totals.per_bench_hour
    assert line_of(sheet, "Jobs")[1:] == [totals.jobs, f"profit known of {totals.known}: the amounts below are theirs"]
    assert line_of(sheet, "Labour time")[1:3] == [totals.variances.labour_time.amount, "U, unfavourable"]  # type: ignore[union-attr]
    assert line_of(sheet, "Of the profit, comebacks")[1] == sum(one.result or 0 for one in review.comebacks)
    assert line_of(sheet, "Productivity: sold by clock hours")[1] == review.productivity.productivity


def test_proposals_are_told_in_words() -> None:
    """What is now, what is proposed, between which ends, from how many jobs."""
    said = "\n".join(texts(lay_out_summary(full())))
    assert "FIT Fit: 0.5 h now" in said and "13 jobs" in said
    assert "RUSTY Rusty: 25% now" in said
    assert "None: no time" not in said
    assert "None: no time is off by a tenth beyond what chance explains." in texts(lay_out_summary(empty()))


def charts_of(review: Review) -> list[str]:
    """Titles of all charts."""
    return [chart.title for sheet in lay_out_review(review).sheets for chart in sheet.charts]


def test_what_is_not_known_is_no_zero() -> None:
    """One job that is not billed: no amount is shown as 0.00, and no chart of nothing is drawn."""
    review = a_review(a_job("1", invoiced=None))
    sheet = lay_out_summary(review)
    for label in ("Invoiced before tax", "Less labour, at what an hour costs the shop", "Profit of the jobs"):
        assert line_of(sheet, label)[1] == "not known"
    assert line_of(sheet, "2026-05")[2:5] == ["not known"] * 3
    assert charts_of(review) == [
        "Hours worked by standard hours: 1 is as timed",
        "Win rate where shown",
        "Quotes by days",
    ]
    assert charts_of(empty()) == []


def test_hours_that_were_not_written_down() -> None:
    """The job has no hours, not none; how many such jobs there are is said."""
    review = a_review(a_job("1", hours=""), a_job("2"))
    assert "In no ratio of hours: 1 job whose hours were not written down." in texts(lay_out_summary(review))
    worked = dict(zip(column(lay_out_jobs(review), "Job"), column(lay_out_jobs(review), "Hours worked"), strict=True))
    assert worked == {"2": D("0.5"), "1": None}


def test_other_currencies_are_told() -> None:
    """Jobs that were left out."""
    said = texts(lay_out_summary(a_review(a_job("1", currency="EUR"), a_job("2"))))
    assert "Left out: 1 job in another currency." in said


def test_jobs_stand_by_what_a_bench_hour_left() -> None:
    """The best first; those of which it is not known last."""
    listed = ranked(full())
    known = [job.per_bench_hour for job in listed if job.per_bench_hour is not None]
    assert known == sorted(known, reverse=True)
    assert [job.job for job in listed if job.per_bench_hour is None] == [job.job for job in listed[len(known) :]]
    shown = column(lay_out_jobs(full()), "Job")
    assert shown == [job.job for job in listed]


def test_marks_and_reasons_of_a_job() -> None:
    """What sets it apart, whose comeback it is, and what is not known."""
    marks = dict(zip(column(lay_out_jobs(full()), "Job"), column(lay_out_jobs(full()), "Marks"), strict=True))
    assert marks["C1"] == "comeback; of J3"
    assert marks["U1"] == "cost of part BELT; cost of sublet TURN"
    assert marks["S1"] == "not billed"
    assert marks["J0"] is None


def test_variances_of_each_job() -> None:
    """In the order of closing, with F or U beside each."""
    sheet = lay_out_variances(full())
    assert column(sheet, "Job") == [job.job for job in full().jobs]
    (job,) = [job for job in full().jobs if job.job == "J0"]
    assert job.variances.material_price.sign == "U"
    line = next(line for line in sheet.rows if len(line.cells) > 1 and line.cells[1].content == "J0")
    assert [cell.content for cell in line.cells][7:9] == [job.variances.material_price.amount, "U"]


def test_times_furthest_from_their_standard() -> None:
    """At most twelve, the furthest first, of usual jobs alone."""
    far = furthest(season())
    distances = [abs(one.shrunk - 1) for one in far]
    assert len(far) == FURTHEST and distances == sorted(distances, reverse=True)
    assert {one.circumstance for one in far} == {"usual"}


def test_every_measured_time_is_listed_once() -> None:
    """By code, with its circumstance; split hours apart."""
    sheet = lay_out_times(season())
    listed = [cell.content for cell in every_row_of(sheet, "Every operation and step that was measured")]
    assert listed == sorted(one.code for one in season().accuracy)
    assert any(words.startswith("Hours that were split") for words in texts(sheet))


def every_row_of(sheet: Sheet, section: str) -> Iterator[Cell]:
    """The first cells of the rows below a section's titles."""
    at = next(place for place, line in enumerate(sheet.rows) if line.cells and line.cells[0].content == section)
    for line in sheet.rows[at + 2 :]:
        yield line.cells[0]


def test_older_times_are_said() -> None:
    """Jobs that had another standard time."""
    older = replace(full(), accuracy=tuple(replace(one, older=3) for one in full().accuracy))
    assert any("3 under an older time" in words for words in texts(lay_out_times(older)))


def test_quotes() -> None:
    """Options where shown, ages, reasons, chances."""
    review, sheet = full(), lay_out_quotes(full())
    shown = {one.name: one.rate for one in review.wins}
    for name, rate in shown.items():
        assert line_of(sheet, name)[7] == (rate if rate is not None else "-")
    assert line_of(sheet, "price")[1] == 1
    assert line_of(sheet, "0-3 days")[1] == review.ageing[0].open
    chances = {(one.name, one.subtotal): one for one in review.losses}
    lines = [[cell.content for cell in line.cells] for line in sheet.rows if line.cells[0].content == "Q1-1"]
    assert [(line[1], line[2], line[6]) for line in lines] == [
        (name, subtotal, one.chance) for (name, subtotal), one in chances.items()
    ]


def test_too_few_jobs_are_said() -> None:
    """In place of a chance."""
    few = a_review(a_job("1"), a_job("2", hours=None, accepted_on=None, issued_on=full().span.last))
    assert "too few jobs" in texts(lay_out_quotes(few))


def test_nothing_to_tell() -> None:
    """Each section of an empty review says so."""
    said = texts(lay_out_quotes(empty()))
    assert {"None was.", "No quote is open whose cost is known."} <= set(said)


def test_parts_by_band() -> None:
    """Sales, cost, margin of each band, and all together in words."""
    sheet = lay_out_parts(full())
    bands = full().parts.bands
    assert column(sheet, "Sales")[: len(bands)] == [one.sales for one in bands]
    assert any(words.startswith("Together $") for words in texts(sheet))
    assert any("In no band: 1 line of parts of unknown cost" in words for words in texts(sheet))


def test_hostile_texts_stay_texts() -> None:
    """No cell of any sheet is a formula or a link."""
    for sheet in lay_out_review(hostile()).sheets:
        for line in sheet.rows:
            assert [cell for cell in line.cells if cell.formula or cell.link] == []
    assert EVIL in texts(lay_out_jobs(hostile()))


def blocks_of(*heights: float) -> Sheet:
    """Blocks of one row of each height."""
    rows: list[Row] = [row(text(f"block {n}"), height=tall) for n, tall in enumerate(heights)]
    return lay_out_blocks(a_small_review(), "S", equal(2), [block([line], equal(2)) for line in rows])


def a_small_review() -> Review:
    """Whatever it says."""
    return empty()


@pytest.mark.parametrize(
    ("heights", "fresh"),
    [((100, 100), [False, False]), ((300, 300), [False, True]), ((300, 100, 300), [False, False, True]),
     ((600, 100), [False, False])],
)  # fmt: skip
def test_blocks_are_not_cut_where_a_page_can_hold_them(heights: tuple[float, ...], fresh: list[bool]) -> None:
    """A block that does not fit in what is left of a page begins a new one; one larger than a page flows on."""
    assert [line.break_before for line in blocks_of(*heights).rows] == fresh


def test_a_list_that_flows_on_begins_where_there_is_room() -> None:
    """No page holds two lines above a list and nothing else; a list begins below them, and its titles are repeated."""
    above = block([row(text("words"), height=40)], equal(2))
    listed = block([*(row(text(f"{n}"), height=20) for n in range(60))], equal(2))
    sheet = lay_out_blocks(a_small_review(), "S", equal(2), [above, listed], head=1)
    assert not any(line.break_before for line in sheet.rows)
    assert (sheet.page.repeat_from, sheet.page.repeat_rows) == (2, 1)
    tall = block([row(text("words"), height=480)], equal(2))
    assert lay_out_blocks(a_small_review(), "S", equal(2), [tall, listed], head=1).rows[1].break_before


def test_days_without_jobs_have_no_variances() -> None:
    """Nothing was bought and nobody worked: no 0.00 that means nothing, on paper or on the screen."""
    for words in ([*texts(lay_out_summary(empty()))], [*lay_out_review_text(empty())]):
        assert not any("Material price" in line or "Labour rate" in line for line in words)
    assert "Material price" in texts(lay_out_summary(full()))


def test_dates_stand_left_of_job_numbers() -> None:
    """A date to the right of its column would touch the number beside it."""
    for sheet in (lay_out_jobs(full()), lay_out_variances(full())):
        assert {cell.style for line in sheet.rows for cell in line.cells if cell.kind == "date"} == {"left"}


def test_a_shop_without_a_name() -> None:
    """Where no shop book can be read: no lonely full stop, no comma at the foot of a page."""
    sheet = lay_out_summary(replace(full(), shop_name=""))
    assert texts(sheet)[1].startswith("Amounts in USD")
    assert "&8review 2026" in sheet.page.footer


def test_the_titles_of_the_jobs_are_repeated() -> None:
    """The row that every page repeats is the one with the titles, below the notes."""
    sheet = lay_out_jobs(full())
    assert sheet.rows[sheet.page.repeat_from].cells[0].content == "Closed"
    assert sheet.rows[sheet.page.repeat_from].cells[1].content == "Job"


def test_charts_side_by_side() -> None:
    """Two charts share the width, and each begins at a column."""
    table = [row(text("Name"), text("A"), text("B")), row(text("x"), number(1), number(2))]
    drawings = [Drawing(title=title, head=0, count=1, values=(n,)) for n, title in enumerate("AB", start=1)]
    made = block(table, equal(3), drawings, sheet="S")
    charts: list[Chart] = [make(10) for make in made.charts]
    assert [(chart.row, chart.column) for chart in charts] == [(12, 0), (12, 2)]
    assert [chart.series[0].values for chart in charts] == ["='S'!$B$12", "='S'!$C$12"]
    assert charts[0].categories == cells("S", 0, 11, 11)
