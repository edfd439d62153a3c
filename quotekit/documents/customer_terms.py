"""What is not included, the old parts, cautions and terms: what a customer asks before saying yes."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.customer_grid import Grid
from quotekit.documents.money_text import date_text, money_text, percent_text
from quotekit.documents.sheet import Row
from quotekit.documents.wording import BOX, DECLINE, joined, key_words, sentence, spelled
from quotekit.model.quote import Quote

CHOOSE_OLD_PARTS = f"Please choose:   {BOX} give them back to me     {BOX} show them to me     {BOX} dispose of them."
"""On paper; `ASK_OLD_PARTS` is its place on a screen."""
ASK_OLD_PARTS = "Please say in your reply whether we give them back, show them to you, or dispose of them."
_OLD_PARTS = {
    "keep": "You asked to have the old parts back.",
    "show": "You asked to see the old parts before they go.",
    "dispose": "You asked us to dispose of the old parts.",
}


def term_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """What the prices leave out, old parts, cautions and terms, each a short paragraph beside its name."""
    yield from grid.heading("Before you decide")
    for label, words in terms(quote):
        yield from grid.pairs(label, words)


def terms(quote: Quote) -> Iterator[tuple[str, str]]:
    """Each paragraph with its name; one without words is left out."""
    for label, sentences in (
        ("Not included", _not_included(quote)),
        ("Old parts", _old_parts(quote)),
        ("Take care", _cautions(quote)),
        ("Terms", _terms(quote)),
    ):
        words = " ".join(sentences)
        if words:
            yield label, words


def _not_included(quote: Quote) -> Iterator[str]:
    """What the prices leave out and what may be found once the machine is open."""
    yield "An option covers the work and parts listed in it and nothing else."
    yield (
        "Some parts can only be seen once the machine is open; "
        "broken fasteners, hidden wear and damage behind covers are not in any price here."
    )
    look = [key_words(key, quote) for key in quote.look_next]
    measure = [key_words(key, quote) for key in quote.measure_next]
    if look:
        yield f"Not looked at yet, and worth a look given what was found: {joined(look)}."
    if measure:
        yield f"Not measured yet: {joined(measure)}."
    yield (
        "If we find more, we tell you what it is, what it costs and the new total to pay. It is done only if you agree."
    )


def _old_parts(quote: Quote) -> Iterator[str]:
    """The customer's choice for the old parts, or empty boxes for it."""
    choice = quote.job.old_parts
    yield _OLD_PARTS[choice] if choice else CHOOSE_OLD_PARTS
    if any(tier.amounts.cores for tier in quote.offered):
        yield "Makers charge for some old parts that are not sent back: see core charges."


def _cautions(quote: Quote) -> Iterator[str]:
    """Cautions for the customer that hang on the work of the options."""
    codes = _caution_codes(quote)
    for code in codes:
        caution = quote.book.cautions[code]
        source = f" (source: {caution.caution_source})" if caution.caution_source else ""
        yield sentence(f"{caution.caution.rstrip('. ')}{source}")
    if codes:
        yield "This does not replace the maker's manual."


def _caution_codes(quote: Quote) -> list[str]:
    book = quote.book
    wanted = [
        code
        for tier in quote.offered
        for line in (*tier.operations, *tier.access)
        for record in (book.operations.get(line.code) or book.access.get(line.code),)
        if record is not None
        for code in record.cautions
    ]
    return [code for code in dict.fromkeys(wanted) if code in book.cautions and book.cautions[code].for_customer]


def _terms(quote: Quote) -> Iterator[str]:
    yield from _price_terms(quote)
    yield call_words(quote)
    yield from _promise_terms(quote)
    yield from _date_terms(quote)
    yield from _required(quote)


def _price_terms(quote: Quote) -> Iterator[str]:
    if quote.book.settings.prices_shown == "with tax":
        yield "Totals are shown with tax. Lines and what you may add are before tax; the tax is on its own line."
    else:
        yield "Prices are before tax; each tax is on its own line."
    labour = "Labour is charged for the work listed, from set times for each task, not by the clock."
    yield spelled(labour, quote.book.settings.language)
    if quote.job.exemption_certificate:
        yield f"Exemption certificate: {quote.job.exemption_certificate}."


def _promise_terms(quote: Quote) -> Iterator[str]:
    deposit = any(tier.deposit for tier in quote.offered)
    if deposit:
        yield "The deposit is paid before parts are ordered and counts towards the total."
    count = "your yes and the deposit" if deposit else "your yes"
    yield f"Working days to ready count from {count}, and depend on parts arriving as promised."
    yield "Expected life is an estimate, not a guarantee."


def _date_terms(quote: Quote) -> Iterator[str]:
    valid = date_text(quote.valid_until, quote.book.settings.language)
    yield f"This quote is valid until {valid}. A later version replaces it."
    yield from no_costs(quote)


def call_words(quote: Quote) -> str:
    """When the shop asks before it goes on: any excess, or past a percentage or an amount."""
    settings = quote.book.settings
    percent, amount = settings.call_when_over_percent, settings.call_when_over_amount
    basis = "before tax" if settings.call_compares == "before tax" else "with tax"
    parts = [percent_text(percent, settings.language)] if percent else []
    parts += [money_text(amount, quote.currency, settings.language)] if amount else []
    ceiling = settings.call_when_over_at_most
    if not parts or ceiling == 0 or (len(parts) == 1 and settings.call_when_over == "the lesser"):
        return f"We call and get your yes before going over the agreed total ({basis}) by any amount."
    over = f"{settings.call_when_over} of {joined(parts)}" if len(parts) > 1 else parts[0]
    over += f", {money_text(ceiling, quote.currency, settings.language)} at most" if ceiling is not None else ""
    return f"We call and get your yes before going over the agreed total ({basis}) by more than {over}."


def no_costs(quote: Quote) -> Iterator[str]:
    """What a no costs, and for what."""
    total, language = quote.declined.total, quote.book.settings.language
    if not total:
        yield f"{DECLINE}, there is nothing to pay."
        return
    pieces = ["the inspection"] if quote.declined.inspection else []
    pieces += ["putting the machine back together"] if quote.declined.reassembly else []
    yield f"{DECLINE}, you pay {money_text(total, quote.currency, language)}, tax included, for {joined(pieces)}."


def _required(quote: Quote) -> Iterator[str]:
    keys = dict.fromkeys(line.key for tier in quote.offered for line in tier.fee_lines)
    for key in keys:
        fee = quote.book.fees.get(key)
        if fee is not None and fee.required_wording:
            yield sentence(f"{fee.fee}: {fee.required_wording}")
