"""What the customer chooses on the page: an option of several, what to add to it, and the reply that says so.

No option is chosen and nothing is ticked at first. Parts that only a script can fill are hidden until it runs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from quotekit.documents.customer_extras import NOTE, extra_keys, extra_words, finding_numbers
from quotekit.documents.customer_options import left_words, option_number
from quotekit.documents.money_text import money_text
from quotekit.documents.page_markup import NOTHING, Html, tag
from quotekit.documents.page_words import section
from quotekit.documents.wording import (
    FIGURE_LABELS,
    at_side_words,
    counted,
    finding_name,
    item_words,
    joined,
    promise_words,
    ready_words,
    spelled,
)
from quotekit.model.quote import PricedTier, Quote, TierItem

Amount = Callable[[PricedTier], Decimal]


def option_part(quote: Quote) -> Html:
    """A card for each option, to choose one."""
    title = "Choose an option" if len(quote.offered) > 1 else "The option we offer"
    cards = [_card(number, tier, quote) for number, tier in enumerate(quote.offered)]
    legend = tag("legend", tag("h2", title, id="options-title"))
    return tag("fieldset", legend, tag("div", *cards, class_=f"cards of-{len(cards)}"), id="options")


def extra_part(quote: Quote) -> Html:
    """A box to tick for each thing that may be added; nothing where there is none."""
    keys = extra_keys(quote)
    if not keys:
        return NOTHING
    offered = {extra.extra: extra for tier in reversed(quote.offered) for extra in reversed(tier.extras)}
    numbers = finding_numbers(quote)
    rows = [_extra(number, key, extra_words(offered[key], quote, numbers), quote) for number, key in enumerate(keys)]
    legend = tag("legend", tag("h2", "What you may add", id="extras-title"))
    return tag("fieldset", legend, tag("p", NOTE, class_="quiet"), tag("ul", *rows, class_="extras"), id="extras")


def yours_part(quote: Quote) -> Html:
    """What is chosen and what it comes to, filled by the script."""
    first = tag("p", "No option is chosen yet. Choose one, and what to add to it.", id="not-yet")
    figures = _figures(quote) if quote.live is not None else NOTHING
    total = tag("p", tag("strong", data_figure="total"), " to pay, tax included", class_="price")
    said = (
        tag("p", id="chosen", dir="auto"),
        tag("ul", id="added"),
        total if quote.live is not None else NOTHING,
        tag("p", id="limit"),
    )
    to_send = tag("p", tag("a", "Send your choice", href="#send"), class_="to-send")
    chosen = tag("div", *said, figures, to_send, id="yours-chosen", hidden=True)
    return tag("div", section("yours", "Your choice", first, chosen), class_="side", hidden=True, id="side")


def send_part(quote: Quote) -> Html:
    """The reply and the ways to send it, filled by the script."""
    first = tag("p", "Once you have chosen an option, your reply stands here, to copy or to send.", id="no-reply")
    reply = tag("div", *_reply(quote), id="reply-part", hidden=True)
    return tag("div", section("send", "Send your choice", first, reply), id="sending", hidden=True)


def bar_part() -> Html:
    """The total that stays in sight, told by a screen reader when it changes."""
    words = tag("p", "No option is chosen yet.", id="told", role="status", aria_live="polite")
    return tag(
        "div", words, tag("a", "See it", href="#yours", id="see", hidden=True), class_="bar", id="bar", hidden=True
    )


def _card(number: int, tier: PricedTier, quote: Quote) -> Html:
    name = f"option-{number}"
    choice = tag("input", type="radio", name="option", id=name, value=str(number), aria_describedby=f"{name}-total")
    words = (
        tag("span", option_number(quote, tier), class_="number"),
        " ",
        tag("span", tier.name, class_="name", dir="auto"),
    )
    label = tag("label", *words, for_=name, dir="auto")
    total = money_text(tier.total, quote.currency, quote.book.settings.language)
    price = tag("p", tag("strong", total), " ", tag("span", "to pay, tax included"), class_="price", id=f"{name}-total")
    facts = tag("ul", *(tag("li", words) for words in _short(tier, quote)), class_="short")
    lists = [_list("Puts right", _fixed(tier, quote)), _list("The work", _work(tier, quote))]
    leaves = tag("div", tag("h3", "Leaves"), tag("p", left_words(quote, tier), dir="auto"))
    return tag("div", tag("div", choice, label, class_="pick"), price, facts, *lists, leaves, class_="card")


def _list(title: str, lines: Iterable[str]) -> Html:
    shown = [tag("li", line, dir="auto") for line in lines] or [tag("li", "Nothing")]
    return tag("div", tag("h3", title), tag("ul", *shown))


def _short(tier: PricedTier, quote: Quote) -> Iterator[str]:
    """When it is ready, and whether it is within the customer's limit."""
    days = tier.ready_days
    yield f"Ready in {counted(days, 'working day')} from your yes" if days else f"Ready: {ready_words(days).lower()}"
    limit, language = quote.job.spending_limit, quote.book.settings.language
    if limit is not None:
        shown, over = money_text(limit, quote.currency, language), tier.total - limit
        within = f"{money_text(over, quote.currency, language)} over" if over > 0 else "Within"
        yield f"{within} your limit of {shown}"
    if tier.deposit:
        yield f"Deposit {money_text(tier.deposit, quote.currency, language)} before parts are ordered"


