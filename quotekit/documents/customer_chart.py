"""The picture of the choice: what each option comes to over the years, from selling prices before tax.

The figures stand as plain numbers on a sheet of their own; the chart only says where. It is drawn where at least two
options can be compared and each has its figures, as a missing line would read as an option without cost.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from quotekit.documents.column_letters import column_letters
from quotekit.documents.money_text import money_format, money_text, number_text
from quotekit.documents.sheet import Chart, Row, Series, money, number, row, text
from quotekit.documents.wording import NONE
from quotekit.model.quote import PricedTier, Quote
from quotekit.money import minor_digits

_WHOLE_FROM = 100
"""From this amount on, the scale needs no cents."""


class _Drawn(NamedTuple):
    """How a line is told from the others."""

    dash: Literal["solid", "dash", "square_dot", "long_dash_dot"]
    marker: Literal["circle", "square", "diamond", "triangle"]


_LINES = (
    _Drawn("solid", "circle"),
    _Drawn("dash", "square"),
    _Drawn("square_dot", "triangle"),
    _Drawn("long_dash_dot", "diamond"),
    _Drawn("solid", "square"),
    _Drawn("dash", "circle"),
    _Drawn("square_dot", "diamond"),
    _Drawn("long_dash_dot", "triangle"),
)


def has_chart(quote: Quote) -> bool:
    """True where options can be compared over years: a life is stated for every remedy of each."""
    return 2 <= len(quote.offered) <= len(_LINES) and all(len(tier.over_years) > 1 for tier in quote.offered)


def years_compared(quote: Quote) -> Decimal:
    """The job's years to compare, else the shop's, never more than the machine could last."""
    return quote.job.years_compared(quote.book.settings.years_to_compare)


def chart_rows(quote: Quote, labels: Sequence[str] = ()) -> tuple[Row, ...]:
    """A row of years and a row for each option: its label, then its amounts. None where there is no chart.

    `labels` are the options' names as the document has them, in the order offered; without, the owner's names.
    """
    if not has_chart(quote):
        return ()
    years = [number(year, "body") for year in _years(quote)]
    names = labels or [tier.name for tier in quote.offered]
    lines = [
        row(text(name), *(money(amount, "body") for amount in tier.over_years))
        for name, tier in zip(names, quote.offered, strict=True)
    ]
    return (row(text("Years"), *years), *lines)


def chart_over_years(
    quote: Quote, *, sheet: str, first_row: int, row: int, column: int, width: int, height: int
) -> Chart:
    """The chart at a cell, of the rows of `chart_rows` that start at `first_row` (0-based) of a sheet, in column A."""
    last = len(_years(quote))
    return Chart(
        row=row,
        column=column,
        width=width,
        height=height,
        title=chart_title(quote),
        categories=_range(sheet, first_row, 1, last),
        series=tuple(
            Series(
                name=_range(sheet, line, 0, 0),
                values=_range(sheet, line, 1, last),
                dash=drawn.dash,
                marker=drawn.marker,
            )
            for line, drawn in enumerate(_LINES[: len(quote.offered)], start=first_row + 1)
        ),
        across_title="Years from now",
        up_title="Before tax",
        number_format=_scale_format(quote),
        alt=chart_alt(quote),
    )


def _scale_format(quote: Quote) -> str:
    """Money on the scale, without cents where they would all be zero."""
    shown = money_format(quote.currency, quote.book.settings.language)
    most = max(amount for tier in quote.offered for amount in tier.over_years)
    digits = minor_digits(quote.currency)
    return shown.replace("." + "0" * digits, "") if digits and most >= _WHOLE_FROM else shown


def chart_title(quote: Quote) -> str:
    """What the picture shows, in a line."""
    years = years_compared(quote)
    counted = f"{number_text(years, quote.book.settings.language)} {'year' if years == 1 else 'years'}"
    return f"What each option comes to over {counted}"


def chart_note(quote: Quote) -> str:
    """What stands under the picture: what is counted, and that nobody knows the years ahead."""
    worth = ", later ones at today\u2019s worth" if quote.book.settings.interest_a_year else ""
    return f"Today\u2019s work and its repeats{worth}; before tax. Estimates, not a guarantee."


def chart_alt(quote: Quote) -> str:
    """The picture in words: where each line starts and ends."""
    ends = "; ".join(_ends(tier, quote) for tier in quote.offered)
    return f"{chart_title(quote)}. {ends}. {chart_note(quote)}"


def _ends(tier: PricedTier, quote: Quote) -> str:
    first, last = (money_text(tier.over_years[at], quote.currency, quote.book.settings.language) for at in (0, -1))
    return f"{tier.name or NONE}: {first} now, {last} in the end"


def _years(quote: Quote) -> list[Decimal]:
    """The years of the figures: whole ones, and where the last figure stands."""
    count = len(quote.offered[0].over_years)
    return [*(Decimal(year) for year in range(count - 1)), years_compared(quote)]


def _range(sheet: str, line: int, first: int, last: int) -> str:
    """Cells of a row, 0-based, as a chart names them.

    >>> _range("Working", 3, 0, 0), _range("Working", 3, 1, 6)
    ("='Working'!$A$4", "='Working'!$B$4:$G$4")
    """
    quoted = sheet.replace("'", "''")
    ends = [f"${column_letters(column + 1)}${line + 1}" for column in dict.fromkeys((first, last))]
    return f"='{quoted}'!{':'.join(ends)}"
