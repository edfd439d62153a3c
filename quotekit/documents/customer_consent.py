"""The consent block: which option and extras, who said so, when and how; and a place for what is agreed later."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import zip_longest

from quotekit.documents.customer_choice import (
    Figure,
    box_cell,
    figure_cells,
    figures,
    on_screen,
    pick_row,
    status_cell,
)
from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_text
from quotekit.documents.sheet import Cell, Row, blank, text
from quotekit.documents.wording import BOX, finding_name
from quotekit.documents.working_sheet import Working
from quotekit.model.quote import PricedTier, Quote

_LINE_HEIGHT = 2.15
"""Room to write on a line, in heights of the body text."""

_LABELS = {"money": "line", "subtotal": "subtotal label", "total": "total label"}


def consent_rows(quote: Quote, grid: Grid, working: Working, *, full: bool = True) -> Iterator[Row]:
    """What the customer fills in and signs, kept together on one page; `full` with every figure on paper."""
    if quote.live is None:
        yield from grid.heading("Your decision, with only what is ticked above" if _extras(quote) else "Your decision")
        rows = [*_choices(quote, grid), *_signatures(grid)]
        beside: list[Figure] = []
    else:
        yield grid.gap()
        yield pick_row(working, grid)
        every = list(figures(quote, working))
        printed = [figure for figure in every if full or figure.total]
        beside = [figure for figure in every if figure not in printed]
        rows = [*_decision(quote, grid, working, printed), *_signatures(grid)]
    for row, figure in zip_longest(rows, beside):
        if figure is None:
            yield row
        else:
            amount = figure_cells(replace(figure, style="screen money"), quote, working)
            yield on_screen(row or grid.gap(), amount, text(figure.label, "screen"))


def _signatures(grid: Grid) -> Iterator[Row]:
    how = f"Agreed  {BOX} in person  {BOX} by phone  {BOX} by message, to"
    for left, right in (
        ("Name of who agrees", "Agreed total to pay"),
        (how, "Date and time"),
        ("Signature of the customer", "Taken by, for the shop"),
    ):
        yield _to_fill(left, right, grid)
    later = "Agreed later (what was found, what is added, the new total to pay, who agreed, when and how):"
    yield grid.fit(text(later, "to fill", grid.columns), keep=True, least=_room(grid))
    yield grid.fit(text("", "to fill", grid.columns), least=_room(grid))


def _decision(quote: Quote, grid: Grid, working: Working, printed: Sequence[Figure]) -> Iterator[Row]:
    """The options with their boxes on the left, what the choice comes to on the right, then the no."""
    wide = min(2, grid.options)
    narrow = grid.columns - wide - 1
    left: list[tuple[Cell, ...]] = [(status_cell(quote, working, narrow),)]
    for n, tier in enumerate(quote.offered):
        words = f"{option_number(quote, tier)}: {tier.name}, {_total(tier, quote)}"
        left.append((box_cell(working.chosen[n], "box"), text(words, "choice", narrow - 1)))
    beside = not _understood(quote)
    if beside:
        left.append((text(BOX, "box"), text(_no_words(quote), "choice", narrow - 1)))
    for cells, figure in zip_longest(left, printed):
        right: tuple[Cell, ...] = (blank("line", wide + 1),)
        if figure is not None:
            right = (text(figure.label, _LABELS[figure.style], wide), figure_cells(figure, quote, working))
        yield grid.fit(*(cells or (blank("choice", narrow),)), *right, keep=True)
    if not beside:
        yield from _choice(text(BOX, "box"), _no_words(quote), grid)


def _choices(quote: Quote, grid: Grid) -> Iterator[Row]:
    """An empty box for each option, and one for a no."""
    for tier in quote.offered:
        words = f"{option_number(quote, tier)}: {tier.name}, total to pay {_total(tier, quote)}, tax included"
        yield from _choice(text(BOX, "box"), words, grid)
    yield from _choice(text(BOX, "box"), _no_words(quote), grid)


def _total(tier: PricedTier, quote: Quote) -> str:
    return money_text(tier.total, quote.currency, quote.book.settings.language)


def _no_words(quote: Quote) -> str:
    no = money_text(quote.declined.total, quote.currency, quote.book.settings.language)
    pay = f"and pay {no}, tax included" if quote.declined.total else "and have nothing to pay"
    return f"I decline the work {pay}.{_understood(quote)}"


def _choice(box: Cell, words: str, grid: Grid) -> Iterator[Row]:
    """A box and its words; more words go on below, without another box."""
    for n, line in enumerate(grid.beside(("", words), (1, grid.columns - 1), ("box", "choice"), keep=True)):
        yield replace(line, cells=(box, *line.cells[1:])) if n == 0 else line


def _understood(quote: Quote) -> str:
    safety = [finding_name(found) for found in quote.job.findings if found.fault and found.severity == "safety"]
    if not safety:
        return ""
    return f" I have been told that this stays, and that it is a matter of safety: {'; '.join(safety)}."


def _extras(quote: Quote) -> bool:
    return any(tier.extras for tier in quote.offered)


def _to_fill(left: str, right: str, grid: Grid) -> Row:
    cells = (label_cell(f"{left}:", "to fill"), text(f"{right}:", "to fill", grid.columns - 2))
    return grid.fit(*cells, keep=True, least=_room(grid))


def _room(grid: Grid) -> float:
    return round(grid.looks["body"].size * _LINE_HEIGHT / 0.75) * 0.75
