"""The sheet of open quotes: each option as it was offered, priced today and under the new prices, and if it is held."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.costing_style import head, note
from quotekit.documents.price_proposals_style import amount, gap, table_sheet, tall
from quotekit.documents.price_proposals_words import short, some
from quotekit.documents.sheet import Cell, Row, Sheet, day, row, text
from quotekit.model.open_quotes import OpenQuote, OpenTier
from quotekit.model.proposed_prices import ProposedPrices

NAME = "Open quotes"
TITLES = (
    "Quote", "Customer", "Good until", "Option", "Offered", "Today", "New prices",
    "Margin today", "Margin new", "If held, it leaves", "Would lose money", "Parts that would change",
)  # fmt: skip
_WIDTHS = (13.0, 17.0, 10.0, 18.0, 10.0, 10.0, 10.0, 9.5, 9.5, 10.0, 8.0, 28.0)
_COLUMNS = len(_WIDTHS)
_LONGEST = 300
_MOST_PARTS = 30
"""Parts that are named; more are counted."""


def lay_out_open_quotes(found: ProposedPrices) -> Sheet:
    """The sheet."""
    rows = [row(text("Open quotes under the new prices", "title", _COLUMNS)), *_notes(found), gap(_COLUMNS)]
    above = len(rows)
    rows.append(head(*TITLES, right=range(4, 10)))
    for quote in found.quotes:
        rows += _rows(quote, found)
    return table_sheet(found, NAME, tall(rows, _WIDTHS), _WIDTHS, above)


def _notes(found: ProposedPrices) -> Iterator[Row]:
    if not found.quotes:
        yield note("No open quote holds a part that would change.", _COLUMNS)
        return
    yield note(
        "Totals with tax, margins before tax. Offered: as it was handed over; not issued: a job that nobody has yet. "
        "Today and New prices: priced again with this shop book, as it is and with every row taken. "
        "* Other work is chosen then.",
        _COLUMNS,
    )
    yield note(
        "If held: what was offered before tax (not issued: today's), less the cost of the same work at the new prices. "
        "Below zero it would lose money. As an extra: only work that is offered beside an option would hold the part; "
        "no total here has it.",
        _COLUMNS,
    )


def _rows(quote: OpenQuote, found: ProposedPrices) -> Iterator[Row]:
    name = text(short(quote.name))
    who = text(short(quote.customer))
    if quote.trouble:
        why = text(f"can't be priced again: {short(quote.trouble, _LONGEST)}", "small", 9)
        yield row(name, who, day(quote.valid_until, "left"), why)
        return
    for place, tier in enumerate(quote.tiers):
        first = place == 0
        yield row(
            name if first else text(""),
            who if first else text(""),
            day(quote.valid_until, "left") if first else text(""),
            *_tier(tier, quote, found),
            text(_parts(quote) if first else "", "small"),
        )


def _parts(quote: OpenQuote) -> str:
    """Parts that would change; those of an extra that is offered for themselves."""
    extras = f"as an extra: {some(quote.extra_parts, _MOST_PARTS)}" if quote.extra_parts else ""
    return "\n".join(filter(None, (some(quote.parts, _MOST_PARTS), extras)))


def _tier(tier: OpenTier, quote: OpenQuote, found: ProposedPrices) -> Iterator[Cell]:
    yield text(short(tier.name) if tier.same_work else f"{short(tier.name)} *")
    yield amount(tier.offered_total, found) if quote.issued else text("not issued", "right")
    yield amount(tier.total_now, found)
    yield amount(tier.total_new, found)
    yield amount(tier.margin_now, found)
    yield amount(tier.margin_new, found)
    yield amount(tier.margin_held, found, "strong money" if tier.loses else "money")
    yield text({None: "not known", True: "YES", False: "no"}[tier.loses], "strong" if tier.loses else "beside")
