"""The sheet "Over the years" of the costing: what comes round when in each tier, and what the order hangs on."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.costing_style import amount, head, note, quantity, section, sheet
from quotekit.documents.money_text import number_text, percent_text
from quotekit.documents.sheet import Row, Sheet, blank, row, text
from quotekit.documents.wording import at_side_words, joined
from quotekit.documents.years_words import (
    ESTIMATES,
    choice_sentences,
    no_ranges_sentence,
    range_sentence,
    setting_words,
)
from quotekit.model.quote import PricedTier, Quote, TierItem
from quotekit.model.years import CostOverYears, Repeat

COLUMNS = 5
WIDTHS = (35.0, 16.0, 12.0, 14.0, 14.0)
_MONEY = range(2, COLUMNS)
MOST_SHOWN = 12
"""Years at which a repeat is listed one by one."""


def lay_out_years(quote: Quote, name: str) -> Sheet | None:
    """The offered tiers, or all where none is offered; None where no tier could be worked out."""
    priced = [tier for tier in quote.tiers if tier.priced]
    shown = [tier for tier in priced if tier.offered] or priced
    if not shown:
        return None
    rows = [
        *_opening(quote),
        *(line for tier in shown for line in _tier(quote, tier)),
        *_by_year(quote, shown),
        *_order(quote),
    ]
    return sheet(quote, name, rows, WIDTHS, upright=True)


def _opening(quote: Quote) -> Iterator[Row]:
    settings, language = quote.book.settings, quote.book.settings.language
    years = quote.job.years_compared(settings.years_to_compare)
    interest = percent_text(settings.interest_a_year, language)
    yield row(text(f"Over the years, job {quote.job.job_number}, version {quote.job.version}", "title", COLUMNS))
    yield note(f"{ESTIMATES} Amounts in {quote.currency} before tax.", COLUMNS)
    yield row(text("Years compared", "strong"), text(setting_words("horizon", years, quote), across=COLUMNS - 1))
    yield row(text("Interest a year", "strong"), text(interest, across=COLUMNS - 1))


def _tier(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    """A tier's small table: what comes round when and what it costs each time."""
    offered = "" if tier.offered else ", not offered"
    yield from section(f"{tier.name} ({tier.code}){offered}", COLUMNS)
    years = tier.years
    if years is None:
        blanks = joined([_words(item) for item in tier.items if item.kind == "remedy" and item.life_years is None])
        yield note(f"No figures: no Life years is stated for {blanks}, so nobody knows when it comes round.", COLUMNS)
        return
    yield head("What", "After years", "Times", "Each time", "Worth today", right=_MONEY)
    yield row(
        text("The work of this tier"), text("today"), quantity(1), amount(tier.work), amount(tier.work), keep=True
    )
    names = {item.key: item for item in tier.items}
    for repeat in years.repeats:
        yield _repeat(quote, names[repeat.item], repeat)
    yield _sum(f"Cost over {setting_words('horizon', years.horizon, quote)}", years.cost, "sum", keep=True)
    yield from _a_year(quote, years)
    lasting = [_words(item) for item in tier.items if item.kind == "remedy" and not _comes_round(item, years)]
    if lasting:
        yield note(f"Last the years compared: {joined(lasting)}.", COLUMNS)


def _repeat(quote: Quote, item: TierItem, repeat: Repeat) -> Row:
    return row(
        text(_words(item)),
        text(_when(quote, repeat.years)),
        quantity(len(repeat.years)),
        amount(repeat.each),
        amount(repeat.together),
        keep=True,
    )


def _when(quote: Quote, years: tuple[Decimal, ...]) -> str:
    language = quote.book.settings.language
    if len(years) > MOST_SHOWN:
        return f"every {number_text(years[0], language)} up to {number_text(years[-1], language)}"
    return joined([number_text(year, language) for year in years])


def _a_year(quote: Quote, years: CostOverYears) -> Iterator[Row]:
    if years.equivalent_a_year is None:
        yield note("Over no years there is no cost a year.", COLUMNS)
        return
    interest = percent_text(years.interest, quote.book.settings.language)
    label = f"The same as a level amount a year, at {interest}" if years.interest else "The same a year"
    yield _sum(label, years.equivalent_a_year, "grand")


def _sum(label: str, value: Decimal, style: str, *, keep: bool = False) -> Row:
    return row(text(label, style, COLUMNS - 1), amount(value, f"{style} money"), keep=keep)


def _by_year(quote: Quote, tiers: list[PricedTier]) -> Iterator[Row]:
    """What each tier comes to over every number of years up to those compared."""
    known = [(tier, tier.years) for tier in tiers if tier.years is not None]
    if not 2 <= len(known) < COLUMNS:
        return
    spare = COLUMNS - 1 - len(known)
    yield from section("What each comes to over fewer years", COLUMNS)
    yield head("Years compared", *(tier.name for tier, _ in known), right=range(1, COLUMNS))
    horizon, last = known[0][1].horizon, len(known[0][1].by_year) - 1
    for place in range(last + 1):
        year = horizon if place == last else Decimal(place)
        label = number_text(year, quote.book.settings.language) if place else "today"
        cells = [amount(years.by_year[place]) for _, years in known]
        yield row(text(label), *cells, *([blank(across=spare)] if spare else []), keep=place < last)


def _order(quote: Quote) -> Iterator[Row]:
    """What the order of the tiers, and their own choices, hang on."""
    told = quote.sensitivity
    if told is None:
        return
    yield from section("What the order hangs on", COLUMNS)
    if len(told.order) > 1:
        names = {tier.code: tier.name for tier in quote.tiers}
        yield _sentence(f"By cost over the years, the least first: {', '.join(names[code] for code in told.order)}.")
    sentences = [range_sentence(one, quote) for one in told.ranges] or [no_ranges_sentence(told, quote)]
    sentences += choice_sentences(told, quote)
    for place, words in enumerate(sentences, start=1):
        yield _sentence(words, keep=place < len(sentences))


def _sentence(words: str, *, keep: bool = True) -> Row:
    return row(text(words, "body", COLUMNS), keep=keep)


def _comes_round(item: TierItem, years: CostOverYears) -> bool:
    return any(repeat.item == item.key for repeat in years.repeats)


def _words(item: TierItem) -> str:
    """The owner's name of it with its side, and its code."""
    return f"{at_side_words(item.name, item.side)} ({item.key})"
