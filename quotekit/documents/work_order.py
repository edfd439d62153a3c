"""The work order as what goes into its template: for the bench, with cells to fill in and no price but the limit.

Cells left empty here are filled in by hand and read back when the job is closed; each row carries the code by which it
is known again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from quotekit.documents.customer_facts import contact_of, machine_words
from quotekit.documents.filling import OPENED, CellValue, SheetFilling, Shown
from quotekit.documents.money_text import date_text, formats, money_text, number_text
from quotekit.documents.wording import measured_words
from quotekit.model.agreed import Basis
from quotekit.model.entries import Means
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import Settings
from quotekit.model.work_order import PartToHand, WorkOrder, WorkStep
from quotekit.record import record

Row = Mapping[str, CellValue]

BLANK_PARTS, BLANK_HOURS = 3, 2
OPTIONAL = frozenset(
    "shop_contact written_on customer agreed condition customers_words standard_hours finished_on "
    "rows_cautions.source rows_steps.number rows_steps.standard rows_steps.box rows_steps.kind "
    "rows_measurements.found rows_measurements.as_new rows_more.note rows_whole.note".split()
)
"""Marks a work order's template may leave out: nothing is lost that must be said, or read back."""

_OLD_PARTS = {
    "keep": "Keep the old parts for the customer.",
    "show": "Show the old parts to the customer before they are disposed of.",
    "dispose": "Dispose of the old parts.",
}
_KINDS = {"first": "First", "open": "Open", "do": "Do", "close": "Close", "last": "Last"}
_MEANS = {
    "returned quote": "by the quote sent back",
    "phone": "by phone",
    "in-person": "in person",
    "message": "by message",
}
_MANUAL = "This list does not replace the maker's manual: where they differ, the manual holds."


@record
class WorkOrderFacts:
    """What a work order says besides the work."""

    settings: Settings
    job: Job
    version: int
    agreement: int
    """Number of the entry by which the customer agreed."""
    option: str
    agreed_on: date
    by: Means
    customer: str
    """Who agreed."""
    total: Decimal
    most: Decimal
    """How far the amount may go before the customer must be asked."""
    basis: Basis
    written_on: date
    condition: str = ""


def fill_work_order(order: WorkOrder, facts: WorkOrderFacts) -> SheetFilling:
    """The values and rows of a work order."""
    language = facts.settings.language
    hours = formats(facts.settings.currency, language)["hours"]
    return SheetFilling(
        role="work_order",
        values=_values(order, facts, hours),
        tables={
            "cautions": [{"text": line.text, "source": line.source} for line in order.cautions],
            "items": [
                {"text": item.wording or item.name, "side": item.side, "not_done": None, "key": item.key}
                for item in order.items
            ],
            "steps": [_step(number, step, hours) for number, step in enumerate(order.steps, start=1)],
            "measurements": [_measurement(found, language) for found in order.measurements],
            "parts": [_part(part, language) for part in order.parts],
            "more": [{"note": None, "used": None, "part": None}] * BLANK_PARTS,
            "whole": [{"note": None, "hours": None, "person": None}] * BLANK_HOURS,
        },
        optional=OPTIONAL,
    )


def _values(order: WorkOrder, facts: WorkOrderFacts, hours: str) -> dict[str, CellValue]:
    job, settings = facts.job, facts.settings
    words = job.customers_words.strip()
    return {
        "shop_name": settings.shop_name,
        "shop_contact": " · ".join(contact_of(settings)),
        "job_number": job.job_number,
        "version": facts.version,
        "agreement": facts.agreement,
        "written_on": date_text(facts.written_on, settings.language),
        "customer": ", ".join(filter(None, (job.customer, job.phone))),
        "agreed": _agreed(facts),
        "machine": machine_words(job),
        "customers_words": f"\u201c{words}\u201d" if words else "",
        "condition": _condition(order, facts),
        "old_parts": _OLD_PARTS.get(job.old_parts or "", ""),
        "ask_first": _ask_first(facts),
        "manual": _MANUAL,
        "standard_hours": Shown(order.standard_hours, hours),
        "technician": None,
        "finished_on": None,
        "notes": None,
    }


def _agreed(facts: WorkOrderFacts) -> str:
    day = date_text(facts.agreed_on, facts.settings.language)
    return f"{facts.option}, {day}, {_MEANS[facts.by]}, {facts.customer}"


def _condition(order: WorkOrder, facts: WorkOrderFacts) -> str:
    if not facts.condition:
        return ""
    allowed = number_text(order.allowance, facts.settings.language)
    return f"{facts.condition}: {allowed} h of the standard hours are for it; stop and ask when it takes more."


def _ask_first(facts: WorkOrderFacts) -> str:
    currency, language = facts.settings.currency, facts.settings.language
    total, most = (money_text(amount, currency, language) for amount in (facts.total, facts.most))
    return (
        "Stop and ask before any work or part that is not on this sheet. "
        f"The customer agreed to {total}; call before it comes to more than {most}, {facts.basis}."
    )


def _step(number: int, step: WorkStep, hours: str) -> Row:
    return {
        "number": number,
        "kind": _KINDS[step.kind],
        "text": OPENED * step.open_now + step.name,
        "side": step.side,
        "standard": Shown(step.hours, hours),
        "box": "☐",
        "hours": None,
        "person": None,
        "key": step.key,
    }


def _measurement(found: FoundFinding, language: str) -> Row:
    way = {"above": "max ", "below": "min "}.get(found.fails_when or "", "")
    return {
        "text": f"{found.name}: {found.measure}" if found.measure else found.name,
        "side": found.side,
        "found": measured_words(found, language),
        "limit": way + _with_unit(found.limit, found.unit, language) if found.limit is not None else "",
        "now": None,
        "as_new": _with_unit(found.as_new, found.unit, language),
        "key": found.key,
    }


def _with_unit(value: Decimal | None, unit: str, language: str) -> str:
    return f"{number_text(value, language)} {unit}".strip() if value is not None else ""


def _part(part: PartToHand, language: str) -> Row:
    origin = "the customer's own" if part.own else f"from {part.supplier}" if part.supplier else "from the shelf"
    unit = "" if part.unit.casefold() == "each" else part.unit
    return {
        "text": f"{part.name} ({part.new_or_used}), {origin}" if part.new_or_used else f"{part.name}, {origin}",
        "side": ", ".join(_places(part, language)),
        "quantity": _with_unit(part.quantity, unit, language),
        "used": None,
        "core": None if part.core else "–",
        "part": part.part,
    }


def _places(part: PartToHand, language: str) -> Iterator[str]:
    for side, many in part.places:
        yield side if many is None else f"{side} {number_text(many, language)}"
