"""The sheet on which the owner ticks: a row for each row of the shop book that differs, the largest effect first.

The cells to tick are the only ones that can be typed in, and nothing is ticked in advance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotekit.documents.costing_style import head, note, section
from quotekit.documents.fingerprint import TICKS
from quotekit.documents.price_proposals_style import amount, gap, one, share, table_sheet, tall, units
from quotekit.documents.price_proposals_words import (
    also_changes,
    gone_words,
    in_percent,
    instead_words,
    note_words,
    quote_names,
    short,
    some,
    why_second,
)
from quotekit.documents.sheet import Cell, NamedRange, Row, Sheet, row, text
from quotekit.documents.wording import counted
from quotekit.model.proposed_prices import PriceProposal, ProposedPrices

NAME = "Proposals"
TICK_NAME = f"{TICKS}proposals"
"""The cells to tick: two columns, all rows."""

TITLES = (
    "Take", "Take anyway", "Part", "What it is", "Row",
    "Cost of one now", "Cost of one new", "Change", "Price now", "Price new", "Margin now", "Margin new",
    "Used in a year", "More to pay a year", "More to sell for a year", "What the tick takes over; what to know",
)  # fmt: skip
_WIDTHS = (5.5, 7.5, 17.0, 19.0, 8.5, 8.0, 8.0, 7.5, 8.0, 8.0, 7.5, 7.5, 7.5, 9.5, 9.5, 32.0)
_COLUMNS = len(_WIDTHS)
_MOST_QUOTES = 8
"""Open quotes that are named; all are on the sheet of open quotes."""
_RIGHT = range(5, 15)


def lay_out_ticks(found: ProposedPrices) -> tuple[Sheet, tuple[int, ...]]:
    """The sheet, and for each proposal in order the row on it (0-based)."""
    rows = [*_opening(found)]
    above = len(rows)
    rows.append(head(*TITLES, right=_RIGHT))
    places: list[int] = []
    for title, proposals in _groups(found):
        rows += section(title, _COLUMNS) if title else []
        for each in proposals:
            places.append(len(rows))
            rows.append(_row(each, found))
    return table_sheet(found, NAME, tall(rows, _WIDTHS), _WIDTHS, above), tuple(places)


def tick_area(sheet: Sheet, places: Sequence[int]) -> tuple[NamedRange, ...]:
    """The name of the cells to tick; none where there is nothing to tick."""
    if not places:
        return ()
    return (
        NamedRange(
            name=TICK_NAME, sheet=sheet.name, first_row=places[0], first_column=0, last_row=places[-1], last_column=1
        ),
    )  # fmt: skip


def _opening(found: ProposedPrices) -> Iterator[Row]:
    suppliers = some(list(dict.fromkeys(one.supplier for one in found.lists)), _MOST_QUOTES)
    yield row(text(f"Price proposals of {suppliers}, {found.day.isoformat()}", "title", _COLUMNS))
    if not found.proposals:
        yield note("Nothing is proposed: where a number of the shop book is in the list, both say the same.", _COLUMNS)
    second = sum(bool(each.over) for each in found.proposals)
    beyond = (
        f" {counted(second, 'row')} need Yes under Take anyway too: they change by more than "
        f"{in_percent_of(found)}, or look like a slip."
        if second
        else ""
    )
    yield note(
        f"Type Yes under Take beside what you want in the shop book.{beyond} Nothing is ticked for you.", _COLUMNS
    )
    yield note(
        f"Amounts in {found.currency}, before tax. Prices are those that a quote would have. Margin: what one leaves, "
        "by its price. A year: units used in jobs closed in the year before, times the change.",
        _COLUMNS,
    )
    yield gap(_COLUMNS)


def in_percent_of(found: ProposedPrices) -> str:
    """The limit in words."""

    return in_percent(Fraction(found.limit), found)


def _groups(found: ProposedPrices) -> Iterator[tuple[str, list[PriceProposal]]]:
    """The proposals with their headings: what was used, what was not; one without a heading where no ledger tells."""
    used = [each for each in found.proposals if each.used]
    other = [each for each in found.proposals if not each.used]
    if found.used_from is None:
        yield "", other
        return
    if used:
        yield f"Used since {found.used_from.isoformat()}, the largest effect first", used
    if other:
        yield "Not used since then, and offers of other suppliers", other


def _row(each: PriceProposal, found: ProposedPrices) -> Row:
    now, new = each.row.terms, each.new
    take = Cell(kind="blank", style="tick", choices="Yes,No", prompt="Yes takes the row's new values over.")
    anyway = Cell(kind="blank", style="tick", choices="Yes,No", prompt="Yes takes it over though it looks odd.")
    sold = (now.price, new.price) if now.price is not None else (None, None)
    return row(
        take,
        anyway if each.over else text("", "not needed"),
        text(short(each.row.code), "beside"),
        text(short(each.row.name)),
        text(f"{each.row.sheet} {each.row.source.row}", "row"),
        one(now.cost_each, found),
        one(new.cost_each, found),
        share(each.cost_change),
        one(sold[0], found),
        one(sold[1], found),
        share(now.margin_share),
        share(new.margin_share),
        units(each.used or None),
        amount(each.cost_effect if each.used else None, found),
        amount(each.price_effect if each.used else None, found),
        text(told(each, found), "told"),
    )


def told(each: PriceProposal, found: ProposedPrices) -> str:
    """What the tick takes over, why it needs a second one, and what to know, one under the other."""
    why = why_second(each, found)
    lines = [
        also_changes(each, found),
        instead_words(each, found) or gone_words(each),
        f"Second tick: {why}" if why else "",
        "; ".join(map(note_words, each.notes)),
    ]
    if quotes := quote_names(each):
        lines.append(f"open quotes: {some(quotes, _MOST_QUOTES)}")
    if each.row.sheet == "Offers":
        lines.append(f"an offer of {short(each.row.supplier)}: it sells nothing")
    return "\n".join(filter(None, lines))
