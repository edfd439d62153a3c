"""What a customer's document needs to follow a choice: selling figures and hours as whole numbers, and nothing else.

No cost, margin, markup, supplier or supplier's number is in these records: what is not here cannot be written.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal

from quotekit.model.expression import Step
from quotekit.record import record

FIGURES = (
    "labour", "parts", "cores", "sublet", "savings", "supplies", "fees", "freight", "inspection", "inspection_credit",
    "work", "subtotal", "tax", "total", "due", "deposit",
)  # fmt: skip
"""Results in minor units, by the names of the amounts in a quote's JSON."""

Place = Literal["offered", "included", "none"]


@record
class LiveOption:
    """An option the customer may choose. `label` is its name in the drop-down, no two alike but for case."""

    code: str
    label: str
    chosen: Step
    """Input: 1 where this option is chosen, else 0."""


@record
class LiveExtra:
    """An extra or found item to tick; `place` and `price` are for each option in order."""

    key: str
    """CODE or CODE@side."""
    defined_name: str
    """`extra_CODE` or `extra_CODE_left`, valid and unlike every other."""
    ticked: Step
    """Input: 1 where it is ticked, else 0."""
    place: tuple[Place, ...]
    price: tuple[Decimal | None, ...]
    """The exact difference in work it makes by itself, before tax; None where it is not offered."""


@record
class LivePricing:
    """Every figure of any choice, worked out step by step in whole numbers."""

    steps: tuple[Step, ...]
    """In working order, inputs first."""
    options: tuple[LiveOption, ...]
    extras: tuple[LiveExtra, ...]
    figures: Mapping[str, Step]
    """By the names of FIGURES, in minor units."""
    taxes: tuple[tuple[str, Step], ...]
    """Each tax by name, in minor units, in the order of the quote."""
    digits: int
    """Decimals of the currency."""
