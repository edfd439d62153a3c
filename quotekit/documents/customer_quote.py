"""The customer's quote as a workbook value: what was found, the options side by side, then the decision.

It reads no field that holds a cost, a margin, a markup, a supplier or packs; what is not read cannot be printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from quotekit.documents.chart_place import chart_space, charts
from quotekit.documents.customer_amounts import charge_rows, labour_rows, total_rows
from quotekit.documents.customer_choice import SCREEN_WIDTHS, on_screen, where_to_choose
from quotekit.documents.customer_consent import consent_rows
from quotekit.documents.customer_extras import extra_rows
from quotekit.documents.customer_facts import contact_words, facts
from quotekit.documents.customer_findings import finding_rows
from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_looks import SIZES, looks_at
from quotekit.documents.customer_options import header_row, item_rows, left_rows, numbers_row, part_rows, short_rows
from quotekit.documents.customer_terms import term_rows
from quotekit.documents.fingerprint import sealed
from quotekit.documents.footer_text import footer_name, footer_text
from quotekit.documents.money_text import formats, money_text, paper_of
from quotekit.documents.page_breaks import pages_of, with_page_breaks
from quotekit.documents.sheet import Look, Page, Paper, Picture, Properties, Row, Sheet, WorkbookValue, text
from quotekit.documents.text_fit import characters_for
from quotekit.documents.working_sheet import Working, lay_out_working
from quotekit.model.quote import Quote
from quotekit.record import record

_PAGES = 2
_PAGE_HEIGHT = 740.0
"""Points, a little more than the rows of a Letter page take."""
_SHORTER = 160.0
"""Points that the figures of a choice take at most beyond its totals."""
_SHRINKS = 1.4
"""Rows get lower with smaller type, and texts take fewer lines: by this power of the sizes. Spares hopeless tries."""
_BY_FAR = 3
_MARGIN = 0.4
"""10 mm, in inches."""
_FACT_STYLES = {"Quote": "fact strong", "Your words": "quoted"}
_SMALL = '&"Arial,Regular"&8 '


def lay_out_customer_quote(quote: Quote, photos: Mapping[str, Picture] | None = None) -> WorkbookValue:
    """The whole document, in the largest type that prints on two pages, else in the smallest.

    `photos` are by file name as the findings name them; one that is absent is left out. The chart stands on the paper
    where it fits, else beside it, on screen only.
    """
    working = lay_out_working(quote)

    @cache
    def alike(size: float, tight: bool) -> _Alike:
        return _alike(quote, _grid(quote, size, tight), photos or {}, working)

    tried: dict[bool, tuple[_Way, float]] = {}
    *ways, last = _ways(quote, working)
    for way in ways:
        if way.chart in tried and _is_hopeless(way, *tried[way.chart]):
            continue
        value = _laid_out(quote, alike(way.size, way.tight), working, way)
        rows = value.sheets[0].rows
        if pages_of(rows) <= _PAGES:
            return sealed(value)
        tried[way.chart] = way, sum(row.height or 0 for row in rows)
    return sealed(_laid_out(quote, alike(last.size, last.tight), working, last))


def _is_hopeless(way: _Way, before: _Way, height: float) -> bool:
    """True where rows that were too high before will be so again; the smallest type is tried unless by far too high."""
    if before.full and not way.full:
        height -= _SHORTER
    most = _PAGES * _PAGE_HEIGHT * (1 if way.size > SIZES[-1] else _BY_FAR)
    shrunk: float = (way.size / before.size) ** _SHRINKS
    return height * shrunk > most


@record
class _Way:
    """A way to set the document: the size of its type, the paper its pages are broken for, and what is on paper."""

    size: float
    paper: Paper
    chart: bool = False
    full: bool = True
    """Every figure of the choice on paper, else the totals alone."""
    tight: bool = False
    """Less air, smaller pictures, and options by number alone where a page begins inside their table."""


def _ways(quote: Quote, working: Working) -> Iterator[_Way]:
    """The best first: with the chart, then without; every figure of the choice where the type stays readable."""
    own = paper_of(quote.book.settings.language)
    if working.chart_row is not None:
        yield from (_Way(size=size, paper="Letter", chart=True) for size in SIZES[:-1])
    yield from (_Way(size=size, paper="Letter") for size in SIZES[:-1])
    yield from (_Way(size=size, paper="Letter", full=False) for size in SIZES)
    yield _Way(size=SIZES[-1], paper="Letter", full=False, tight=True)
    yield _Way(size=SIZES[-1], paper=own, full=False)
    yield _Way(size=SIZES[-1], paper=own, full=False, tight=True)
    yield _Way(size=SIZES[-1], paper="Letter", full=False)


@record
class _Alike:
    """What is set alike in all ways of one size: everything but the chart and the figures of the choice."""

    grid: Grid
    top: tuple[Row, ...]
    options: tuple[Row, ...]
    left: tuple[Row, ...]
    terms: tuple[Row, ...]
    extras: tuple[Row, ...]


def _grid(quote: Quote, size: float, tight: bool) -> Grid:
    looks = looks_at(size)
    return Grid(
        options=len(quote.offered),
        least=_longest_amount(quote, looks),
        looks=looks,
        paper=paper_of(quote.book.settings.language),
        tight=tight,
    )


def _alike(quote: Quote, grid: Grid, photos: Mapping[str, Picture], working: Working) -> _Alike:
    first_row, *others = _top_rows(quote, grid)
    return _Alike(
        grid=grid,
        top=(on_screen(first_row, where_to_choose()) if quote.live else first_row, *others, grid.gap()),
        options=(header_row(quote, grid), *_option_rows(quote, grid, photos)),
        left=(*grid.whole(left_rows(quote, grid)), *grid.whole(_weighed(quote, grid))),
        terms=tuple(grid.whole(term_rows(quote, grid))),
        extras=tuple(extra_rows(quote, grid, working)),
    )


def _laid_out(quote: Quote, alike: _Alike, working: Working, way: _Way) -> WorkbookValue:
    settings = quote.book.settings
    return WorkbookValue(
        sheets=(_sheet(quote, alike, working, way), working.sheet),
        properties=Properties(author=settings.shop_name, created=quote.job.quote_date),
        formats=formats(quote.currency, settings.language),
        looks=alike.grid.looks,
        names=working.names,
    )


def _longest_amount(quote: Quote, looks: Mapping[str, Look]) -> int:
    """Characters the widest amount needs, shown as a total."""
    amounts = [amount for tier in quote.offered for amount in (tier.total, tier.due, tier.amounts.savings)]
    texts = [
        money_text(amount, quote.currency, quote.book.settings.language) for amount in (*amounts, quote.declined.total)
    ]
    return max(10, *(characters_for(shown, looks["total"]) for shown in texts))


def _sheet(quote: Quote, alike: _Alike, working: Working, way: _Way) -> Sheet:
    grid = alike.grid
    left = (*alike.left, *(chart_space(quote, grid) if way.chart else ()))
    decision = consent_rows(quote, grid, working, full=way.full)
    rows = [*alike.top, *alike.options, *left, *alike.terms, *alike.extras, *decision]
    first = len(alike.top)
    second = first + len(alike.options) + len(left) + len(alike.terms) + 1
    tables = [range(first, first + len(alike.options))]
    if alike.extras:
        tables.append(range(second, second + len(alike.extras) - 1))
    page = _page(quote)
    again = {first: numbers_row(quote, grid)} if way.tight else {}
    broken = with_page_breaks(rows, page, tables, way.paper, again)
    return Sheet(
        name="Quote",
        rows=broken,
        widths=(*grid.widths, *(SCREEN_WIDTHS if quote.live else ())),
        page=page,
        printed_columns=grid.columns,
        protected=True,
        charts=charts(quote, broken, grid, working),
    )


def _option_rows(quote: Quote, grid: Grid, photos: Mapping[str, Picture]) -> Iterator[Row]:
    """The whole table below its header."""
    yield from short_rows(quote, grid)
    yield from finding_rows(quote, grid, photos)
    for section in (item_rows, part_rows, labour_rows, charge_rows, total_rows):
        yield from grid.together(section(quote, grid))


def _weighed(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Repair or replace, where the job gives what a machine is worth."""
    if not quote.job.asks_worth:
        return
    from quotekit.documents.customer_replace import replace_rows

    yield from replace_rows(quote, grid)


def _page(quote: Quote) -> Page:
    job, settings = quote.job, quote.book.settings
    shop, number = footer_name(settings.shop_name), footer_text(job.job_number)
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
