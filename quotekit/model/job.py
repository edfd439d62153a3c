"""The job workbook as frozen records (DESIGN.md 4)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.model.shop_book import FailsWhen, FindingSeverity, Part, Quantity
from quotekit.model.source import NOWHERE, Source
from quotekit.problems import Place
from quotekit.record import record

OneOffKind = Literal["labour", "part", "sublet", "charge"]


@record
class FoundFinding:
    """One finding recorded on one side of this machine, after the row's side was spread over positions.

    `code` is the book's, or OTHER-1 and on. `side` is a position or None.
    `measured` is in `unit`: the reader has already converted measured, limit and as_new to `unit`,
    and has put the job's own limit, as-new value and severity in place of the book's.
    `fault` is False for a measurement that passes where no severity was typed: listed as watch, priced nowhere.
    `judged` is True where no limit or no measurement decides.
    """

    code: str
    side: str | None = None
    name: str
    severity: FindingSeverity
    fault: bool = True
    judged: bool = True
    measure: str = ""
    unit: str = ""
    measured: Decimal | None = None
    measured_text: str = ""
    """As typed, with its own unit, for people: `0.742 in`."""
    fails_when: FailsWhen | None = None
    limit: Decimal | None = None
    as_new: Decimal | None = None
    limit_source: str = ""
    note: str = ""
    photo: str = ""
    customer_wording: str = ""
    if_left: str = ""
    also_check: tuple[str, ...] = ()
    severity_typed: bool = False
    source: Source = NOWHERE

    @property
    def key(self) -> str:
        """`CODE` or `CODE@side`."""
        return at_side(self.code, self.side)


@record
class JobExtra:
    """An extra on the job's sheet, one side each; `asked`: the customer asked, so it is in every tier."""

    code: str
    side: str | None = None
    asked: bool = False
    source: Source = NOWHERE


ONE_OFF = "ONEOFF-"
"""How the code of a one-off line begins, before the number of its row."""


@record
class OneOff:
    """A line no shop book foresees. `code` is ONEOFF-1 and on; `tiers` empty for all; `fixes` are finding codes."""

    code: str
    line: str
    kind: OneOffKind
    quantity: Decimal
    unit_cost: Decimal | None = None
    unit_price: Decimal | None = None
    labour: str | None = None
    access: tuple[str, ...] = ()
    supplier: str | None = None
    lead_days: int | None = None
    tiers: tuple[str, ...] = ()
    fixes: tuple[str, ...] = ()
    slowed_by_rust: bool = False
    source: Source = NOWHERE


@record
class PlanItem:
    """The technician's own choice: a remedy, extra or operation code in a tier, one side each."""

    tier: str
    code: str
    side: str | None = None
    source: Source = NOWHERE


@record
class Job:
    """One machine brought in once. `positions` are the machine class's, in its order; `machine_class` is the code
    where the book has Machines, else the free text."""

    job_number: str
    customer: str
    machine_class: str
    customers_words: str
    quote_date: date
    version: int = 1
    machine_class_name: str = ""
    positions: tuple[str, ...] = ("left", "right")
    phone: str = ""
    email: str = ""
    make: str = ""
    model: str = ""
    serial: str = ""
    usage: str = ""
    condition: str | None = None
    customer_class: str = "household"
    exemption_certificate: str = ""
    old_parts: Literal["keep", "show", "dispose"] | None = None
    spending_limit: Decimal | None = None
    inspection_fee: Decimal | None = None
    paid_so_far: Decimal = Decimal(0)
    reassembly_hours: Decimal | None = None
    labour_rate: str | None = None
    fees: tuple[Quantity, ...] = ()
    own_parts: tuple[str, ...] = ()
    discount_percent: Decimal = Decimal(0)
    discount_reason: str = ""
    new_price: Decimal | None = None
    used_value_working: Decimal | None = None
    value_as_it_stands: Decimal | None = None
    upkeep_after_repair: Decimal | None = None
    upkeep_new: Decimal | None = None
    value_a_new_one_loses: Decimal | None = None
    """Part of its price, over the years compared."""
    years_it_could_last: Decimal | None = None
    years_to_compare: Decimal | None = None
    findings: tuple[FoundFinding, ...] = ()
    extras: tuple[JobExtra, ...] = ()
    parts: Mapping[str, Part] = field(default_factory=dict)
    one_off: tuple[OneOff, ...] = ()
    plan: tuple[PlanItem, ...] = ()
    sources: Mapping[str, Source] = field(default_factory=dict, compare=False)
    """By field name as in DESIGN.md 4; the cell is `sources[name].place("Value")`."""
    file: str = ""
    sha256: str = ""

    def place_of(self, field_name: str) -> Place:
        """The cell of a field; the file where it is not on the sheet."""
        source = self.sources.get(field_name)
        return source.place("Value") if source is not None else Place(self.file)

    @property
    def asks_worth(self) -> bool:
        """True where at least one value of keeping or replacing the machine is given."""
        given = (self.new_price, self.used_value_working, self.value_as_it_stands, self.upkeep_after_repair)
        return any(value is not None for value in (*given, self.upkeep_new))

    @property
    def contradicting_worth(self) -> tuple[str, str] | None:
        """Two values by their names on the Job sheet, the first above the second where it can't be."""
        new, used = ("New price", self.new_price), ("Used value working", self.used_value_working)
        now = ("Value as it stands", self.value_as_it_stands)
        for (name, high), (other, low) in ((used, new), (now, used), (now, new)):
            if high is not None and low is not None and high > low:
                return name, other
        return None

    def years_compared(self, shops: Decimal) -> Decimal:
        """The job's years to compare, else the shop's, never more than the machine could last."""
        years = shops if self.years_to_compare is None else self.years_to_compare
        return years if self.years_it_could_last is None else min(years, self.years_it_could_last)


def at_side(code: str, side: str | None) -> str:
    """The written form of an instance.

    >>> at_side("BUSHING", "left"), at_side("BELT", None)
    ('BUSHING@left', 'BELT')
    """
    return code if side is None else f"{code}@{side}"
