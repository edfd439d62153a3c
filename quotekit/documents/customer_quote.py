"""The customer's quote as a workbook value: what was found, the options side by side, then the decision.

It reads no field that holds a cost, a margin, a markup, a supplier or packs; what is not read cannot be printed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from quotekit.documents.customer_consent import consent_rows
from quotekit.documents.customer_extras import extra_rows
from quotekit.documents.customer_findings import finding_rows
from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_looks import LOOKS
from quotekit.documents.customer_options import at_a_glance, glance_rows, header_row, left_rows, option_rows
from quotekit.documents.customer_terms import caution_rows, not_included_rows, old_part_rows, term_rows
from quotekit.documents.money_text import date_text, formats, money_text, paper_of
from quotekit.documents.page_breaks import with_page_breaks
from quotekit.documents.sheet import Page, Picture, Properties, Row, Sheet, WorkbookValue, text
from quotekit.documents.text_fit import characters_for
from quotekit.documents.wording import spelled
from quotekit.model.quote import Quote

_LONGEST_IN_FOOTER = 60
_SMALL = '&"Arial,Regular"&8 '


def lay_out_customer_quote(quote: Quote, photos: Mapping[str, Picture] | None = None) -> WorkbookValue:
    """The whole document. `photos` are by file name as the findings name them; one that is absent is left out."""
    grid = Grid(options=len(quote.offered), least=_longest_amount(quote))
    settings, job = quote.book.settings, quote.job
    return WorkbookValue(
        sheets=(_quote_sheet(quote, grid, photos or {}), _decision_sheet(quote, grid)),
        properties=Properties(
            title=f"Quote {job.job_number}, version {job.version}", author=settings.shop_name, created=job.quote_date
        ),
        formats=formats(quote.currency, settings.language),
        looks=LOOKS,
    )


def _longest_amount(quote: Quote) -> int:
    """Characters the widest amount needs, shown as a total."""
    amounts = [amount for tier in quote.offered for amount in (tier.total, tier.due, tier.amounts.savings)]
    texts = [
        money_text(amount, quote.currency, quote.book.settings.language) for amount in (*amounts, quote.declined.total)
    ]
    return max(characters_for(shown, LOOKS["total"]) for shown in texts)


def _quote_sheet(quote: Quote, grid: Grid, photos: Mapping[str, Picture]) -> Sheet:
    before = [*_top_rows(quote, grid)]
    if at_a_glance(quote):
        before += glance_rows(quote, grid)
    before += finding_rows(quote, grid, photos)
    before += left_rows(quote, grid)
    before += grid.heading("The options side by side")
    header = len(before)
    rows = [*before, header_row(quote, grid), *option_rows(quote, grid)]
    page = _page(quote, repeat_from=header, repeat_rows=1)
    return Sheet(name="Quote", rows=with_page_breaks(rows, page, header), widths=grid.widths, page=page)


def _decision_sheet(quote: Quote, grid: Grid) -> Sheet:
    job = quote.job
    title = f"Quote {job.job_number}, version {job.version}: your decision"
    rows = [
        grid.fit(text(title, "column left", grid.columns)),
        *extra_rows(quote, grid),
        *not_included_rows(quote, grid),
        *old_part_rows(quote, grid),
        *caution_rows(quote, grid),
        *term_rows(quote, grid),
        *consent_rows(quote, grid),
    ]
    page = _page(quote, repeat_from=0, repeat_rows=1)
    return Sheet(name="Your decision", rows=with_page_breaks(rows, page, 0), widths=grid.widths, page=page)


def _page(quote: Quote, *, repeat_from: int, repeat_rows: int) -> Page:
    job, settings = quote.job, quote.book.settings
    shop = settings.shop_name[:_LONGEST_IN_FOOTER].replace("&", "&&")
    number = job.job_number[:_LONGEST_IN_FOOTER].replace("&", "&&")
    return Page(
        paper=paper_of(settings.language),
        repeat_from=repeat_from,
        repeat_rows=repeat_rows,
        footer=f"&L{_SMALL}{shop}&C{_SMALL}Quote {number}, version {job.version}&R{_SMALL}Page &P of &N",
        left=0.5,
        right=0.5,
        top=0.5,
        bottom=0.65,
    )


def _top_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    settings, job = quote.book.settings, quote.job
    yield grid.fit(text(settings.shop_name, "shop", grid.columns - 1), text("Quote", "kind"), least=26)
    licence = f"{spelled('Licence', settings.language)} {settings.licence}" if settings.licence else ""
    tax_number = f"Tax number {settings.tax_number}" if settings.tax_number else ""
    contact = (settings.address, settings.phone, settings.email, licence, tax_number)
    yield from grid.paragraph("   ".join(filter(None, contact)) or " ", "contact rule")
    yield grid.gap()
    language = settings.language
    number = f"{job.job_number}, version {job.version}"
    dates = f"{date_text(job.quote_date, language)}, valid until {date_text(quote.valid_until, language)}"
    yield from grid.pairs("Quote", f"{number}, of {dates}", style="fact strong")
    yield from grid.pairs("Customer", _commas(job.customer, job.phone, job.email))
    yield from grid.pairs("Machine", _machine(quote))
    yield from grid.pairs("Your words", f"\u201c{job.customers_words.strip()}\u201d", style="quoted")
    yield from _worth_rows(quote, grid)


def _machine(quote: Quote) -> str:
    job = quote.job
    condition = quote.book.conditions.get(job.condition or "")
    return _commas(
        job.machine_class_name or job.machine_class,
        f"{job.make} {job.model}".strip(),
        f"serial {job.serial}" if job.serial else "",
        f"used {job.usage}" if job.usage else "",
        f"condition: {condition.name or condition.code}" if condition else "",
    )


def _worth_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """What is known of the machine's worth, for the customer to weigh."""
    job = quote.job
    known = (
        ("a new one costs {}", job.new_price),
        ("a used one that works is worth {}", job.used_value_working),
        ("yours as it stands is worth {}", job.value_as_it_stands),
    )
    said = [
        words.format(money_text(amount, quote.currency, quote.book.settings.language))
        for words, amount in known
        if amount is not None
    ]
    if said:
        yield from grid.pairs("Worth", f"As far as we know, {'; '.join(said)}.")


def _commas(*texts: str) -> str:
    return ", ".join(filter(None, texts))
