"""Which columns stand behind each field of a record: the header of a field, by convention and by exception.

By convention a field's header is its name with spaces and a capital: `pack_cost` is read from `Pack cost`.
A field read otherwise is listed here; one that hangs on the cells of several rows is worked out in `watched.py`.
A test holds this against the column declarations of the readers: no column is forgotten and none is made up.
"""

from __future__ import annotations

from collections.abc import Mapping

from quotekit.model.job import FoundFinding, Job, JobExtra, OneOff, PlanItem
from quotekit.model.shop_book import (
    Bundle,
    Caution,
    Extra,
    Fee,
    Finding,
    FitsOnlyIf,
    Offer,
    Part,
    PartUsed,
    Settings,
    Tax,
)

Headers = tuple[str, ...]

_MACHINE = {"machines": "Machine"}
_DATED = {"from_": "From"}
_SUPPLIERS_NUMBER = {"suppliers_number": "Supplier's number"}
_NAMED: Mapping[type, Mapping[str, str]] = {
    Part: _SUPPLIERS_NUMBER,
    Offer: _SUPPLIERS_NUMBER,
    PartUsed: {"sides": "Side", **_MACHINE},
    Finding: _MACHINE,
    FitsOnlyIf: _DATED,
    Extra: _MACHINE,
    Bundle: _DATED,
    Fee: {"always": "Applies to"},
    Tax: {"charges": "Charge", **_MACHINE},
    Caution: {"caution_source": "Source"},
    JobExtra: {"code": "Extra", "asked": "Customer asked"},
    OneOff: {"code": "Line", "tiers": "Tier"},
    PlanItem: {"code": "Item"},
    Settings: {
        "call_when_over_percent": "Call the customer when over percent",
        "call_when_over_amount": "Call the customer when over amount",
        "deposit_on_non_returnable_parts": "Deposit on non-returnable parts",
    },
    Job: {
        "customers_words": "Customer's words",
        "own_parts": "Customer's own parts",
        "reassembly_hours": "Reassembly hours if declined",
        "upkeep_after_repair": "Upkeep a year after repair",
        "upkeep_new": "Upkeep a year new",
        "machine_class_name": "Machine class",
        "positions": "Machine class",
    },
}

_MEASURED = ("Measured", "Unit", "Limit", "Severity")
FOUND_ON_JOB: Mapping[str, Headers] = {
    "code": ("Finding",),
    "side": ("Side",),
    "name": ("Note",),
    "severity": _MEASURED,
    "fault": _MEASURED,
    "judged": _MEASURED,
    "unit": ("Unit",),
    "measured": ("Measured", "Unit"),
    "measured_text": ("Measured", "Unit"),
    "limit": ("Limit", "Unit"),
    "as_new": ("As new", "Unit"),
    "limit_source": ("Limit source", "Limit"),
    "note": ("Note",),
    "photo": ("Photo",),
    "severity_typed": ("Severity",),
}
"""Columns of the job's Findings behind each field of a finding as it was recorded."""

_JUDGED_BY = ("Unit", "Fails when", "Limit")
FOUND_IN_BOOK: Mapping[str, Headers] = {
    "code": ("Code",),
    "name": ("Finding",),
    "severity": (*_JUDGED_BY, "Severity"),
    "fault": _JUDGED_BY,
    "judged": _JUDGED_BY,
    "measure": ("Measure",),
    "unit": ("Unit",),
    "measured": ("Unit",),
    "measured_text": ("Unit",),
    "fails_when": ("Fails when",),
    "limit": ("Limit", "Unit"),
    "as_new": ("As new", "Unit"),
    "limit_source": ("Limit source",),
    "customer_wording": ("Customer wording",),
    "if_left": ("If left",),
    "also_check": ("Also check",),
}
"""Columns of the shop book's Findings behind each field of a finding as it was recorded."""

NOT_FROM_CELLS: frozenset[str] = frozenset({"source", "sources", "file", "sha256"})
"""Fields that say where a record came from."""

ROWS: frozenset[str] = frozenset({"findings", "extras", "parts", "one_off", "plan"})
"""Fields of a job that hold rows of a sheet of their own."""


def header_of(kind: type, field: str) -> str:
    """The header of the column, setting or job field that fills a record's field.

    >>> header_of(Part, "suppliers_number"), header_of(Part, "pack_cost"), header_of(Tax, "charges")
    ("Supplier's number", 'Pack cost', 'Charge')
    """
    known = _NAMED.get(kind, {}).get(field)
    return known or field.replace("_", " ").capitalize()


def headers_behind_finding(field: str) -> tuple[Headers, Headers]:
    """Columns of the job's and of the shop book's Findings behind a field of a recorded finding.

    >>> headers_behind_finding("as_new")
    (('As new', 'Unit'), ('As new', 'Unit'))
    """
    return FOUND_ON_JOB.get(field, ()), FOUND_IN_BOOK.get(field, ())


def is_read_from_cells(kind: type, field: str) -> bool:
    """True for a field with a column of its own; rows of a job's other sheets have their own records."""
    return field not in NOT_FROM_CELLS and not (kind is Job and field in ROWS) and kind is not FoundFinding
