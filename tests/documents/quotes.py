"""Hand-made quotes for the tests of documents: an invented shop, a two-stage snow thrower, amounts typed in."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.job import FoundFinding, Job
from quotekit.model.quote import (
    Amounts,
    Cost,
    Declined,
    Hours,
    MoneyLine,
    OfferedExtra,
    PartLine,
    PricedTier,
    Quote,
    Share,
    TaxLine,
    TierItem,
    WorkLine,
)
from quotekit.model.shop_book import (
    AccessStep,
    Caution,
    Fee,
    Finding,
    LabourRate,
    Operation,
    Settings,
    ShopBook,
    Supplier,
)

D = Decimal
ZERO = D(0)


def settings(**changed: Any) -> Settings:
    """A shop with an address, in dollars unless told otherwise."""
    known: dict[str, Any] = {
        "shop_name": "Larch Lane Small Engine",
        "currency": "USD",
        "minimum_labour_hours": D(1),
        "address": "14 Larch Lane, Exampleville",
        "phone": "555 0142",
        "email": "bench@larchlane.example",
        "licence": "R-0042",
        "tax_number": "00-123",
        "call_when_over_percent": D("0.10"),
        "call_when_over_amount": D(50),
    }
    return Settings(**(known | changed))


def book(**changed: Any) -> ShopBook:
    """The few records a quote document looks up."""
    return ShopBook(
        settings=settings(**changed),
        labour_rates=(LabourRate(code="MAIN", name="Bench", rate_per_hour=D(95), cost_per_hour=D("41.37")),),
        operations={
            "FIT-BEARINGS": Operation(
                code="FIT-BEARINGS",
                operation="Fit bearings",
                net_hours=D("0.7"),
                each_side=True,
                cautions=("STOP", "BENCH"),
            )
        },
        access={
            "HOUSING": AccessStep(code="HOUSING", step="Auger housing", hours_to_open=D(1), hours_to_close=D("0.8"))
        },
        parts={},
        markup=(),
        findings={
            "CHAIN": Finding(code="CHAIN", finding="Drive chain worn", severity="advised"),
        },
        remedies={},
        suppliers={"NORTH": Supplier(code="NORTH", supplier="Northern Supply")},
        fees={
            "PICKUP": Fee(code="PICKUP", fee="Pick-up", amount=D(2), unit="mile"),
            "WASTE": Fee(
                code="WASTE",
                fee="Waste oil",
                amount=D(6),
                always=True,
                required_wording="This charge represents costs and profits to the shop for disposing of waste.",
            ),
        },
        cautions={
            "STOP": Caution(
                code="STOP",
                caution="Stop the engine and take the key out before clearing the chute; never clear it by hand",
                caution_source="invented safety sheet",
                for_customer=True,
            ),
            "BENCH": Caution(code="BENCH", caution="Lift with two people", for_customer=False),
        },
    )


FINDINGS = (
    FoundFinding(
        code="BUSHING",
        side="left",
        name="Auger shaft bushing worn",
        severity="needed",
        judged=False,
        measure="shaft to bushing gap",
        unit="mm",
        measured=D("1.9"),
        measured_text="0.075 in",
        fails_when="above",
        limit=D("1.2"),
        as_new=D("0.3"),
        limit_source="maker's manual, page 31",
        customer_wording="The bearing sleeve that carries the auger on the left has worn oval, so the auger knocks",
        if_left="the shaft wears too, and then both have to be replaced",
        photo="bushing.jpg",
    ),
    FoundFinding(
        code="BUSHING",
        side="right",
        name="Auger shaft bushing worn",
        severity="advised",
        judged=False,
        measure="shaft to bushing gap",
        unit="mm",
        measured=D("1.0"),
        measured_text="1.0 mm",
        fails_when="above",
        limit=D("0.9"),
        limit_source="maker's manual, page 31",
        if_left="it follows the left one within a season or two",
    ),
    FoundFinding(
        code="GUARD",
        name="Chute guard missing",
        severity="safety",
        customer_wording="The guard over the discharge is gone, and a hand can reach the impeller",
        if_left="someone can be hurt",
        note="Customer says it was lost last winter",
    ),
    FoundFinding(
        code="BELT",
        name="Drive belt",
        severity="watch",
        fault=False,
        judged=False,
        measure="belt width",
        unit="mm",
        measured=D("12.4"),
        measured_text="12.4 mm",
        fails_when="below",
        limit=D("11.5"),
        limit_source="shop's own limit",
    ),
)


def job(findings: tuple[FoundFinding, ...] = FINDINGS, **changed: Any) -> Job:
    """A snow thrower brought in with one complaint."""
    known: dict[str, Any] = {
        "job_number": "2041",
        "customer": "Pat Example",
        "phone": "555 0188",
        "machine_class": "SNOW2",
        "machine_class_name": "Two-stage snow thrower",
        "model": "invented 24-inch",
        "serial": "A1002",
        "usage": "310 hours",
        "customers_words": "It knocks when the auger runs, and it leaves a strip of snow.",
        "quote_date": date(2026, 11, 25),
        "findings": findings,
        "spending_limit": D(400),
        "paid_so_far": D(40),
    }
    return Job(**(known | changed))


def part(name: str, price: str, quantity: str = "1", **changed: Any) -> PartLine:
    """A part line, its amount the price times the quantity."""
    known: dict[str, Any] = {
        "part": name.upper().replace(" ", "-")[:10],
        "name": name,
        "unit": "",
        "new_or_used": "new original",
        "quantity": D(quantity),
        "packs": 7,
        "unit_price": D(price),
        "amount": D(price) * D(quantity),
        "supplier": "NORTH",
        "suppliers_number": "N-55",
        "pack_quantity": D(10),
        "pack_cost": D("13.13"),
        "unit_cost": D("1.313"),
        "cost": D("1.31"),
        "ordered": True,
        "why_price": "markup band 1",
    }
    return PartLine(**(known | changed))


BUSHING_ITEM = TierItem(
    key="FIT-BUSHING@left",
    code="FIT-BUSHING",
    side="left",
    kind="remedy",
    name="New bushing",
    wording="Fit a new bushing like the old one",
    fixes=("BUSHING@left",),
    life_years=D(4),
    warranty_days=90,
    leaves="the same kind of bushing, which wears again",
    remedy_kind="repair",
)
BEARING_ITEM = TierItem(
    key="FIT-BEARING@left",
    code="FIT-BEARING",
    side="left",
    kind="remedy",
    name="Sealed bearing",
    wording="Fit a sealed bearing in place of the bushing",
    fixes=("BUSHING@left",),
    life_years=None,
    warranty_days=365,
    remedy_kind="upgrade",
)
GUARD_ITEM = TierItem(
    key="GUARD",
    code="GUARD",
    side=None,
    kind="remedy",
    name="New guard",
    wording="Fit a new chute guard",
    fixes=("GUARD",),
)
RIGHT_ITEM = replace(BEARING_ITEM, key="FIT-BEARING@right", side="right", fixes=("BUSHING@right",))


def tier(name: str, items: tuple[TierItem, ...], parts: tuple[PartLine, ...], **changed: Any) -> PricedTier:
    """A tier whose amounts add up; `labour` and `opening` are typed in."""
    labour, opening = changed.pop("labour", D("285.00")), changed.pop("opening", D("171.00"))
    faults = changed.pop("faults", ("BUSHING@left", "BUSHING@right", "GUARD"))
    savings, fees = changed.pop("savings", D("-12.00")), D("30.00")
    parts_amount = sum((line.amount for line in parts), ZERO)
    each = (labour / len(items)).quantize(D("0.01"))
    work = labour + parts_amount + D("14.25") + savings + fees + D("9.50")
    subtotal = work + D("45.00") - D("45.00")
    tax = (subtotal * D("0.07")).quantize(D("0.01"))
    fixed = tuple(key for key in faults if any(key in item.fixes for item in items))
    known: dict[str, Any] = {
        "code": name[:4].lower(),
        "name": name,
        "aim": "lowest price",
        "planned": False,
        "offered": True,
        "reason": None,
        "items": items,
        "operations": (
            WorkLine(key="FIT-BEARINGS@left", code="FIT-BEARINGS", side="left", hours=D("0.7"), labour="MAIN"),
        ),
        "access": (WorkLine(key="HOUSING", code="HOUSING", side=None, hours=D("1.8"), labour="MAIN"),),
        "dropped": (),
        "fixed": fixed,
        "left": tuple(key for key in faults if key not in fixed),
        "safety_left": (),
        "hours": Hours(
            access=D("1.8"), net=D("1.2"), allowance=ZERO, off=ZERO, billed={"MAIN": D("3.0")}, minimum_added=ZERO
        ),
        "labour_lines": (),
        "minimum_amount": ZERO,
        "part_lines": parts,
        "sublet_lines": (),
        "saving_lines": (MoneyLine(key="PAIR", name="both sides at once", amount=savings),),
        "fee_lines": (
            MoneyLine(
                key="PICKUP", name="Pick-up", amount=D("24.00"), quantity=D(12), unit="mile", wording="door to door"
            ),
            MoneyLine(key="WASTE", name="Waste oil", amount=D("6.00")),
        ),
        "freight_lines": (MoneyLine(key="NORTH", name="Northern Supply", amount=D("9.50"), cost=D("9.50")),),
        "amounts": Amounts(
            labour=labour,
            parts=parts_amount,
            cores=ZERO,
            sublet=ZERO,
            savings=savings,
            supplies=D("14.25"),
            fees=fees,
            freight=D("9.50"),
            inspection=D("45.00"),
            inspection_credit=D("-45.00"),
        ),
        "bundles": (("PAIR", savings),),
        "work": work,
        "subtotal": subtotal,
        "taxes": (TaxLine(tax="Sales tax", base=subtotal, amount=tax),),
        "tax": tax,
        "total": subtotal + tax,
        "deposit": D("20.00"),
        "due": subtotal + tax - D(40),
        "ready_days": 4,
        "horizon_cost": D("999.99"),
        "shares": tuple(
            Share(
                item=item.key,
                hours=D(1),
                labour=each,
                parts=ZERO,
                sublet=ZERO,
                amount=ZERO,
            )
            for item in items
        ),
        "cost": Cost(labour=D("77.77"), parts_used=D("22.22"), cores=ZERO, sublet=None, freight=ZERO, total=None),
        "cash_for_parts": D("131.31"),
        "margin": D("88.88"),
        "compared": 12,
        "lives": {},
        "opening_amount": opening,
        "extras": EXTRAS,
    }
    return PricedTier(**(known | changed))


def extra(key: str, name: str, at_most: str, **changed: Any) -> OfferedExtra:
    """Something that may be added."""
    code, _, side = key.partition("@")
    known: dict[str, Any] = {
        "extra": key,
        "code": code,
        "side": side or None,
        "kind": "extra",
        "name": name,
        "wording": "",
        "why": "while it is open",
        "fixes": (),
        "price": ZERO,
        "at_most": D(at_most),
        "work": ZERO,
        "subtotal": ZERO,
        "tax": ZERO,
        "total": ZERO,
    }
    return OfferedExtra(**(known | changed))


EXTRAS = (
    extra("SHEAR", "New shear bolts", "18.40"),
    extra("GREASE", "Grease the auger shaft", "0.00", why="on the job's list"),
)
FOUND = extra(
    "FIT-BEARING@right",
    "Fit a sealed bearing",
    "96.20",
    kind="remedy",
    why="found, not in this option",
    fixes=("BUSHING@right",),
)

BUSHING_PART = part("Bushing", "8.95", "2", sides=("left",))
BEARING_PART = part("Sealed bearing", "21.40", "2", sides=("left",), new_or_used="new other maker")
BOTH_PART = part("Sealed bearing", "21.40", "4", sides=("left", "right"), new_or_used="new other maker")
GUARD_PART = part("Chute guard", "64.00")
OWN_PART = part("Shear bolt", "0.00", "2", own=True)

TIERS = (
    tier("Put right", (BUSHING_ITEM, GUARD_ITEM), (BUSHING_PART, GUARD_PART, OWN_PART), extras=(*EXTRAS, FOUND)),
    tier(
        "Put right and prevent",
        (BEARING_ITEM, GUARD_ITEM),
        (BEARING_PART, GUARD_PART, OWN_PART),
        labour=D("313.50"),
        extras=(*EXTRAS, FOUND),
    ),
    tier(
        "Made to last",
        (BEARING_ITEM, RIGHT_ITEM, GUARD_ITEM),
        (BOTH_PART, GUARD_PART, OWN_PART),
        labour=D("380.00"),
        ready_days=None,
    ),
)


def quote(tiers: tuple[PricedTier, ...] = TIERS, job_record: Job | None = None, **shop: Any) -> Quote:
    """The whole answer, three options unless told otherwise."""
    return Quote(
        book=book(**shop),
        job=job_record or job(),
        valid_until=date(2026, 12, 25),
        currency=shop.get("currency", "USD"),
        tiers=tiers,
        not_permitted=(),
        only_with=(),
        measure_next=(),
        look_next=("CHAIN",),
        declined=Declined(inspection=D("45.00"), reassembly=D("76.00"), tax=D("8.47"), total=D("129.47")),
    )


def one() -> Quote:
    """One option, which is a normal answer."""
    return quote(TIERS[:1])


def two() -> Quote:
    """Two options."""
    return quote(TIERS[:2])


def three() -> Quote:
    """Three options."""
    return quote()


def many_findings(count: int = 40) -> Quote:
    """So many findings, every other one with a measurement."""
    findings = tuple(
        replace(FINDINGS[n % 4], code=f"F{n}", name=f"{FINDINGS[n % 4].name} number {n + 1}", photo="")
        for n in range(count)
    )
    keys = tuple(found.key for found in findings if found.fault)
    fixing = tuple(
        replace(BUSHING_ITEM, key=f"R{key}", wording=f"Put right {key}", side=None, fixes=(key,), leaves="")
        for key in keys
    )
    half = tier("Put right", fixing[: len(fixing) // 2], (BUSHING_PART,), faults=keys)
    whole = tier("Made to last", fixing, (BEARING_PART,), faults=keys)
    return quote((half, whole), job(findings))


LONG = " ".join(["The gearbox was opened and its oil found full of bronze, which comes from the worm inside;"] * 30)


def long_texts() -> Quote:
    """Everything that can be long is long."""
    found = replace(
        FINDINGS[0], name=LONG[:240], customer_wording=LONG, note=LONG, if_left=LONG[:900], limit_source=LONG[:300]
    )
    item = replace(BUSHING_ITEM, wording=LONG[:500], leaves=LONG[:700])
    parts = (part("Bushing " + LONG[:300], "1234567.89"),)
    words = tier(
        "A name of an option that is longer than it should be",
        (item, GUARD_ITEM),
        parts,
        extras=(extra("X", LONG[:400], "1.00"),),
    )
    return quote((words, *TIERS[1:]), job((found, *FINDINGS[1:]), customers_words=LONG[:1500]))


def positions() -> Quote:
    """A machine with four positions and findings on each."""
    sides = ("left front", "left rear", "right front", "right rear")
    findings = tuple(replace(FINDINGS[0], side=side, photo="") for side in sides)
    items = tuple(
        replace(BEARING_ITEM, key=f"FIT-BEARING@{side}", side=side, fixes=(f"BUSHING@{side}",)) for side in sides
    )
    keys = tuple(found.key for found in findings)
    line = part("Hub bearing", "21.40", "8", sides=sides)
    return quote((tier("Put right", items, (line,), faults=keys),), job(findings, positions=sides))
