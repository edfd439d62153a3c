"""Where a customer workbook shows its figures, and whether they are the engine's."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Cell, WorkbookValue, placed
from quotekit.documents.working_sheet import lay_out_working
from quotekit.model.quote import Quote
from quotekit.workbook.write_sheet import write_workbook
from tests.random_jobs import Case
from tests.recalculation.combinations import Choice, figures_of, priced
from tests.recalculation.office import Office, Value

NAMED = {
    "subtotal": "subtotal",
    "tax_total": "tax",
    "total_to_pay": "total",
    "amount_due": "due",
    "deposit": "deposit",
}
"""The named figures, by defined name."""
LABELLED = {
    "Labour": ("labour",),
    "Labor": ("labour",),
    "Parts": ("parts",),
    "Outside work": ("sublet",),
    "Savings": ("savings",),
    "Shop supplies": ("supplies",),
    "Fees and charges": ("fees",),
    "Freight for parts": ("freight",),
    "Core charges": ("cores",),
    "Core charges, for old parts you keep": ("cores",),
    "Inspection": ("inspection",),
    "Inspection credited": ("inspection_credit",),
    "Inspection, less credit": ("inspection", "inspection_credit"),
    "Total to pay with what is chosen, tax included": ("total",),
}
"""The others, by the words beside them."""
NOTHING = "–"
_AMOUNT = re.compile(r'=IF\(Working![$]B[$]\d+=1,[^"]*,"–"\)')


@dataclass
class Tally:
    """What was compared, and what differed."""

    workbooks: int = 0
    combinations: int = 0
    figures: int = 0
    differences: list[str] = field(default_factory=list)
    minor_units: int = 0
    """Differences in the currency's smallest unit, added up."""


Figures = tuple[str, ...]
"""The figures of a live pricing that a cell adds up; each tax is `tax NAME`."""


def figure_cells(value: WorkbookValue, quote: Quote) -> dict[str, Figures]:
    """The cells of the visible sheet that show figures of a choice."""
    assert quote.live is not None
    taxes = {tax: (f"tax {tax}",) for tax, _ in quote.live.taxes}
    found: dict[str, Figures] = {}
    for address, words, amount in _amounts(value):
        found[address] = (NAMED[amount.name],) if amount.name else (taxes | LABELLED)[words]
    assert {(name,) for name in NAMED.values()} <= set(found.values()), found
    return found


def working_cells(quote: Quote) -> dict[str, Figures]:
    """The cells of the hidden sheet that hold every figure, in the currency's smallest unit."""
    working = lay_out_working(quote)
    assert working.figures is not None
    places = [*working.figures.items(), *((f"tax {tax}", place) for tax, place in working.taxes)]
    found: dict[str, Figures] = {}
    for name, place in places:
        found[place.reference.replace("$", "")] = (name,)
    return found


def _amounts(value: WorkbookValue) -> Iterator[tuple[str, str, Cell]]:
    """Address, words beside it and cell of each amount of money that follows the choice.

    The words stand to its right, or else to its left.
    """
    (sheet,) = (sheet for sheet in value.sheets if sheet.name == "Quote")
    for number, row in enumerate(sheet.rows):
        words = ""
        for place, (column, cell) in enumerate(placed(row)):
            if _AMOUNT.fullmatch(cell.formula):
                right = row.cells[place + 1 : place + 2]
                yield f"Quote!{_letters(column)}{number + 1}", (_words(right[0]) if right else "") or words, cell
            words = _words(cell) or words


def _words(cell: Cell) -> str:
    return cell.content if isinstance(cell.content, str) and not cell.formula else ""


def _letters(column: int) -> str:
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def compare(
    office: Office, folder: Path, seed: int, case: Case, quote: Quote, choices: Sequence[Choice], tally: Tally,
    *, again: int = 0, value: WorkbookValue | None = None, stored: Callable[[Path], dict[str, Value]] | None = None,
) -> int:  # fmt: skip
    """Writes a quote's workbook, makes each choice in it and compares every figure with the engine's price.

    After each of the first choices, `again` of them, everything is worked out anew as well. `stored` reads what each
    formula cell of the file stores, which is compared before anything is chosen; how many there are is given back.
    """
    value = value or lay_out_customer_quote(quote)
    path = folder / f"{seed}.xlsx"
    write_workbook(value, path)
    visible, hidden = figure_cells(value, quote), working_cells(quote)
    with office.opened(path) as workbook:
        formulas = workbook.formulas() if stored else {}
        kept = stored(path) if stored else {}
        typed, wanted = [choice.typed for choice in choices], [*visible, *hidden]
        shown = workbook.tried(typed[:again], wanted, again=True) + workbook.tried(typed[again:], wanted)
    path.unlink()
    tally.workbooks += 1
    for cell in sorted({*kept, *formulas}):
        if kept.get(cell) != formulas.get(cell):
            said = f"{cell} stores {kept.get(cell)}, LibreOffice says {formulas.get(cell)}"
            tally.differences.append(f"seed {seed} as sent: {said}")
    for choice, values in zip(choices, shown, strict=True):
        check(seed, case, quote, choice, dict(zip([*visible, *hidden], values, strict=True)), visible, hidden, tally)
    return len(formulas)


def check(
    seed: int, case: Case, quote: Quote, choice: Choice, shown: Mapping[str, Value], visible: Mapping[str, Figures],
    hidden: Mapping[str, Figures], tally: Tally,
) -> None:  # fmt: skip
    """Compares every cell shown after a choice with the engine's price of it."""
    tally.combinations += 1
    expected = Expected(figures_of(priced(*case, choice)), quote, f"seed {seed}: {choice.typed}")
    for cell, figures in visible.items():
        expected.check(cell, figures, shown[cell], 0, tally)
    for cell, figures in hidden.items():
        expected.check(cell, figures, shown[cell], expected.digits, tally)


class Expected:
    """The engine's figures of a choice."""

    def __init__(self, figures: Mapping[str, Decimal], quote: Quote, what: str) -> None:
        assert quote.live is not None
        self.digits = quote.live.digits
        self._figures, self._what = figures, what
        known = {*quote.live.figures, *(f"tax {tax}" for tax, _ in quote.live.taxes)}
        missing = {name for name, amount in figures.items() if amount and name not in known}
        assert not missing, f"{what}: no figure for {missing}"

    def check(self, cell: str, figures: Figures, value: Value, digits: int, tally: Tally) -> None:
        """Compares one cell; `digits` says in which power of ten it shows the currency."""
        amount = sum((self._figures.get(name, Decimal(0)) for name in figures), Decimal(0))
        tally.figures += 1
        if value == float(amount.scaleb(digits)) and not isinstance(value, bool):
            return
        tally.differences.append(f"{self._what}: {cell} {figures} shows {value!r}, the engine says {amount}")
        if isinstance(value, float):
            tally.minor_units += abs(round(value * 10 ** (self.digits - digits) - float(amount) * 10**self.digits))


def named_cells(value: WorkbookValue) -> dict[str, str]:
    """Each named cell of the visible sheet by its name."""
    return {cell.name: address for address, cell in cells_of(value) if cell.name}


def cells_of(value: WorkbookValue) -> Iterator[tuple[str, Cell]]:
    """Every cell of the visible sheet with its address."""
    (sheet,) = (sheet for sheet in value.sheets if sheet.name == "Quote")
    for number, row in enumerate(sheet.rows):
        for column, cell in placed(row):
            yield f"Quote!{_letters(column)}{number + 1}", cell
