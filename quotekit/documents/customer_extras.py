"""Work that may be added: extras, and remedies for what an option leaves; at most so much, none ticked in advance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from quotekit.documents.customer_choice import exact_cells, on_screen, screen_titles, screen_total, tick_cell
from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.sheet import Cell, Row, money, text
from quotekit.documents.wording import BOX, NONE, at_side_words, joined, key_words
from quotekit.documents.working_sheet import Working
from quotekit.model.quote import OfferedExtra, PricedTier, Quote

_WHY = {
    "while it is open": "while open",
    "on the job's list": "",
    "found, not in this option": "found",
}

NOTE = "Added only if you tick its box; several together never add more than their sum. Parts for it may take longer."


def extra_rows(quote: Quote, grid: Grid, working: Working) -> Iterator[Row]:
    """One row for each thing that may be added, an empty box to tick at its end."""
    offered = {extra.extra: extra for tier in reversed(quote.offered) for extra in reversed(tier.extras)}
    if not offered:
        return
    yield grid.gap()
    header = extra_header(quote, grid)
    live = working.extras is not None
    yield on_screen(header, *screen_titles()) if live else header
    note, *more = grid.paragraph(NOTE, "quiet", keep=True)
    yield on_screen(note, *screen_total(quote, working)) if live else note
    yield from more
    answers, numbers = [_most_of(tier) for tier in quote.offered], finding_numbers(quote)
    for key in extra_keys(quote):
        cells = tuple(of_tier.get(key) or text(NONE, "answer") for of_tier in answers)
        yield from _extra(extra_words(offered[key], quote, numbers), key, cells, quote, grid, working)


def extra_header(quote: Quote, grid: Grid) -> Row:
    """The numbers of the options; said again where a page starts inside the list."""
    numbers = [text(f"Option {n}", "column") for n in range(1, grid.options + 1)]
    title = label_cell("What you may add: at most, before tax", "column left")
    return grid.fit(title, *numbers, text("Yes, add it", "column"), keep=True)


def extra_keys(quote: Quote) -> list[str]:
    """What may be added to any option, in the order of the options."""
    return list(dict.fromkeys(extra.extra for tier in quote.offered for extra in tier.extras))


def _extra(words: str, key: str, cells: tuple[Cell, ...], quote: Quote, grid: Grid, working: Working) -> Iterator[Row]:
    places = working.extras.get(key) if working.extras is not None else None
    tick = text(BOX, "tick box") if places is None else tick_cell(_name_of(key, quote))
    *above, last = grid.line(words, (*cells, tick))
    yield from above
    if places is None:
        yield last
    else:
        yield on_screen(last, *exact_cells(places, working, quote))


def _name_of(key: str, quote: Quote) -> str:
    assert quote.live is not None
    return next(extra.defined_name for extra in quote.live.extras if extra.key == key)


def _most_of(tier: PricedTier) -> dict[str, Cell]:
    """What an option says to each thing that may be added: the most it adds, or that it is included."""
    included = {item.key: text("Included", "answer") for item in tier.items}
    return {**included, **{extra.extra: money(extra.at_most) for extra in reversed(tier.extras)}}


def finding_numbers(quote: Quote) -> dict[str, int]:
    """The number under which each finding is described."""
    return {found.key: n for n, found in reversed([*enumerate(quote.job.findings, start=1)])}


def extra_words(extra: OfferedExtra, quote: Quote, numbers: Mapping[str, int]) -> str:
    """Its name, why it is offered and what it puts right: findings by their number, or by name where they have none."""
    name = at_side_words(extra.wording or extra.name, extra.side)
    named = [str(numbers[key]) if key in numbers else key_words(key, quote) for key in extra.fixes]
    fixes = f"puts right {joined(named)}" if named else ""
    said = "; ".join(filter(None, (_WHY.get(extra.why, extra.why), fixes)))
    return f"{name} ({said})" if said else name
