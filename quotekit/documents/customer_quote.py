"""The customer's quote as a workbook value: what was found, the options side by side, then the decision.

It reads no field that holds a cost, a margin, a markup, a supplier or packs; what is not read cannot be printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from quotekit.documents.customer_amounts import charge_rows, labour_rows, total_rows
from quotekit.documents.customer_consent import consent_rows
from quotekit.documents.customer_extras import extra_rows
from quotekit.documents.customer_facts import contact_words, facts
from quotekit.documents.customer_findings import finding_rows
from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_looks import SIZES, looks_at
from quotekit.documents.customer_options import header_row, item_rows, left_rows, part_rows, short_rows
from quotekit.documents.customer_terms import term_rows
from quotekit.documents.money_text import formats, money_text, paper_of
from quotekit.documents.page_breaks import pages_of, with_page_breaks
from quotekit.documents.sheet import Look, Page, Paper, Picture, Properties, Row, Sheet, WorkbookValue, text
from quotekit.documents.text_fit import characters_for
from quotekit.model.quote import Quote

_LONGEST_IN_FOOTER = 60
_PAGES = 2
_MARGIN = 0.4
"""10 mm, in inches."""
_FACT_STYLES = {"Quote": "fact strong", "Your words": "quoted"}
_SMALL = '&"Arial,Regular"&8 '


def lay_out_customer_quote(quote: Quote, photos: Mapping[str, Picture] | None = None) -> WorkbookValue:
    """The whole document, in the largest type that prints on two pages, else in the smallest.

    `photos` are by file name as the findings name them; one that is absent is left out.
    """
    own = paper_of(quote.book.settings.language)
    ways: list[tuple[float, Paper]] = [*((size, "Letter") for size in SIZES), (SIZES[-1], own)]
    for size, paper in ways:
        value = _laid_out(quote, photos or {}, size, paper)
        if pages_of(value.sheets[0].rows) <= _PAGES:
            return value
    return _laid_out(quote, photos or {}, SIZES[-1], "Letter")


def _laid_out(quote: Quote, photos: Mapping[str, Picture], size: float, paper: Paper) -> WorkbookValue:
    """The document in a type size, its pages broken for the height of a paper."""
    looks = looks_at(size)
    grid = Grid(
        options=len(quote.offered),
        least=_longest_amount(quote, looks),
        looks=looks,
        paper=paper_of(quote.book.settings.language),
    )
    settings, job = quote.book.settings, quote.job
    return WorkbookValue(
        sheets=(_sheet(quote, grid, photos, paper),),
        properties=Properties(
            title=f"Quote {job.job_number}, version {job.version}", author=settings.shop_name, created=job.quote_date
        ),
        formats=formats(quote.currency, settings.language),
        looks=looks,
    )


def _longest_amount(quote: Quote, looks: Mapping[str, Look]) -> int:
    """Characters the widest amount needs, shown as a total."""
    amounts = [amount for tier in quote.offered for amount in (tier.total, tier.due, tier.amounts.savings)]
    texts = [
        money_text(amount, quote.currency, quote.book.settings.language) for amount in (*amounts, quote.declined.total)
    ]
    return max(10, *(characters_for(shown, looks["total"]) for shown in texts))


def _sheet(quote: Quote, grid: Grid, photos: Mapping[str, Picture], paper: Paper) -> Sheet:
    top = [*_top_rows(quote, grid), grid.gap()]
    options = [header_row(quote, grid), *_option_rows(quote, grid, photos)]
    left = [*grid.whole(left_rows(quote, grid))]
    extras = [*extra_rows(quote, grid)]
    rows = [*top, *options, *left, *extras, *grid.whole(term_rows(quote, grid)), *consent_rows(quote, grid)]
    first = len(top)
    second = first + len(options) + len(left) + 1
    tables = [range(first, first + len(options))]
    if extras:
        tables.append(range(second, second + len(extras) - 1))
    page = _page(quote)
    return Sheet(name="Quote", rows=with_page_breaks(rows, page, tables, paper), widths=grid.widths, page=page)


def _option_rows(quote: Quote, grid: Grid, photos: Mapping[str, Picture]) -> Iterator[Row]:
    """The whole table below its header."""
    yield from short_rows(quote, grid)
    yield from finding_rows(quote, grid, photos)
    for section in (item_rows, part_rows, labour_rows, charge_rows, total_rows):
        yield from grid.together(section(quote, grid))


def _page(quote: Quote) -> Page:
    job, settings = quote.job, quote.book.settings
    shop = settings.shop_name[:_LONGEST_IN_FOOTER].replace("&", "&&")
    number = job.job_number[:_LONGEST_IN_FOOTER].replace("&", "&&")
    return Page(
        paper=paper_of(settings.language),
        footer=f"&L{_SMALL}{shop}&C{_SMALL}Quote {number}, version {job.version}&R{_SMALL}Page &P of &N",
        left=_MARGIN,
        right=_MARGIN,
        top=_MARGIN,
        bottom=0.5,
    )


def _top_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    yield grid.fit(text(quote.book.settings.shop_name, "shop", grid.columns - 1), text("Quote", "kind"))
    yield from grid.paragraph("   ".join(contact_words(quote)) or " ", "contact rule")
    yield grid.gap()
    for label, words in facts(quote):
        yield from grid.pairs(label, words, style=_FACT_STYLES.get(label, "fact"))
