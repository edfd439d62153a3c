"""The consent block: which option and extras, who said so, when and how; and a place for what is agreed later."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from quotekit.documents.customer_choice import box_cell
from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.customer_options import option_number
from quotekit.documents.money_text import money_text
from quotekit.documents.sheet import Cell, Row, text
from quotekit.documents.wording import BOX, finding_name
from quotekit.documents.working_sheet import Working
from quotekit.model.quote import Quote

_LINE_HEIGHT = 2.15
"""Room to write on a line, in heights of the body text."""


def consent_rows(quote: Quote, grid: Grid, working: Working | None = None) -> Iterator[Row]:
    """What the customer fills in and signs, kept together on one page."""
    yield from grid.heading("Your decision, with only what is ticked above" if _extras(quote) else "Your decision")
    yield from _choices(quote, grid, working)
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


def _choices(quote: Quote, grid: Grid, working: Working | None) -> Iterator[Row]:
    """A box for each option, ticked where it is the one chosen, and a box for a no."""
    language = quote.book.settings.language
    for n, tier in enumerate(quote.offered):
        total = money_text(tier.total, quote.currency, language)
        extras = " without what is added" if tier.extras else ""
        words = f"{option_number(quote, tier)}: {tier.name}, total to pay{extras} {total}, tax included"
        live = working is not None and working.chosen
        box = box_cell(working.chosen[n], "box") if working is not None and live else text(BOX, "box")
        yield from _choice(box, words, grid)
    no = money_text(quote.declined.total, quote.currency, language)
    pay = f"and pay {no}, tax included" if quote.declined.total else "and have nothing to pay"
    yield from _choice(text(BOX, "box"), f"I decline the work {pay}{_understood(quote)}", grid)


def _choice(box: Cell, words: str, grid: Grid) -> Iterator[Row]:
    """A box and its words; more words go on below, without another box."""
    for n, line in enumerate(grid.beside(("", words), (1, grid.columns - 1), ("box", "choice"), keep=True)):
        yield replace(line, cells=(box, *line.cells[1:])) if n == 0 else line


def _understood(quote: Quote) -> str:
    safety = [finding_name(found) for found in quote.job.findings if found.fault and found.severity == "safety"]
    if not safety:
        return "."
    return f". I have been told that this stays, and that it is a matter of safety: {'; '.join(safety)}."


def _extras(quote: Quote) -> bool:
    return any(tier.extras for tier in quote.offered)


def _to_fill(left: str, right: str, grid: Grid) -> Row:
    cells = (label_cell(f"{left}:", "to fill"), text(f"{right}:", "to fill", grid.columns - 2))
    return grid.fit(*cells, keep=True, least=_room(grid))


def _room(grid: Grid) -> float:
    return round(grid.looks["body"].size * _LINE_HEIGHT / 0.75) * 0.75
