"""Repair or replace as the customer's own decision: the values it stands on, both costs, the limit and the word.

It is there whenever a value is given, whichever way it comes out. The figures are those of each option as offered; they
do not follow what is ticked. On paper it is short; the page says more (`page_replace`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_text, number_text, percent_text
from quotekit.documents.sheet import Cell, Row, blank, money, text
from quotekit.documents.wording import NONE, joined
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_LOSES,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
    RepairOrReplace,
    Stretch,
    WouldDecide,
)

TITLE = "Repair or replace: your decision"
A_NEW_ONE = "A new one"
_UNKNOWN = "not known"
_WHAT = {
    NEW_PRICE: "the price of a new one",
    USED_WORKING: "what a used one that works costs",
    AS_IT_STANDS: "what yours would bring as it stands",
    UPKEEP_KEPT: "what yours costs a year to keep up once repaired",
    UPKEEP_NEW: "what a new one costs a year to keep up",
    COULD_LAST: "how many years yours could last",
}
_LABELS = {
    NEW_PRICE: "A new one, tax and delivery included",
    USED_WORKING: "A used one that works",
    AS_IT_STANDS: "Yours as it stands",
    UPKEEP_KEPT: "Upkeep a year, once repaired",
    UPKEEP_NEW: "Upkeep a year of a new one",
}
_WORDS = {"repair": "Repair", "close call": "Close call", "replace": "Replace"}
_IN_A_SENTENCE = {"repair": "repair", "close call": "a close call", "replace": "replace"}


def replace_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """The section of the sheet; nothing where the job asks no such question."""
    if not weighed(quote):
        return
    lines = list(replace_lines(quote))
    heads = [*(option_number(quote, tier) for tier in quote.offered), A_NEW_ONE if len(lines) > 1 else ""]
    yield from grid.titled(TITLE, [text(head if lines else "", "section right") for head in heads])
    for label, cells in lines:
        yield from grid.line(label, cells, keep=True)
    for label, words in open_words(quote):
        yield from grid.pairs(label, words)
    yield from grid.paragraph(f"{counted_with(quote)} {left_out_words(quote)}", "quiet")


def weighed(quote: Quote) -> list[RepairOrReplace]:
    """The comparison of each option offered; empty where the job gives no value for it."""
    return [tier.repair_or_replace for tier in quote.offered if tier.repair_or_replace is not None]


def counted_with(quote: Quote) -> str:
    """The values, in words that a customer can change."""
    found, language = weighed(quote)[0], quote.book.settings.language

    def worth(name: str) -> str:
        return _shown(found.value(name), quote, _UNKNOWN)

    lasts = found.value(COULD_LAST)
    return (
        f"Counted with: a new one, tax and delivery included, {worth(NEW_PRICE)}; a used one that works "
        f"{worth(USED_WORKING)}; yours as it stands {worth(AS_IT_STANDS)}; upkeep a year {worth(UPKEEP_KEPT)}, "
        f"of a new one {worth(UPKEEP_NEW)}{_loses(quote, '; a new one loses {} of its price')}; "
        "years yours could last: "
        f"{_UNKNOWN if lasts is None else number_text(lasts, language)}. "
        "These are estimates, no guarantee: put in your own numbers."
    )


def value_words(quote: Quote) -> Iterator[tuple[str, str]]:
    """Each value by itself, for the page."""
    found, lasts = weighed(quote)[0], weighed(quote)[0].value(COULD_LAST)
    for name, label in _LABELS.items():
        yield label, _shown(found.value(name), quote, _UNKNOWN)
    loses = _loses(quote, "{} of its price")
    if loses:
        yield "A new one loses", loses
    over = "" if found.horizon is None else f"; counted over {years_words(found.horizon, quote)}"
    yield "Yours could last", f"{_UNKNOWN if lasts is None else years_words(lasts, quote)}{over}"


def short_formula(quote: Quote) -> str:
    """What the repair is worth, in words for other numbers."""
    found = weighed(quote)[0]
    over = f"less what yours costs more in upkeep over {years_words(found.horizon, quote)}"
    if found.value(NEW_LOSES) is None:
        up_to = "half of what a new one and a used one cost together"
    else:
        up_to = "what a new one loses and what yours is then worth, both together"
    return (
        f"With your own numbers: the repair is worth to you up to {up_to}, less what yours brings as it stands, {over}."
    )


def left_out_words(quote: Quote) -> str:
    """What else to weigh, and what is not counted."""
    return "Ask for the price of a sound used one too. Left out: the inspection, and what you may add."


def replace_lines(quote: Quote) -> Iterator[tuple[str, list[Cell]]]:
    """Each line with a cell for each option and one for a new machine; none where a missing value decides."""
    every = weighed(quote)
    first = every[0]
    limit = "The cheaper way"
    if all(found.limit is not None for found in every):
        assert first.replace is not None
        yield (
            f"Cost over {years_words(first.horizon, quote)}, less what it is worth then",
            [*_amounts(quote, lambda found: found.keep), money(first.replace)],
        )
        limit = f"The repair is worth up to {_shown(first.limit, quote)} to you; the cheaper way"
    if any(found.word for found in every):
        yield limit, [*(text(_word(found), "sum") for found in _each(quote)), blank("answer")]


def open_words(quote: Quote) -> Iterator[tuple[str, str]]:
    """For each option, or for all at once, what the answer waits for."""
    said: dict[str, list[str]] = {}
    for tier in quote.offered:
        words = _open(tier, quote)
        if words:
            said.setdefault(words, []).append(option_number(quote, tier))
    for words, numbers in said.items():
        yield joined(numbers) if len(said) > 1 or len(quote.offered) == 1 else "Every option", words


def years_words(years: Decimal | None, quote: Quote) -> str:
    """A number of years with its unit."""
    if years is None:
        return NONE
    return f"{number_text(years, quote.book.settings.language)} {'year' if years == 1 else 'years'}"


def _open(tier: PricedTier, quote: Quote) -> str:
    found = tier.repair_or_replace
    if found is None:
        return ""
    if found.contradiction:
        return "Not compared: two of these values can\u2019t both be right."
    if found.would_decide is not None:
        return _waits_for(found.would_decide, quote)
    if found.missing and found.word is not None:
        names = joined([_WHAT[name] for name in found.missing])
        return f"{_WORDS[found.word]}, whatever {names} {'is' if len(found.missing) == 1 else 'are'}."
    return ""


def _waits_for(decides: WouldDecide, quote: Quote) -> str:
    if not decides.words:
        return f"Nothing can be said yet without {joined([_WHAT[name] for name in decides.names])}."
    name = decides.names[0]
    parts = [
        f"{_range(part, number, name, quote)} {_IN_A_SENTENCE[part.word]}" for number, part in enumerate(decides.words)
    ]
    return f"It turns on {_WHAT[name]}: {'; '.join(parts)}."


def _range(part: Stretch, number: int, name: str, quote: Quote) -> str:
    """A stretch in words; the first begins at the least the value can be."""

    def shown(value: Decimal | None) -> str:
        return years_words(value, quote) if name == COULD_LAST else _shown(value, quote)

    if part.to is None:
        return f"from {shown(part.from_)} on"
    return f"up to {shown(part.to)}" if number == 0 else f"from {shown(part.from_)} to {shown(part.to)}"


def _each(quote: Quote) -> Iterator[RepairOrReplace | None]:
    return (tier.repair_or_replace for tier in quote.offered)


def _amounts(quote: Quote, amount: Callable[[RepairOrReplace], Decimal | None]) -> list[Cell]:
    values = [None if found is None else amount(found) for found in _each(quote)]
    return [text(NONE, "answer") if value is None else money(value) for value in values]


def _word(found: RepairOrReplace | None) -> str:
    return NONE if found is None or found.word is None else _WORDS[found.word]


def _loses(quote: Quote, words: str) -> str:
    """What a new one loses where the job says so: nothing is told of the middle that stands for it else."""
    part = weighed(quote)[0].value(NEW_LOSES)
    return "" if part is None else words.format(percent_text(part, quote.book.settings.language))


def _shown(value: Decimal | None, quote: Quote, unknown: str = NONE) -> str:
    return unknown if value is None else money_text(value, quote.currency, quote.book.settings.language)
