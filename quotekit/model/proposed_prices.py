"""Proposed prices: what suppliers' lists would change in the shop book, cell by cell, and what the owner ticked.

Nothing here changes a shop book. Money is in the shop's currency, before tax, exact; amounts per unit are Fractions
where a pack does not divide evenly. `None` is not known, or a blank cell, never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.problems import Place
from quotekit.record import record

CellValue = Decimal | str | date | None
"""What a cell of the shop book holds; None for a blank one."""

ChangedField = Literal[
    "pack quantity", "pack cost", "list price each", "lead days", "supplier's number", "replaced by", "cost date"
]

FIELDS: Mapping[ChangedField, Mapping[str, str]] = {
    "pack quantity": {"Parts": "Pack quantity", "Offers": "Pack quantity"},
    "pack cost": {"Parts": "Pack cost", "Offers": "Pack cost"},
    "list price each": {"Parts": "List price each"},
    "lead days": {"Parts": "Lead days", "Offers": "Lead days"},
    "supplier's number": {"Parts": "Supplier's number", "Offers": "Supplier's number"},
    "replaced by": {"Parts": "Replaced by"},
    "cost date": {"Parts": "Cost date", "Offers": "Dated"},
}
"""What may be changed, and its column on each sheet."""

TOGETHER: frozenset[ChangedField] = frozenset({"pack quantity", "pack cost"})
"""A row that proposes one of these proposes both: never one without the other."""


@record
class PriceSource:
    """A list that prices were proposed from."""

    supplier: str
    """Code of the supplier in the shop book, or its free text."""
    file: str
    sha256: str


@record
class ProposedChange:
    """One cell of the shop book: what it says, what it would say, and what the owner ticked."""

    sheet: str
    """The sheet's name as the shop book spells it."""
    cell: str
    part: str
    supplier: str
    field: ChangedField
    old: CellValue
    new: CellValue
    over_limit: bool = False
    """The row needs its own second tick."""
    reason: str = ""
    """Why it does."""
    taken: bool = False
    taken_anyway: bool = False
    """The second tick."""
    place: Place = Place("")
    """Where the owner ticked."""

    @property
    def accepted(self) -> bool:
        """True where every tick that the row needs is there."""
        return self.taken and (self.taken_anyway or not self.over_limit)


@record
class PriceProposals:
    """A workbook of proposals as it was read back: of which book and lists it was made, and every change in it."""

    book_file: str
    book_sha256: str
    """Of the shop book it was made from: another one is refused."""
    day: date
    currency: str
    sources: tuple[PriceSource, ...]
    changes: tuple[ProposedChange, ...]
    """In the order of the rows; cells of one row stand side by side."""

    @property
    def accepted(self) -> tuple[ProposedChange, ...]:
        """The changes to be made."""
        return tuple(one for one in self.changes if one.accepted)
