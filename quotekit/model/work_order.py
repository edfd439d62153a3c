"""What a technician is told to do on one job: steps in order, cautions, what to measure again, parts to hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from quotekit.model.agreed import AgreedItem
from quotekit.model.job import FoundFinding
from quotekit.record import record

StepKind = Literal["first", "open", "do", "close", "last"]


@record
class WorkStep:
    """One line of the work: an operation, or the opening or closing of something."""

    kind: StepKind
    key: str
    """Of the operation or access step: its opening and its closing share it."""
    code: str
    side: str | None
    name: str
    hours: Decimal
    """Standard hours of this line alone."""
    open_now: int = 0
    """How many things are open while it is done, those it opens or closes left out."""


@record
class CautionLine:
    """A caution, and the lines of work it is about."""

    code: str
    text: str
    source: str
    about: tuple[str, ...]


@record
class PartToHand:
    """A part that must lie ready before the work begins."""

    part: str
    name: str
    unit: str
    quantity: Decimal
    places: tuple[tuple[str, Decimal | None], ...]
    """Sides, with how many go there; None where that is not known."""
    new_or_used: str
    supplier: str
    ordered: bool
    own: bool
    core: bool
    """Its core is charged, since the customer keeps the old part: what comes back all the same is counted."""


@record
class WorkOrder:
    """The work that was agreed, as it is done."""

    steps: tuple[WorkStep, ...]
    cautions: tuple[CautionLine, ...]
    items: tuple[AgreedItem, ...]
    measurements: tuple[FoundFinding, ...]
    """Measured faults that are put right, to be measured again."""
    parts: tuple[PartToHand, ...]
    standard_hours: Decimal
    """Of all work, with the allowance for the machine's condition."""
    allowance: Decimal