def _fixed(tier: PricedTier, quote: Quote) -> Iterator[str]:
    for found in quote.job.findings:
        if found.fault and found.key in tier.fixed:
            yield finding_name(found)


def _work(tier: PricedTier, quote: Quote) -> Iterator[str]:
    """Each item with what is promised of it; the same work on several sides once."""
    sides: dict[tuple[str, str], list[str]] = {}
    for item in tier.items:
        promise = promise_words(item, quote.book.settings.language)
        sides.setdefault((item.wording or item.name, _asked(item, promise)), []).append(item.side or "")
    for (name, promise), where in sides.items():
        yield item_words(at_side_words(name, joined(where)), promise)


def _asked(item: TierItem, promise: str) -> str:
    said = "done by the larger work" if item.done_by_larger_work else "as you asked" if item.asked else ""
    return ", ".join(filter(None, (promise, said)))


def _extra(number: int, key: str, words: str, quote: Quote) -> Html:
    """The box, the most it adds to each option, and a place for the exact difference."""
    name = f"extra-{number}"
    box = tag("input", type="checkbox", id=name, value=str(number), aria_describedby=f"{name}-most {name}-exact")
    label = tag("label", words, for_=name, dir="auto")
    most = tag("p", _most_words(key, quote), class_="most", id=f"{name}-most")
    exact = tag("p", class_="exact", id=f"{name}-exact", hidden=True)
    return tag("li", tag("div", box, label, class_="pick"), most, exact)


def _most_words(key: str, quote: Quote) -> str:
    """The most it adds, options with the same answer together."""
    answers: dict[str, list[str]] = {}
    for tier in quote.offered:
        answers.setdefault(_at_most(key, tier, quote), []).append(option_number(quote, tier))
    if len(answers) == 1:
        with_any = " with any option" if len(quote.offered) > 1 else ""
        return f"Before tax: {next(iter(answers))}{with_any}."
    return f"Before tax: {'; '.join(f'{answer} with {joined(names)}' for answer, names in answers.items())}."


def _at_most(key: str, tier: PricedTier, quote: Quote) -> str:
    for extra in tier.extras:
        if extra.extra == key:
            return f"at most {money_text(extra.at_most, quote.currency, quote.book.settings.language)}"
    return "included" if any(item.key == key for item in tier.items) else "not offered"


def _figures(quote: Quote) -> Html:
    """The rows of the choice's figures; amounts are put in by the script."""
    assert quote.live is not None
    language = quote.book.settings.language
    rows = [_row(spelled(label, language), figure) for figure, label in FIGURE_LABELS if figure in quote.live.figures]
    taxes = [(name, f"tax {n}") for n, (name, _) in enumerate(quote.live.taxes, start=1)]
    with_tax = quote.book.settings.prices_shown == "with tax"
    subtotal = _row("Of which before tax" if with_tax else "Subtotal before tax", "subtotal", "subtotal")
    tax_rows = [_row(f"Of which {name}" if with_tax else name, figure) for name, figure in taxes]
    total = _row("Total to pay, tax included" if with_tax else "Total to pay", "total", "total")
    sums = [total, subtotal, *tax_rows] if with_tax else [subtotal, *tax_rows, total]
    caption = tag("caption", "What it comes to")
    return tag("table", caption, tag("tbody", *rows, *sums, *_paid(quote)), class_="figures")


def _paid(quote: Quote) -> Iterator[Html]:
    paid = quote.job.paid_so_far
    if paid:
        shown = money_text(paid, quote.currency, quote.book.settings.language)
        yield tag("tr", tag("th", "Paid so far", scope="row"), tag("td", shown))
        yield _row("Still due (below zero: we return it)", "due")
    if any(tier.deposit for tier in quote.offered):
        yield _row("Deposit before parts are ordered", "deposit")


def _row(label: str, figure: str, style: str = "") -> Html:
    head, cell = tag("th", label, scope="row", dir="auto"), tag("td", data_figure=figure)
    return tag("tr", head, cell, class_=style or False)


def _reply(quote: Quote) -> tuple[Html, ...]:
    """The text to send back, and ways to send it."""
    how = "Send us these lines as they are: they say what you chose. You may write more below them."
    label = tag("label", "Your reply", for_="reply")
    text = tag("textarea", id="reply", rows=6, readonly=True, spellcheck="false", aria_describedby="reply-how")
    copy = tag("button", "Copy the reply", type="button", id="copy")
    mail = (
        tag("a", "Send it by e-mail", href="#reply", id="mail", class_="button")
        if quote.book.settings.email
        else NOTHING
    )
    done = tag("p", id="copied", role="status", aria_live="polite")
    return (tag("p", how, id="reply-how"), label, text, tag("p", copy, " ", mail), done)
