"""The sheet of cells: every cell of the shop book that a tick would change, with what it says and what it would say.

It is what is read back: texts and dates as texts, amounts as numbers of at most fifteen digits, so that each comes back
exactly. `Line` is the row of the sheet Proposals that is ticked for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotekit.documents.costing_style import head, note
from quotekit.documents.price_proposals_style import gap, table_sheet, tall
from quotekit.documents.price_proposals_words import why_second
from quotekit.documents.sheet import Cell, NamedRange, Row, Sheet, number, row, text
from quotekit.model.proposed_prices import (
    FIELDS,
    CellValue,
    ChangedField,
    PriceProposal,
    ProposedChange,
    ProposedPrices,
)

NAME = "Cells"
AREA = "proposed_cells"
TITLES = ("Line", "Part", "Supplier", "Sheet", "Cell", "Column", "Now", "New", "Second tick")
_WIDTHS = (6.0, 18.0, 12.0, 9.0, 8.0, 18.0, 20.0, 20.0, 34.0)
_COLUMNS = len(_WIDTHS)
_ABOVE = (
    "What the ticks would write into the shop book, and nothing else. Nothing can be typed here. Where Now and New are "
    "the same, nothing is written: a new cost is taken only while its pack and its number say this still."
)


def lay_out_cells(found: ProposedPrices, places: Sequence[int]) -> tuple[Sheet, tuple[NamedRange, ...]]:
    """The sheet, and the name of its rows; `places` are the proposals' rows on the sheet of ticks."""
    rows = [
        row(text("Cell by cell", "title", _COLUMNS)),
        note(_ABOVE, _COLUMNS),
        gap(_COLUMNS),
    ]
    above = len(rows)
    rows.append(head(*TITLES, right=(0, 6, 7)))
    for proposal, place in zip(found.proposals, places, strict=True):
        rows += _rows(proposal, place, found)
    sheet = table_sheet(found, NAME, tall(rows, _WIDTHS), _WIDTHS, above)
    if not places:
        return sheet, ()
    area = NamedRange(
        name=AREA, sheet=NAME, first_row=above + 1, first_column=0, last_row=len(rows) - 1, last_column=_COLUMNS - 1
    )
    return sheet, (area,)


def _rows(proposal: PriceProposal, place: int, found: ProposedPrices) -> Iterator[Row]:
    why = why_second(proposal, found)
    for change in (*proposal.changes, *_must_hold(proposal)):
        yield row(
            number(place + 1),
            text(change.part, "beside"),
            text(change.supplier),
            text(change.sheet),
            text(change.cell),
            text(FIELDS[change.field][proposal.row.sheet]),
            _value(change.old),
            _value(change.new),
            text(why, "told"),
        )


def _must_hold(proposal: PriceProposal) -> Iterator[ProposedChange]:
    """The pack and the supplier's number that a new cost is for: where they say otherwise by then, it is not taken."""
    told = {change.field: change for change in proposal.changes}
    cost = told.get("pack cost")
    held: Mapping[ChangedField, CellValue] = {
        "pack quantity": proposal.row.terms.pack_quantity,
        "supplier's number": proposal.row.terms.number or None,
    }
    for field, value in held.items():
        header = FIELDS[field][proposal.row.sheet]
        if cost is not None and field not in told and header in proposal.row.source.columns:
            cell = proposal.row.source.place(header).cell
            yield replace(cost, field=field, cell=cell, old=value, new=value)


def _value(value: CellValue) -> Cell:
    if value is None:
        return text("", "right")
    if isinstance(value, Decimal):
        return number(value)
    return text(value.isoformat() if isinstance(value, date) else value, "right")
