"""The customer's choice as cells: an option to pick, things to tick, and every figure that follows.

As the quote is sent nothing is chosen and every figure reads as a dash; on paper the same cells are for a pen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.fingerprint import CHOSEN_TIER
from quotekit.documents.money_text import money_format
from quotekit.documents.sheet import Cell, Row, blank, text
from quotekit.documents.wording import BOX, NONE, spelled
from quotekit.documents.working_sheet import ExtraPlaces, Place, Working
from quotekit.model.expression import spans
from quotekit.model.live import LivePricing
from quotekit.model.quote import Quote

TICK = "\u2611"
TICKS = f"{BOX},{TICK},Yes,No"
SCREEN_WIDTHS = (2.0, 15.0, 44.0)
"""Columns beside the printed ones: air, the exact difference, a remark."""

_PICK = "Pick an option here, and every figure below follows."
_TICK = f"{TICK} or Yes to add it, {BOX} or No to leave it."


def choice_rows(quote: Quote, working: Working, grid: Grid) -> Iterator[Row]:
    """The option chosen and what it comes to with what is ticked, line by line."""
    live = quote.live
    if live is None or working.figures is None or working.known is None:
        return
    yield grid.gap()
    picked = Cell(
        style="pick", across=grid.columns - 2, name=CHOSEN_TIER, choices=working.labels, prompt=_PICK, format="@"
    )
    yield grid.fit(label_cell("Your choice: the option", "pick label"), picked, keep=True)
    yield grid.fit(_status(quote, working, grid), keep=True)
    for label, place, style, name in _figures(quote, working, live):
        yield _figure(label, place, style, name, quote, working, grid)


def on_screen(line: Row, *cells: Cell) -> Row:
    """A row with cells beside the printed columns."""
    return replace(line, cells=(*line.cells, blank("screen"), *cells))


def screen_titles() -> tuple[Cell, Cell]:
    """What stands over the columns beside the printed ones."""
    return text("To your option this adds exactly", "screen title"), text("before tax, by itself", "screen")


def exact_cells(places: ExtraPlaces, working: Working, quote: Quote) -> tuple[Cell, Cell]:
    """What an extra adds exactly to the option chosen, and what there is to say of the tick."""
    known, live = working.known, quote.live
    assert known is not None and live is not None
    price = _units(places.price.reference, live.digits)
    offered, included = f"{places.offered.reference}=1", f"{places.included.reference}=1"
    adds = f'=IF({known.reference}=0,"{NONE}",IF({offered},{price},IF({included},"included","not offered")))'
    unclear, ticked = f"{places.unclear.reference}=1", f"{places.ticked.reference}=1"
    lost = f'IF({included},"Nothing to add: the option includes it.","Not added: the option does not offer it.")'
    remark = (
        f'=IF({unclear},"Not understood, so not added: answer Yes or No.",'
        f'IF(IF({known.reference}=1,IF({ticked},IF({offered},0,1),0),0)=1,{lost},"{NONE}"))'
    )
    return (
        Cell(content=NONE, kind="text", style="screen money", formula=adds, format=_money(quote)),
        Cell(content=NONE, kind="text", style="screen", formula=remark, format="General"),
    )


def tick_cell(name: str) -> Cell:
    """The cell to tick, on screen or with a pen."""
    return Cell(content=BOX, kind="text", style="tick", name=name, choices=TICKS, prompt=_TICK, format="General")


def box_cell(place: Place, style: str) -> Cell:
    """A box that is ticked where an option is chosen."""
    formula = f'=IF({place.reference}=1,"{TICK}","{BOX}")'
    return Cell(content=BOX, kind="text", style=style, formula=formula, format="General")


def _status(quote: Quote, working: Working, grid: Grid) -> Cell:
    """A line that says whether the figures hold."""
    assert working.known is not None
    unclear = [places.unclear.reference for places in (working.extras or {}).values()]
    wrong = " below is not understood: see beside it."
    nothing = f"Nothing is chosen yet. On screen, pick an option in the cell above{_and_ticks(quote)}."
    good = "These figures follow your choice, to the cent."
    if unclear:
        good_or = f'IF(SUM({",".join(unclear)})>0,"An answer{wrong}","{good}")' if len(unclear) <= 60 else f'"{good}"'
    else:
        good_or = f'"{good}"'
    unknown = f'IF(ISERROR({CHOSEN_TIER}),1,IF({CHOSEN_TIER}="",0,1))=1'
    formula = (
        f'=IF({working.known.reference}=1,{good_or},IF({unknown},"No option has this name: pick one from the list.",'
        f'"{nothing}"))'
    )
    return Cell(content=nothing, kind="text", style="quiet", across=grid.columns, formula=formula, format="General")


def _and_ticks(quote: Quote) -> str:
    return " and answer Yes to what you want added" if any(tier.extras for tier in quote.offered) else ""


_Figure = tuple[str, Place, str, str]


def _figures(quote: Quote, working: Working, live: LivePricing) -> Iterator[_Figure]:
    """Label, cell, style and name of each figure; those that no choice can bring are left out."""
    assert working.figures is not None
    possible = _possible(live)
    for figure, label in _labels(quote):
        if figure in ("labour", "parts") or possible(figure):
            yield label, working.figures[figure], "line", ""
    yield "Subtotal before tax", working.figures["subtotal"], "subtotal", "subtotal"
    if len(working.taxes) == 1:
        yield working.taxes[0][0], working.taxes[0][1], "line", "tax_total"
    else:
        yield from ((tax, place, "line", "") for tax, place in working.taxes)
        yield "Taxes together", working.figures["tax"], "line", "tax_total"
    yield "TOTAL TO PAY", working.figures["total"], "total", "total_to_pay"
    due = "Still due, after what you have paid" if quote.job.paid_so_far else "Still due"
    yield due, working.figures["due"], "line", "amount_due"
    yield "Deposit before parts are ordered", working.figures["deposit"], "line", "deposit"


def _labels(quote: Quote) -> tuple[tuple[str, str], ...]:
    return (
        ("labour", spelled("Labour", quote.book.settings.language)),
        ("parts", "Parts"),
        ("sublet", "Outside work"),
        ("savings", "Savings"),
        ("supplies", "Shop supplies"),
        ("fees", "Fees and charges"),
        ("freight", "Freight for parts"),
        ("cores", "Core charges, for old parts you keep"),
        ("inspection", "Inspection"),
        ("inspection_credit", "Inspection credited"),
    )


def _possible(live: LivePricing) -> Callable[[str], bool]:
    known, _ = spans(live.steps)
    return lambda figure: known[live.figures[figure]] != (0, 0)


def _figure(label: str, place: Place, style: str, name: str, quote: Quote, working: Working, grid: Grid) -> Row:
    assert quote.live is not None and working.known is not None
    formula = f'=IF({working.known.reference}=1,{_units(place.reference, quote.live.digits)},"{NONE}")'
    money_style = {"line": "money", "subtotal": "subtotal", "total": "total"}[style]
    label_style = {"line": "line", "subtotal": "subtotal label", "total": "total label"}[style]
    amount = Cell(content=NONE, kind="text", style=money_style, formula=formula, format=_money(quote), name=name)
    space = blank(money_style, grid.columns - 3)
    return grid.fit(label_cell(label, label_style), space, amount, keep=True)


def _money(quote: Quote) -> str:
    return money_format(quote.currency, quote.book.settings.language)


def _units(reference: str, digits: int) -> str:
    """A whole number of the smallest unit in units of the currency."""
    return reference if digits == 0 else f"{reference}/{Decimal(10) ** digits}"
