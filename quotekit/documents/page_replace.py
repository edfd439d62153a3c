"""Repair or replace on the page: the lines of the customer's sheet as a table, with more words than paper can hold."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.customer_options import option_number
from quotekit.documents.customer_replace import (
    A_NEW_ONE,
    TITLE,
    left_out_words,
    open_words,
    replace_lines,
    short_formula,
    value_words,
    weighed,
    years_words,
)
from quotekit.documents.money_text import money_text
from quotekit.documents.page_lines import shown_cell, stacked
from quotekit.documents.page_markup import NOTHING, Html, tag
from quotekit.documents.page_words import section
from quotekit.model.quote import Quote


def replace_part(quote: Quote) -> Html:
    """The values, both costs for each option, and what to make of them; nothing where no value was given."""
    if not weighed(quote):
        return NOTHING
    values = [tag("div", tag("dt", label), tag("dd", words)) for label, words in value_words(quote)]
    waits = [tag("div", tag("dt", label), tag("dd", words)) for label, words in open_words(quote)]
    return section(
        "replace",
        TITLE,
        tag("p", "Counted with these values. They are estimates, no guarantee: put in your own numbers."),
        tag("dl", *values, class_="facts"),
        tag("dl", *waits, class_="facts") if waits else NOTHING,
        _table(quote),
        *(tag("p", words, class_="quiet") for words in _explained(quote)),
    )


def _table(quote: Quote) -> Html:
    names = [*(option_number(quote, tier) for tier in quote.offered), A_NEW_ONE]
    lines = list(_lines(quote, names))
    if not lines:
        return NOTHING
    columns = [tag("th", name, scope="col", role="columnheader") for name in ("What it comes to", *names)]
    head = tag("thead", tag("tr", *columns, role="row"), role="rowgroup")
    caption = tag("caption", "For each option as offered, without what you may add")
    body = tag("tbody", *lines, role="rowgroup")
    return tag("table", caption, head, body, role="table", class_=f"worth {stacked(quote)}")


def _lines(quote: Quote, names: list[str]) -> Iterator[Html]:
    for label, cells in replace_lines(quote):
        answers = [
            tag("td", shown_cell(cell, quote), role="cell", data_column=name)
            for cell, name in zip(cells, names, strict=True)
        ]
        yield tag("tr", tag("th", label, scope="row", role="rowheader"), *answers, role="row")


def _explained(quote: Quote) -> Iterator[str]:
    """What is in each figure, how to put in other numbers, and what else to weigh."""
    found = weighed(quote)[0]
    language, years = quote.book.settings.language, years_words(found.horizon, quote)
    if found.used_value_then is not None and found.new_value_then is not None:
        yours, new = (
            money_text(value, quote.currency, language) for value in (found.used_value_then, found.new_value_then)
        )
        yield (
            f"Keeping it costs the repair and its upkeep over {years}, less what it is worth then: {yours}. "
            "Replacing it costs a new one less what yours brings as it stands, and the upkeep of the new one, less "
            f"what that is worth then: {new}. A difference of a tenth of a new one's price or less is a close call."
        )
    if found.limit is not None:
        yield short_formula(quote)
    if found.limit_against_used is not None:
        limit = money_text(found.limit_against_used, quote.currency, language)
        yield f"Against a sound used one the repair is worth up to {limit} to you."
    yield left_out_words(quote)
