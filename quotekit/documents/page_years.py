"""What each option comes to as the years go by: the figures of the picture in the workbook, as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from quotekit.documents.customer_chart import chart_note, chart_rows, chart_title
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_text, number_text
from quotekit.documents.page_markup import NOTHING, Html, tag
from quotekit.documents.page_words import section
from quotekit.documents.sheet import Row
from quotekit.model.quote import Quote


def year_part(quote: Quote) -> Html:
    """A row for each year and a column for each option; nothing where options can't be compared."""
    rows = chart_rows(quote)
    if not rows:
        return NOTHING
    names = [tag("th", option_number(quote, tier), scope="col") for tier in quote.offered]
    head = tag("thead", tag("tr", tag("th", "Until", scope="col"), *names))
    table = tag("table", tag("caption", chart_note(quote)), head, tag("tbody", *_years(rows, quote)), class_="years")
    return section("years", chart_title(quote), table)


def _years(rows: Sequence[Row], quote: Quote) -> Iterator[Html]:
    """The sheet's columns as rows: the year, then each option's amount."""
    language = quote.book.settings.language
    for year, *amounts in zip(*(_numbers(row) for row in rows), strict=True):
        cells = [tag("td", money_text(amount, quote.currency, language)) for amount in amounts]
        said = f"{number_text(year, language)} {'year' if year == 1 else 'years'}" if year else "Today"
        yield tag("tr", tag("th", said, scope="row"), *cells)


def _numbers(row: Row) -> list[Decimal]:
    """The figures of a row, after its name."""
    return [Decimal(cell.content) for cell in row.cells[1:] if isinstance(cell.content, int | Decimal)]
