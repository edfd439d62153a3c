"""The customer's sheet for a changed job: what is new, what it costs, the new total to pay, why, and the answer.

Laid out like the customer's quote, from selling figures only: it reads no field that holds a cost, a margin, a markup,
a supplier or packs. It can be answered in its drop-down and sent back: the cells by which a quote is read back are in
it too, with a yes and a no in place of the options.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.consent_answer import answer_rows, lay_out_answers
from quotekit.documents.consent_words import item_name, part_change_words, why_words
from quotekit.documents.customer_facts import contact_words, facts
from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.customer_looks import looks_at
from quotekit.documents.fingerprint import sealed
from quotekit.documents.footer_text import footer_name, footer_text
from quotekit.documents.money_text import date_text, formats, money_text, paper_of
from quotekit.documents.page_breaks import with_page_breaks
from quotekit.documents.sheet import Cell, Page, Properties, Row, Sheet, WorkbookValue, blank, money, text
from quotekit.documents.text_fit import characters_for
from quotekit.documents.wording import FIGURE_LABELS, finding_name, in_words, ready_words, sentence, spelled
from quotekit.model.agreed import AgreedItem, AgreedPart
from quotekit.model.consent import AmountChange, ChangedJob

NAME = "Change"
_SIZE = 9.5
_MARGIN = 0.4
_SMALL = '&"Arial,Regular"&8 '


def lay_out_consent_sheet(changed: ChangedJob) -> WorkbookValue:
    """The whole sheet, sealed."""
    quote, settings = changed.quote, changed.quote.book.settings
    looks = looks_at(_SIZE)
    amounts = (changed.before.total, changed.revision.agreed.total, -changed.before.total)
    shown = [money_text(amount, quote.currency, settings.language) for amount in amounts]
    least = max(10, *(characters_for(amount, looks["total"]) for amount in shown))
    grid = Grid(options=2, least=least, looks=looks, paper=paper_of(settings.language))
    answers = lay_out_answers(changed)
    rows = [*_top(changed, grid), *_new(changed, grid), *_money(changed, grid), *_after(changed, grid)]
    rows += answer_rows(changed, grid, answers)
    page = _page(changed)
    sheet = Sheet(
        name=NAME,
        rows=tuple(with_page_breaks(rows, page, paper="Letter")),
        widths=grid.widths,
        page=page,
        printed_columns=grid.columns,
        protected=True,
    )
    value = WorkbookValue(
        sheets=(sheet, answers.sheet),
        properties=Properties(author=settings.shop_name, created=quote.job.quote_date),
        formats=formats(quote.currency, settings.language),
        looks=looks,
        names=answers.names,
    )
    return sealed(value)


def _page(changed: ChangedJob) -> Page:
    job, settings = changed.quote.job, changed.quote.book.settings
    shop, number = footer_name(settings.shop_name), footer_text(job.job_number)
    footer = f"&L{_SMALL}{shop}&C{_SMALL}Change to job {number}, version {job.version}&R{_SMALL}Page &P of &N"
    return Page(paper=paper_of(settings.language), footer=footer, left=_MARGIN, right=_MARGIN, top=_MARGIN, bottom=0.5)


def _top(changed: ChangedJob, grid: Grid) -> Iterator[Row]:
    quote = changed.quote
    language = quote.book.settings.language
    known = {label: words for label, words in facts(quote) if words}
    yield grid.fit(text(quote.book.settings.shop_name, "shop", grid.columns - 2), text("Change", "kind", 2))
    yield from grid.paragraph("   ".join(contact_words(quote)) or " ", "contact rule")
    yield grid.gap()
    version = f"Change to job {quote.job.job_number}, version {quote.job.version}"
    until = f", valid until {date_text(changed.valid_until, language)}" if changed.revision.needs_consent else ""
    yield from grid.pairs("About", f"{version}{until}", style="fact strong")
    for label in ("Customer", "Machine"):
        yield from grid.pairs(label, known.get(label, ""))
    agreed = money_text(changed.before.total, quote.currency, language)
    words = f"{changed.before.option}, total to pay {agreed}, tax included, on {date_text(changed.agreed_on, language)}"
    yield from grid.pairs("You agreed to", words)
    yield from grid.pairs("Why we write", " ".join(why_words(changed)))


def _new(changed: ChangedJob, grid: Grid) -> Iterator[Row]:
    """Every repair that is new or gone with what was found, then the parts that changed."""
    language = changed.quote.book.settings.language
    columns = (text("Agreed", "column"), text("Now", "column"), text("Difference", "column"))
    yield grid.gap()
    yield grid.fit(label_cell("What is new", "column left"), *columns, keep=True)
    for item in changed.changes.new:
        yield from _said(f"Added: {item_name(item)}{_adds(changed, item)}", grid, "finding")
        for words in _found(changed, item):
            yield from _said(words, grid, "inset")
    for item in changed.changes.gone:
        yield from _said(f"No longer done: {item_name(item)}", grid, "finding")
    for change in changed.changes.parts:
        amounts = AmountChange(name="", before=_sold(change.before), after=_sold(change.after))
        yield from grid.line(part_change_words(change, language), _cells(amounts))
    if not (changed.changes.new or changed.changes.gone or changed.changes.parts):
        yield from _said("The repairs and the parts are those you agreed to.", grid, "line")


def _said(words: str, grid: Grid, style: str) -> Iterator[Row]:
    yield from grid.paragraph(words, style, keep=True)


def _found(changed: ChangedJob, item: AgreedItem) -> Iterator[str]:
    """The findings that a new repair puts right: what was found, measured and why it matters."""
    language = changed.quote.book.settings.language
    for finding in changed.quote.job.findings:
        if finding.key in item.fixes:
            said = [f"{finding_name(finding)}.", in_words(finding, language)]
            said += [sentence(finding.customer_wording)] if finding.customer_wording else []
            said += [f"If left: {sentence(finding.if_left)}"] if finding.if_left else []
            yield " ".join(said)


def _adds(changed: ChangedJob, item: AgreedItem) -> str:
    """What a new repair adds, parts and all; nothing where that was not worked out."""
    amount = changed.revision.adds.get(item.key)
    if amount is None:
        return ""
    return f": {money_text(amount, changed.quote.currency, changed.quote.book.settings.language)} before tax, all in"


def _sold(part: AgreedPart | None) -> Decimal:
    return part.amount if part is not None else Decimal(0)


def _money(changed: ChangedJob, grid: Grid) -> Iterator[Row]:
    """The amounts side by side, down to the new total to pay."""
    language, before, now = changed.quote.book.settings.language, changed.before, changed.revision.agreed
    by_name = {change.name: change for change in changed.changes.amounts}
    yield from _titled("What it costs", grid)
    for name, label in FIGURE_LABELS:
        if name in by_name:
            yield from grid.line(spelled(label, language), _cells(by_name[name]), keep=True)
    subtotal = AmountChange(name="", before=before.subtotal, after=now.subtotal)
    yield from grid.line("Subtotal before tax", _cells(subtotal, "subtotal"), "subtotal label", keep=True)
    for tax in changed.changes.taxes:
        yield from grid.line(tax.name, _cells(tax), keep=True)
    total = AmountChange(name="", before=before.total, after=now.total)
    yield grid.fit(label_cell("TOTAL TO PAY", "total label"), *_cells(total, "total"), keep=True)
    if changed.paid:
        due = AmountChange(name="", before=before.total - changed.paid, after=now.total - changed.paid)
        paid = AmountChange(name="", before=changed.paid, after=changed.paid)
        yield from grid.line("Paid so far", _cells(paid), keep=True)
        yield from grid.line("Still due (below zero: we return it)" if due.after < 0 else "Still due", _cells(due))
    if before.deposit or now.deposit:
        deposit = AmountChange(name="", before=before.deposit, after=now.deposit)
        yield from grid.line("Deposit before parts are ordered", _cells(deposit))


def _titled(title: str, grid: Grid) -> Iterator[Row]:
    heads: Sequence[Cell] = [text(words, "section right") for words in ("Agreed", "Now", "Difference")]
    yield from grid.titled(title, heads)


def _cells(change: AmountChange, style: str = "money") -> tuple[Cell, ...]:
    return tuple(money(amount, style) for amount in (change.before, change.after, change.difference))


def _after(changed: ChangedJob, grid: Grid) -> Iterator[Row]:
    """When it is ready, and what a no means."""
    before, now = changed.before, changed.revision.agreed
    ready = [text(ready_words(agreed.ready_days), "answer") for agreed in (before, now)]
    yield grid.gap()
    yield from grid.line("Working days from your yes to ready", (*ready, blank("answer")))
    if not changed.revision.needs_consent:
        return
    no = ["The work is then done as you agreed to it before, as far as that can be; what is new is not done."]
    no += [f"You have been told that this stays, and that it is a matter of safety: {' '.join(changed.safety)}"] * bool(
        changed.safety
    )
    for line in grid.pairs("If you say no", " ".join(no), keep=True):
        yield replace(line, keep_with_next=True)
