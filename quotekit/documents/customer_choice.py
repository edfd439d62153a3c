"""The customer's choice as cells: an option to pick, things to tick, and every figure that follows.

As the quote is sent nothing is chosen and every figure reads as a dash; on paper the same cells are for a pen.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.fingerprint import CHOSEN_TIER
from quotekit.documents.money_text import money_format
from quotekit.documents.sheet import Cell, Row, blank, text
from quotekit.documents.wording import BOX, FIGURE_LABELS, NONE, spelled
from quotekit.documents.working_sheet import ExtraPlaces, Place, Working
from quotekit.model.quote import Quote
from quotekit.record import record

TICK = "\u2611"
TICKS = f"{BOX},{TICK},Yes,No"
SCREEN_WIDTHS = (2.0, 15.0, 44.0)
"""Columns beside the printed ones: air, the exact difference, a remark."""

_PICK = "Pick an option here, and every figure below follows."


def on_screen(line: Row, *cells: Cell) -> Row:
    """A row with cells beside the printed columns."""
    return replace(line, cells=(*line.cells, blank("screen"), *cells))


def where_to_choose() -> Cell:
    """What a reader on screen sees first, beside the page."""
    return text(
        "To choose on screen: scroll down to \u201cYour decision\u201d, pick an option, tick what is added.",
        "screen",
        2,
    )


def screen_titles() -> tuple[Cell, Cell]:
    """What stands over the columns beside the printed ones."""
    return text("Adds exactly", "screen title"), text("to the option chosen, by itself, before tax", "screen")


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
    return Cell(content=BOX, kind="text", style="tick", name=name, choices=TICKS, format="General")


def box_cell(place: Place, style: str) -> Cell:
    """A box that is ticked where an option is chosen."""
    formula = f'=IF({place.reference}=1,"{TICK}","{BOX}")'
    return Cell(content=BOX, kind="text", style=style, formula=formula, format="General")


def pick_row(working: Working, grid: Grid) -> Row:
    """The heading of the decision with the cell in which an option is picked."""
    picked = Cell(
        style="pick", across=grid.columns - 2, name=CHOSEN_TIER, choices=working.labels, prompt=_PICK, format="@"
    )
    return grid.fit(label_cell("Your decision: the option", "pick label"), picked, keep=True)


def status_cell(quote: Quote, working: Working, across: int) -> Cell:
    """A line that says whether the figures hold."""
    assert working.known is not None
    nothing = "Nothing is chosen yet: pick an option above, or tick one here on paper."
    unknown = f'IF(ISERROR({CHOSEN_TIER}),1,IF({CHOSEN_TIER}="",0,1))=1'
    formula = (
        f"=IF({working.known.reference}=1,{_known_status(working)},"
        f'IF({unknown},"No option has this name: pick one from the list.","{nothing}"))'
    )
    return Cell(content=nothing, kind="text", style="quiet", across=across, formula=formula, format="General")


def figure_cells(figure: Figure, quote: Quote, working: Working) -> Cell:
    """The amount of a figure, a dash until an option is chosen."""
    assert quote.live is not None and working.known is not None
    amount = _units("+".join(place.reference for place in figure.places), quote.live.digits)
    formula = f'=IF({working.known.reference}=1,{amount},"{NONE}")'
    return Cell(content=NONE, kind="text", style=figure.style, formula=formula, format=_money(quote), name=figure.name)


@record
class Figure:
    """A figure that follows the choice: its label, its cells on the hidden sheet, its style and defined name."""

    label: str
    places: tuple[Place, ...]
    style: str = "money"
    name: str = ""
    total: bool = False
    """True for what is printed even where paper is short."""


def figures(quote: Quote, working: Working) -> Iterator[Figure]:
    """Every figure in the order of money; those that no choice can bring are left out."""
    at = working.figures
    assert at is not None
    for names, label in _labels(quote):
        if names in (("labour",), ("parts",)) or not working.possible.isdisjoint(names):
            yield Figure(label=label, places=tuple(at[name] for name in names))
    yield Figure(label="Subtotal before tax", places=(at["subtotal"],), style="subtotal", name="subtotal", total=True)
    one = len(working.taxes) == 1
    for tax, place in working.taxes:
        yield Figure(label=tax, places=(place,), name="tax_total" if one else "", total=True)
    if not one:
        label = "Taxes together" if working.taxes else "Tax"
        yield Figure(label=label, places=(at["tax"],), name="tax_total")
    yield Figure(label="TOTAL TO PAY", places=(at["total"],), style="total", name="total_to_pay", total=True)
    paid, deposit = bool(quote.job.paid_so_far), "deposit" in working.possible
    due = "Still due, after what you have paid" if paid else "Still due"
    yield Figure(label=due, places=(at["due"],), name="amount_due", total=paid)
    yield Figure(label="Deposit", places=(at["deposit"],), name="deposit", total=deposit)


def screen_total(quote: Quote, working: Working) -> tuple[Cell, Cell]:
    """The total of the choice, beside the things to tick."""
    total = next(figure for figure in figures(quote, working) if figure.name == "total_to_pay")
    amount = figure_cells(replace(total, style="screen money", name=""), quote, working)
    return amount, text("Total to pay with what is chosen, tax included", "screen")


def _known_status(working: Working) -> str:
    good = '"These figures follow your choice, to the cent."'
    if not working.unclear:
        return good
    return f'IF(SUM({working.unclear})>0,"One answer is not understood: see beside it.",{good})'


def _labels(quote: Quote) -> Iterator[tuple[tuple[str, ...], str]]:
    """Each line's figures and label; the inspection and its credit share a line."""
    for figure, label in FIGURE_LABELS:
        if not figure.startswith("inspection"):
            yield (figure,), spelled(label, quote.book.settings.language)
    yield ("inspection", "inspection_credit"), "Inspection, less credit"


def _money(quote: Quote) -> str:
    return money_format(quote.currency, quote.book.settings.language)


def _units(reference: str, digits: int) -> str:
    """A whole number of the smallest unit in units of the currency."""
    whole = f"({reference})" if "+" in reference else reference
    return whole if digits == 0 else f"{whole}/{Decimal(10) ** digits}"
