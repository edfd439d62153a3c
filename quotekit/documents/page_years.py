"""What each option comes to as the years go by: the figures of the picture in the workbook, as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from quotekit.documents.customer_chart import chart_note, chart_rows, chart_title
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_text, number_text
from quotekit.documents.page_lines import stacked
from quotekit.documents.page_markup import NOTHING, Html, tag
from quotekit.documents.page_words import section
from quotekit.documents.sheet import Row
from quotekit.model.quote import Quote


def year_part(quote: Quote) -> Html:
    """A row for each year and a column for each option; nothing where options can't be compared."""
    rows = chart_rows(quote)
    if not rows:
        return NOTHING
    names = [option_number(quote, tier) for tier in quote.offered]
    columns = [tag("th", name, scope="col", role="columnheader") for name in ("Until", *names)]
    head = tag("thead", tag("tr", *columns, role="row"), role="rowgroup")
    body = tag("tbody", *_years(rows, names, quote), role="rowgroup")
    caption = tag("caption", chart_note(quote))
    table = tag("table", caption, head, body, role="table", class_=f"years {stacked(quote)}")
    return section("years", chart_title(quote), table)


def _years(rows: Sequence[Row], names: Sequence[str], quote: Quote) -> Iterator[Html]:
    """The sheet's columns as rows: the year, then each option's amount."""
    language = quote.book.settings.language
    for year, *amounts in zip(*(_numbers(row) for row in rows), strict=True):
        shown = [money_text(amount, quote.currency, language) for amount in amounts]
        cells = [tag("td", words, role="cell", data_column=name) for name, words in zip(names, shown, strict=True)]
        said = f"{number_text(year, language)} {'year' if year == 1 else 'years'}" if year else "Today"
        yield tag("tr", tag("th", said, scope="row", role="rowheader"), *cells, role="row")


def _numbers(row: Row) -> list[Decimal]:
    """The figures of a row, after its name."""
    return [Decimal(cell.content) for cell in row.cells[1:] if isinstance(cell.content, int | Decimal)]
