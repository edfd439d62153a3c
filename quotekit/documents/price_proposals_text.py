"""Price proposals in a few lines for the terminal: counts, the largest effects, quotes that would lose money."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from quotekit.documents.price_proposals_effect import cost_sum, largest, price_sum
from quotekit.documents.price_proposals_words import LEFT_WORDS, in_money, in_percent, more_words
from quotekit.documents.wording import counted
from quotekit.model.proposed_prices import ProposedPrices

SHOWN = 5
"""Parts that are named."""


def lay_out_proposals_text(found: ProposedPrices) -> list[str]:
    """The lines."""
    return list(_lines(found))


def _lines(found: ProposedPrices) -> Iterator[str]:
    for one in found.lists:
        yield f"{one.report.file}: {one.asked:,} rows of the shop book name {one.supplier}"
    second = sum(bool(one.over) for one in found.proposals)
    more = f", {second} of them with a second tick" if second else ""
    yield f"{counted(len(found.proposals), 'row')} to tick{more}; {found.same:,} say what the list says"
    for why, words in LEFT_WORDS.items():
        count = sum(one.why == why for one in found.left)
        if count:
            yield f"nothing proposed for {counted(count, 'row')}: {words}"
    cost, price = cost_sum(found), price_sum(found)
    if cost is not None and price is not None:
        yield f"a year: {more_words(cost, found)} to pay, {more_words(price, found)} to sell for"
    for each in largest(found)[:SHOWN]:
        yield (
            f"    {each.row.code}: cost of one {in_percent(each.cost_change_then, found)}, "
            f"{more_words(each.cost_effect or Fraction(0), found)} to pay a year"
        )
    yield from _quotes(found)


def _quotes(found: ProposedPrices) -> Iterator[str]:
    touched = [quote for quote in found.quotes if quote.parts]
    if touched:
        yield f"open quotes that hold such parts: {', '.join(quote.name for quote in touched)}"
    offering = [quote for quote in found.quotes if quote.extra_parts]
    if offering:
        yield f"open quotes that offer such parts as an extra: {', '.join(quote.name for quote in offering)}"
    for quote in found.quotes:
        if quote.trouble:
            yield f"{quote.name} can't be priced again: {quote.trouble}"
        for tier in quote.tiers:
            if tier.loses:
                yield f"{quote.name} would lose money if held, {tier.name}: {in_money(tier.margin_held, found)}"
