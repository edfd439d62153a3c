"""Small readable builders of shop book and job records, with defaults a reader need not look at.

Numbers are written as text or whole numbers, lists as lists, quantity lists as in a workbook cell:

>>> an_operation("FIT-BUSHING", "0.6", access=["COVER"], parts="BUSHING x 2; CIRCLIP").parts[0].quantity
Decimal('2')
>>> a_finding_on("WORN", "left", severity="safety").key
'WORN@left'
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from quotekit.model.job import FoundFinding, Job, JobExtra, OneOff, PlanItem
from quotekit.model.shop_book import (
    AccessStep,
    Bundle,
    Condition,
    Extra,
    Fee,
    Finding,
    FitsOnlyIf,
    LabourRate,
    MachineClass,
    MarkupBand,
    Operation,
    Part,
    PartUsed,
    Quantity,
    Remedy,
    Settings,
    ShopBook,
    Supplier,
    Tax,
    Tier,
)

Number = str | int | Decimal
Record = TypeVar("Record")

QUOTE_DATE = date(2026, 3, 2)

_NUMBER_NAMES = """minimum_labour_hours hours_step supplies_percent_of_labour supplies_cap sublet_markup inspection_fee
    deposit_on_ordered_parts deposit_on_non_returnable_parts years_to_compare interest_a_year call_when_over_percent
    call_when_over_amount call_when_over_at_most rate_per_hour cost_per_hour allowance at_most_hours hours_to_open
    hours_to_close net_hours
    second_side_hours sublet_cost pack_quantity pack_cost list_price_each fixed_price_each core_charge extra_freight
    quantity minimum_order small_order_fee freight free_freight_from restocking cost_over cost_up_to markup limit as_new
    life_years from_ to value amount rate measured spending_limit paid_so_far reassembly_hours discount_percent
    new_price used_value_working value_as_it_stands upkeep_after_repair upkeep_new years_it_could_last unit_cost
    unit_price"""
_NUMBERS = frozenset(_NUMBER_NAMES.split())
_QUANTITY_LISTS = frozenset({"parts", "also_needs", "contains"})


def quantities(text: str) -> tuple[Quantity, ...]:
    """A quantity list as in a cell: `SEAL-19 x 2; GASKET`.

    >>> [(entry.code, str(entry.quantity)) for entry in quantities("SEAL-19 x 2; GASKET")]
    [('SEAL-19', '2'), ('GASKET', '1')]
    """
    entries = [entry.strip() for entry in text.split(";") if entry.strip()]
    pairs = [entry.rsplit(" x ", 1) if " x " in entry else [entry, "1"] for entry in entries]
    return tuple(Quantity(code=code.strip(), quantity=Decimal(count)) for code, count in pairs)


def by_code(records: Iterable[Any]) -> dict[str, Any]:
    """Records in a mapping by their code, in the order given."""
    return {record.code: record for record in records}


def _made(record: type[Record], values: dict[str, Any]) -> Record:
    return record(**{name: _value(name, value) for name, value in values.items()})


def _value(name: str, value: object) -> object:
    if name in _QUANTITY_LISTS and isinstance(value, str):
        return quantities(value)
    if isinstance(value, list):
        return tuple(value)
    if name in _NUMBERS and isinstance(value, (int, str)):
        return Decimal(value)
    return value


def settings(**values: Any) -> Settings:
    """A shop in US dollars without a minimum, supplies, fees or deposits."""
    return _made(Settings, {"shop_name": "Test Shop", "currency": "USD", "minimum_labour_hours": 0} | values)


def a_rate(code: str = "MAIN", rate: Number = 100, cost: Number | None = 40, **values: Any) -> LabourRate:
    """A labour rate per sold hour."""
    return _made(LabourRate, {"code": code, "rate_per_hour": rate, "cost_per_hour": cost} | values)


def a_condition(code: str = "RUSTY", allowance: Number = "0.25", **values: Any) -> Condition:
    """A condition without a ceiling."""
    return _made(Condition, {"code": code, "name": code.title(), "allowance": allowance} | values)


def a_machine(code: str = "THROWER", **values: Any) -> MachineClass:
    """A machine class with left and right and nothing done always."""
    return _made(MachineClass, {"code": code, "machine_class": code.title()} | values)


def a_step(code: str, hours_to_open: Number = "0.2", hours_to_close: Number = "0.3", **values: Any) -> AccessStep:
    """An access step, once on the machine."""
    named = {"code": code, "step": code.title(), "hours_to_open": hours_to_open, "hours_to_close": hours_to_close}
    return _made(AccessStep, named | values)


def an_operation(code: str, net_hours: Number = "0.5", **values: Any) -> Operation:
    """An operation, once on the machine, without access or parts."""
    return _made(Operation, {"code": code, "operation": code.title(), "net_hours": net_hours} | values)


def a_part(code: str, pack_cost: Number = 10, pack_quantity: Number = 1, **values: Any) -> Part:
    """A part bought singly from supplier NORTH."""
    named = {"code": code, "part": code.title(), "pack_cost": pack_cost, "pack_quantity": pack_quantity}
    return _made(Part, named | {"supplier": "NORTH"} | values)


def a_part_used(used_by: str, part: str, quantity: Number = 1, **values: Any) -> PartUsed:
    """A row of Parts used that counts on every side and machine."""
    return _made(PartUsed, {"used_by": used_by, "part": part, "quantity": quantity} | values)


def a_supplier(code: str = "NORTH", **values: Any) -> Supplier:
    """A supplier without minimum, fee or freight."""
    return _made(Supplier, {"code": code, "supplier": code.title(), "lead_days": 3} | values)


def a_band(cost_over: Number = 0, cost_up_to: Number | None = None, markup: Number = "0.5") -> MarkupBand:
    """A markup band; alone it covers every cost."""
    return _made(MarkupBand, {"cost_over": cost_over, "cost_up_to": cost_up_to, "markup": markup})


def a_finding(code: str, severity: str = "needed", **values: Any) -> Finding:
    """A finding of the book, a judgement unless a limit is given."""
    return _made(Finding, {"code": code, "finding": code.title(), "severity": severity} | values)


def a_remedy(code: str, fixes: list[str], operations: list[str], **values: Any) -> Remedy:
    """A replacement that lasts five years."""
    named = {"code": code, "remedy": code.title(), "kind": "replace", "fixes": fixes, "operations": operations}
    return _made(Remedy, named | {"life_years": 5} | values)


def fits_only_if(remedy: str, finding: str, from_: Number | None = None, to: Number | None = None) -> FitsOnlyIf:
    """A limit within which a remedy fits."""
    return _made(FitsOnlyIf, {"remedy": remedy, "finding": finding, "from_": from_, "to": to})


def an_extra(code: str, operations: list[str], **values: Any) -> Extra:
    """Work no finding calls for."""
    return _made(Extra, {"code": code, "extra": code.title(), "operations": operations} | values)


def a_bundle(code: str, members: list[str], saving: str, value: Number, **values: Any) -> Bundle:
    """A saving when all members are done together."""
    named = {"code": code, "bundle": code.title(), "members": members, "saving": saving, "value": value}
    return _made(Bundle, named | values)


def a_fee(code: str, amount: Number, **values: Any) -> Fee:
    """A fee charged only when the job names it, unless told otherwise."""
    return _made(Fee, {"code": code, "fee": code.title(), "amount": amount} | values)


def a_tax(tax: str = "TAX", rate: Number = "0.1", charges: list[str] | None = None, **values: Any) -> Tax:
    """A tax on every charge unless told otherwise."""
    return _made(Tax, {"tax": tax, "rate": rate, "charges": charges or ["all"]} | values)


def a_tier(code: str, covers: Iterable[str] = ("safety", "needed"), aim: str = "lowest price", **values: Any) -> Tier:
    """A tier of the lowest price."""
    return _made(Tier, {"code": code, "tier": code.title(), "covers": frozenset(covers), "aim": aim} | values)


def a_book(**values: Any) -> ShopBook:
    """A shop book; sheets with codes may be given as lists of records.

    One labour rate MAIN at 100 an hour, one markup band of 50 %, one machine class THROWER, suppliers NORTH and SHELF.
    """
    named: dict[str, Any] = {
        "settings": settings(),
        "labour_rates": [a_rate()],
        "operations": [],
        "parts": [],
        "markup": [a_band()],
        "findings": [],
        "remedies": [],
        "machines": [a_machine()],
        "suppliers": [a_supplier(), a_supplier("SHELF", shelf=True)],
    }
    sheets: dict[str, Any] = {name: _sheet(name, value) for name, value in (named | values).items()}
    return ShopBook(**sheets)


_KEYED_NAMES = "operations parts findings remedies conditions machines access suppliers extras bundles fees cautions"
_KEYED = frozenset(_KEYED_NAMES.split())


def _sheet(name: str, value: object) -> object:
    if isinstance(value, list):
        return by_code(value) if name in _KEYED else tuple(value)
    return value


def a_finding_on(code: str, side: str | None = None, *, severity: str = "needed", **values: Any) -> FoundFinding:
    """A fault recorded on this machine, by judgement unless told otherwise."""
    named = {"code": code, "side": side, "severity": severity, "name": code.title()}
    return _made(FoundFinding, named | values)


def found(book: ShopBook, code: str, side: str | None = None, measured: Number | None = None) -> FoundFinding:
    """A finding of the book as recorded, judged by its limit where it has one and a measurement is given."""
    row = book.findings[code]
    value = None if measured is None else Decimal(measured)
    judged = value is None or row.limit is None or row.fails_when is None
    fault = judged or _fails(row, value)
    same = (
        "measure",
        "unit",
        "fails_when",
        "limit",
        "as_new",
        "limit_source",
        "customer_wording",
        "if_left",
        "also_check",
    )
    copied = {name: getattr(row, name) for name in same}
    text = "" if measured is None else f"{measured} {row.unit}".strip()
    return FoundFinding(
        code=code,
        side=side,
        name=row.finding,
        severity=row.severity if fault else "watch",
        fault=fault,
        judged=judged,
        measured=value,
        measured_text=text,
        **copied,
    )


def _fails(row: Finding, value: Decimal | None) -> bool:
    assert value is not None and row.limit is not None
    return value > row.limit if row.fails_when == "above" else value < row.limit


def a_job_extra(code: str, side: str | None = None, *, asked: bool = False) -> JobExtra:
    """An extra on the job's sheet, offered unless asked."""
    return JobExtra(code=code, side=side, asked=asked)


def a_one_off(number: int = 1, kind: str = "labour", quantity: Number = 1, **values: Any) -> OneOff:
    """A one-off line ONEOFF-n."""
    code = f"ONEOFF-{number}"
    return _made(OneOff, {"code": code, "line": f"Line {number}", "kind": kind, "quantity": quantity} | values)


def a_plan_item(tier: str, code: str, side: str | None = None) -> PlanItem:
    """An item the technician put in a tier."""
    return PlanItem(tier=tier, code=code, side=side)


def a_job(*findings: FoundFinding, **values: Any) -> Job:
    """A job on a THROWER with these findings and nothing else."""
    named: dict[str, Any] = {
        "job_number": "J-1",
        "customer": "A Customer",
        "machine_class": "THROWER",
        "customers_words": "It shakes",
        "quote_date": QUOTE_DATE,
        "findings": findings,
        "machine_class_name": "Thrower",
    } | values
    if isinstance(named.get("fees"), str):
        named["fees"] = quantities(named["fees"])
    if isinstance(named.get("parts"), list):
        named["parts"] = by_code(named["parts"])
    return _made(Job, named)
