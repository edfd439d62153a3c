"""The shop rate as a workbook of one page: the rates, how those in force stand, the table with its chart, the build-up.

For the shop only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from quotekit.documents.costing_style import LOOKS, fit, head, note, section
from quotekit.documents.footer_text import footer_text
from quotekit.documents.money_text import money_format, paper_of
from quotekit.documents.rate_chart import OWN, hours, rate_charts, rate_rows
from quotekit.documents.rate_words import (
    burden_words,
    cost_words,
    in_hours,
    in_money,
    parts_words,
    profit_words,
    standing_words,
    swing_words,
)
from quotekit.documents.sheet import (
    Cell,
    Page,
    Properties,
    Row,
    Sheet,
    WorkbookValue,
    blank,
    day,
    money,
    row,
    text,
)
from quotekit.documents.sheet import number as number_cell
from quotekit.model.rate import RateInForce, ShopRate
from quotekit.money import minor_digits, round_to
from quotekit.problems import Problem

NAME = "Shop rate"
COLUMNS = 8
WIDTHS = (12.1,) * COLUMNS
_LEFT, _FIGURE, _RIGHT = 5, 1, 2
"""Columns of a line: its words, its figure, what is said of it."""
_PAGE_POINTS = {"Letter": 792.0 - 80, "A4": 842.0 - 80}
_SMALLEST = 1.7
"""Times a page: a sheet taller than this would not be readable on one page, and goes on to the next."""


def lay_out_rate_book(rate: ShopRate, problems: Iterable[Problem] = ()) -> WorkbookValue:
    """The whole workbook."""
    return WorkbookValue(
        sheets=(lay_out_rate_sheet(rate, tuple(problems)),),
        properties=Properties(title="Shop rate", subject="For the shop only", author=rate.shop_name, created=rate.on),
        formats={
            "money": money_format(rate.currency, rate.language),
            "number": "General",
            "hours": "#,##0.0###",
            "percent": "0.0##%",
            "date": "yyyy-mm-dd",
        },
        looks=LOOKS,
    )


def lay_out_rate_sheet(rate: ShopRate, problems: tuple[Problem, ...] = ()) -> Sheet:
    """The sheet and its chart."""
    above = _fitted(
        [*_opening(rate), *_figures(rate), *_in_force(rate), *section("The rate against sold hours", COLUMNS)]
    )
    table = _fitted(rate_rows(rate))
    below = _fitted([*_costs(rate), *_hours(rate), *_warnings(problems)])
    rows = (*above, *table, *below)
    return Sheet(
        name=NAME,
        rows=rows,
        widths=WIDTHS,
        page=_page(rate, rows),
        charts=rate_charts(rate, table, NAME, len(above)),
    )


def _fitted(rows: Iterable[Row]) -> list[Row]:
    return [piece for line in rows for piece in fit(line, WIDTHS)]


def _page(rate: ShopRate, rows: Iterable[Row]) -> Page:
    paper = paper_of(rate.language)
    tall = sum(line.height or 0.0 for line in rows)
    return Page(
        paper=paper,
        fit_tall=1 if tall <= _SMALLEST * _PAGE_POINTS[paper] else 0,
        footer=f"&L&8{footer_text(rate.shop_name)}, for the shop only&R&8&P of &N",
        left=0.5,
        right=0.5,
        top=0.5,
        bottom=0.6,
    )


def _opening(rate: ShopRate) -> Iterator[Row]:
    yield row(text("What an hour must sell for", "title", COLUMNS))
    words = f"{rate.shop_name}. A year in {rate.currency}, before tax; each figure is rounded once, from exact amounts."
    yield note(words, COLUMNS)


def _line(words: str, figure: Cell, said: str = "", style: str = "body") -> Row:
    return row(text(words, style, _LEFT), figure, text(said, "aside", _RIGHT))


def _figures(rate: ShopRate) -> Iterator[Row]:
    build, rates, digits = rate.build, rate.rates, minor_digits(rate.currency)
    yield from section("The rate", COLUMNS)
    yield _line("Cost to cover", money(rate.cost_to_cover))
    yield _line("Less what parts leave", money(round_to(build.parts_contribution, digits)), parts_words(rate))
    yield _line("Labour sales to break even", money(rates.break_even_sales, "sum money"), "", "sum")
    sold = f"of {in_hours(rate, build.clock_hours)} clock hours"
    yield _line("Sold hours", hours(build.sold_hours), sold)
    yield _line("Break-even rate", money(rates.break_even, "grand money"), "an hour", "grand")
    if rates.labour_sales is not None and rates.for_profit is not None and rate.profit is not None:
        yield _line(f"Profit wanted: {profit_words(rate)}", money(rate.profit))
        yield _line("Labour sales with that profit", money(rates.labour_sales, "sum money"), "", "sum")
        yield _line("Rate with the profit", money(rates.for_profit, "grand money"), "an hour", "grand")
    yield from _without_parts(rate)
    if swing_words(rate):
        yield note(swing_words(rate), COLUMNS)


def _without_parts(rate: ShopRate) -> Iterator[Row]:
    """What labour alone would have to bring; the same as above where there are no parts."""
    if not rate.build.parts_contribution:
        return
    none = rate.without_parts
    yield _line("Without parts: break-even rate", money(none.break_even), "an hour")
    if none.for_profit is not None and none.labour_sales is not None:
        said = f"labour {in_money(rate, none.labour_sales)}"
        yield _line("Without parts: rate with the profit as a share of labour", money(none.for_profit), said)


def _in_force(rate: ShopRate) -> Iterator[Row]:
    yield from section(f"Rates in force on {rate.on.isoformat()}", COLUMNS)
    if not rate.in_force:
        yield note("None.", COLUMNS)
        return
    yield head("Code", ("Name", 2), "Since", "Hours due", "Rate", ("", 2), right=(2, 3, 4))
    for each in rate.in_force:
        yield _rate_row(rate, each)
    yield note(
        "Hours due: the hours that must be sold to cover the year at this rate, the parts selling along with them.",
        COLUMNS,
    )


def _rate_row(rate: ShopRate, each: RateInForce) -> Row:
    standing = standing_words(each, profit_wanted=rate.rates.for_profit is not None)
    return row(
        text(each.code),
        text(each.name, across=2),
        _since(each.in_force_from),
        text("never", "right") if each.break_even_hours is None else hours(each.break_even_hours),
        money(each.rate, OWN if each.below_break_even else "money"),
        text(standing, "aside", _RIGHT),
    )


def _since(start: date | None) -> Cell:
    return blank("right") if start is None else day(start, "right")


def _costs(rate: ShopRate) -> Iterator[Row]:
    digits = minor_digits(rate.currency)
    yield from section("What the year costs", COLUMNS)
    yield head(("Line", 2), ("Kind", 3), "Amount", ("From", 2), right=(2,))
    for cost in rate.build.costs:
        amount = money(round_to(cost.amount, digits))
        yield row(
            text(cost.line, across=2),
            text(cost_words(rate, cost), across=3),
            amount,
            _cell_of(cost.source.place("Amount").cell),
        )
    yield _line("Cost to cover", money(rate.cost_to_cover, "sum money"), "", "sum")
    if burden_words(rate):
        yield note(burden_words(rate), COLUMNS)


def _hours(rate: ShopRate) -> Iterator[Row]:
    yield from section("How many hours are sold", COLUMNS)
    titles = (("Line", 2), "Clock hours", "At the bench", "Efficiency", "Sold hours", ("From", 2))
    yield head(*titles, right=(1, 2, 3, 4))
    for each in rate.build.hours:
        yield row(
            text(each.line, across=2),
            hours(each.clock),
            number_cell(round_to(each.share, 6), kind="percent"),
            number_cell(round_to(each.efficiency, 6), kind="percent"),
            hours(each.sold),
            _cell_of(each.source.place("Amount").cell),
        )
    clock, sold = rate.build.clock_hours, rate.build.sold_hours
    yield row(
        text("Together", "sum", 2),
        hours(clock, "sum money"),
        blank("sum"),
        blank("sum"),
        hours(sold, "sum money"),
        text("", "aside", _RIGHT),
    )


def _cell_of(cell: str) -> Cell:
    return text(cell, "cell", _RIGHT)


def _warnings(problems: tuple[Problem, ...]) -> Iterator[Row]:
    if not problems:
        return
    yield from section("Warnings", COLUMNS)
    for problem in problems:
        place = f"{problem.place.sheet}!{problem.place.cell}" if problem.place.cell else problem.place.sheet
        yield row(text(place, "cell", 2), text(f"{problem.message}. {problem.remedy}", across=COLUMNS - 2))
