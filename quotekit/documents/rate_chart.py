"""The table of rates against sold hours, and its chart beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from quotekit.documents.column_letters import column_letters
from quotekit.documents.costing_style import head
from quotekit.documents.money_text import money_format
from quotekit.documents.rate_words import in_hours, in_money
from quotekit.documents.sheet import Cell, Chart, Row, Series, blank, money, row
from quotekit.model.rate import RateAt, ShopRate
from quotekit.money import minor_digits, round_to

OWN = "strong money"
"""The style of the row of the shop's own hours."""
_LEAST_ROWS = 11
"""Rows beside the chart, at the least."""
_CHART_COLUMN, _CHART_COLUMNS = 4, 4
_PIXELS_WIDE, _PIXELS_A_POINT = 89, Fraction(4, 3)
_ROW_HEIGHT = 12.75
_TALLEST = 240.0
"""Points of a chart beside a long table."""
_LONGEST_CODE = 10
_STEPS = 6
"""Steps of the scale of hours, at the most."""
_WHOLE_FROM = 10
"""From this rate on, the scale needs no cents."""

_Drawn = tuple[str, Literal["solid", "dash", "square_dot"], Literal["circle", "square", "triangle"]]
"""A column of the table: its title, and how its line is told from the others."""


def hours(value: Decimal | Fraction, style: str = "number") -> Cell:
    """Hours, with decimals only where there are any."""
    shown = round_to(value, 4).normalize()
    whole = shown == shown.to_integral_value()
    return Cell(content=shown, kind="hours", style=style, format="#,##0" if whole else "#,##0.00")


def rate_rows(rate: ShopRate) -> Iterator[Row]:
    """The table, with room for the chart beside it."""
    titles = [title for title, _, _ in _drawn(rate)]
    yield head("Sold hours", *titles, right=range(len(titles) + 1))
    own = round_to(rate.build.sold_hours, 4)
    for each in rate.table:
        style = OWN if each.sold_hours == own else "money"
        yield row(hours(each.sold_hours, style), *_rates_at(rate, each, style), height=_ROW_HEIGHT)
    for _ in range(_LEAST_ROWS - len(rate.table)):
        yield row(blank(), height=_ROW_HEIGHT)


def rate_charts(rate: ShopRate, table: Sequence[Row], sheet: str, first: int) -> tuple[Chart, ...]:
    """The rates over the sold hours, of a table whose header is at a row; none for one number of hours only."""
    count = len(rate.table)
    if count < 2:
        return ()
    series = tuple(
        Series(
            name=_cells(sheet, column, first, first),
            values=_cells(sheet, column, first + 1, first + count),
            dash=dash,
            marker=marker,
        )
        for column, (_, dash, marker) in enumerate(_drawn(rate), start=1)
    )
    tall = min(sum(line.height or 0.0 for line in table), _TALLEST)
    return (
        Chart(
            row=first,
            column=_CHART_COLUMN,
            width=_PIXELS_WIDE * _CHART_COLUMNS,
            height=int(tall * _PIXELS_A_POINT),
            title="",
            categories=_cells(sheet, 0, first + 1, first + count),
            series=series,
            across_title="Sold hours",
            up_title="Rate an hour",
            number_format=_scale_format(rate),
            alt=_in_words(rate),
            across=scale_of(rate.table[0].sold_hours, rate.table[-1].sold_hours),
        ),
    )


def scale_of(first: Decimal, last: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    """A scale that holds both ends, which differ, in round steps.

    >>> [f"{number:f}" for number in scale_of(Decimal(1200), Decimal(2250))]
    ['1200', '2400', '200']
    """
    least = (last - first) / _STEPS
    power = Decimal(1).scaleb(least.adjusted())
    step = next(each * power for each in (1, 2, 5, 10) if each * power >= least)
    return first // step * step, (last // step + (1 if last % step else 0)) * step, step


def _drawn(rate: ShopRate) -> Iterator[_Drawn]:
    yield "Break-even", "solid", "circle"
    if rate.rates.for_profit is not None:
        yield "With profit", "dash", "square"
    if rate.in_force:
        yield f"{rate.in_force[0].code[:_LONGEST_CODE]} now", "square_dot", "triangle"


def _rates_at(rate: ShopRate, each: RateAt, style: str) -> Iterator[Cell]:
    yield money(each.break_even, style)
    if each.for_profit is not None:
        yield money(each.for_profit, style)
    if rate.in_force:
        yield money(rate.in_force[0].rate, style)


def _scale_format(rate: ShopRate) -> str:
    """Money on the scale, without cents where they would all be zero."""
    shown = money_format(rate.currency, rate.language)
    digits = minor_digits(rate.currency)
    return shown.replace("." + "0" * digits, "") if digits and rate.table[0].break_even >= _WHOLE_FROM else shown


def _in_words(rate: ShopRate) -> str:
    ends = " to ".join(
        f"{in_money(rate, each.break_even)} at {in_hours(rate, each.sold_hours)} hours"
        for each in (rate.table[0], rate.table[-1])
    )
    return f"The rate falls as more hours are sold; break-even from {ends}."


def _cells(sheet: str, column: int, first: int, last: int) -> str:
    """Cells of a column, rows 0-based, as a chart names them.

    >>> _cells("Shop rate", 1, 4, 4), _cells("Shop rate", 0, 5, 9)
    ("='Shop rate'!$B$5", "='Shop rate'!$A$6:$A$10")
    """
    letter = column_letters(column + 1)
    ends = ":".join(f"${letter}${line + 1}" for line in dict.fromkeys((first, last)))
    return f"='{sheet}'!{ends}"
