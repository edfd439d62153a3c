"""What a technician wrote on a work order, each answer with its cell; nothing is judged yet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.problems import Place
from quotekit.record import record


@record
class TypedHours:
    """Hours beside a line of work, or of the whole job."""

    work: str
    """The code of the line as it stands there; empty for the whole job."""
    person: str
    hours: Decimal
    place: Place


@record
class TypedQuantity:
    """Units of a part, or a measured value, beside its code."""

    code: str
    quantity: Decimal
    place: Place


@record
class TypedMark:
    """A yes beside a code."""

    code: str
    place: Place


@record
class FilledWorkOrder:
    """A work order as it came back."""

    place: Place
    """The file and its sheet."""
    job_number: str
    version: Decimal | None
    agreement: Decimal | None
    hours: tuple[TypedHours, ...] = ()
    not_done: tuple[TypedMark, ...] = ()
    used: tuple[TypedQuantity, ...] = ()
    """Of the parts it lists."""
    more: tuple[TypedQuantity, ...] = ()
    """Of other parts."""
    cores: tuple[TypedQuantity, ...] = ()
    measured: tuple[TypedQuantity, ...] = ()
    notes: str = ""
    finished_on: date | None = None
    finished_at: Place | None = None
    """The cell of that day."""
