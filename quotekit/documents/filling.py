"""What goes into a template of the shop: a value for each marked cell, the rows of each marked table.

Marks are written without their `qk_`: the value `job_number` goes to the cell named `qk_job_number`, the rows `lines`
to the row named `qk_rows_lines`, whose cells hold the marks of its columns as text (`qk_text`, `qk_amount`).
Text is text, whatever it begins with; a number keeps the format of its cell, and `Shown` gives it one where the cell
has none of its own. A value of None, or a blank text, leaves the cell empty.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quotekit.record import record


class Shown(NamedTuple):
    """A number or date with the format it takes where the template's cell has none (General)."""

    value: Decimal | int | date
    format: str


OPENED = "\u2003"
"""Before a text, once for each level it is set in."""

CellValue = str | int | Decimal | date | Shown | None
Rows = Sequence[Mapping[str, CellValue]]


@record
class SheetFilling:
    """One sheet of a document. A template's sheet says by a cell named `qk_sheet_ROLE` which it is."""

    role: str
    values: Mapping[str, CellValue]
    tables: Mapping[str, Rows] = field(default_factory=dict)
    title: str = ""
    """Name of the sheet in the document; empty keeps the template's."""
    optional: frozenset[str] = frozenset()
    """Marks a template may leave out: `shop_email`, `rows_parts`, `rows_parts.note`."""


def is_nothing(value: CellValue) -> bool:
    """True for what leaves a cell empty."""
    return value is None or (isinstance(value, str) and not value.strip())
