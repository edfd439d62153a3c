"""What was done to the owner's own workbook, cell by cell and exact: what the ledger keeps, so that it can be undone.

A change of a workbook is told by two entries, as everything is that writes a file: `changed` before the file is
replaced, `written` after. Whoever is stopped between the two leaves a change that was begun; the next command that
changes the same workbook looks at the file, and tells by `written` or by `unchanged` what became of it.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context
from typing import Literal

from quotekit.model.proposed_prices import PriceSource
from quotekit.record import record

CellKind = Literal["none", "number", "text", "boolean", "error", "day"]
"""What a cell holds; `day` is a date that is written as a text of its own kind."""


@record
class Content:
    """A cell's content, as the workbook writes it: of a text `rich` is the XML of its runs, where it has any."""

    kind: CellKind = "none"
    text: str = ""
    rich: str = ""

    def __str__(self) -> str:
        if self.kind == "number":
            return _number(self.text)
        told = {"none": "nothing", "boolean": "TRUE" if self.text == "1" else "FALSE"}.get(self.kind, self.text)
        return told.encode(errors="replace").decode()


def _number(text: str) -> str:
    """A stored number as a spreadsheet shows it, in the fifteen digits that count.

    >>> _number("8.949999999999999"), _number("68.40000000000001"), _number("0.1")
    ('8.95', '68.4', '0.1')
    """
    if sum(letter.isdigit() for letter in text) <= _DIGITS.prec:
        return text
    try:
        return f"{_DIGITS.create_decimal(text).normalize(_DIGITS):f}"
    except ArithmeticError:
        return text


_DIGITS = Context(prec=15, rounding=ROUND_HALF_EVEN)
NOTHING = Content()


@record
class ChangedCell:
    """A cell that was changed, what stood there and what stands there now."""

    sheet: str
    cell: str
    old: Content
    new: Content
    code: str = ""
    """Of its row: the part, operation, step or condition."""
    supplier: str = ""
    """Where a price was changed: whose."""
    column: str = ""


@record
class CalculatedCell:
    """A stored result that hung on the change; `new` is nothing where it was taken away."""

    sheet: str
    cell: str
    old: Content
    new: Content

    @property
    def emptied(self) -> bool:
        """True where the result was taken away, until the workbook is opened and saved."""
        return self.new.kind == "none"


@record
class ChangedFile:
    """What was done to a workbook: enough to undo it."""

    file: str
    before: str
    """SHA-256 of the file as it was."""
    after: str
    kept: str
    """Name of the copy of the old file, beside it; empty where none was needed."""
    cells: tuple[ChangedCell, ...] = ()
    calculated: tuple[CalculatedCell, ...] = ()
    date_1904: bool = False
    """Whether its days are counted from 1904."""


ChangedWhat = Literal["prices", "times"]


@record
class Changed:
    """Cells of the owner's own shop book that the owner ticked, or that were put back."""

    what: ChangedWhat
    file: ChangedFile
    folder: str = ""
    """Where the workbook stood: several shops may keep one ledger, and each call its book the same."""
    proposals: str = ""
    """Name of the workbook of proposals."""
    proposals_sha256: str = ""
    sources: tuple[PriceSource, ...] = ()
    """The suppliers' lists that prices come from."""
    undoes: int | None = None
    """`number` of the change that it takes back."""


@record
class Unchanged:
    """That a change which was begun never reached the file."""

    of: int
    """`seq` of that entry."""
    reason: str = ""
