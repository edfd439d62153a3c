"""A small quote made by hand: one offered tier with every kind of line, one tier that is not offered.

A snow thrower's worn bushings, left and right. The sums are right by hand, so that documents can be checked by them:
3.0 h x 90.00 = 270.00 labour, 2 x 14.25 + 1 x 6.00 = 34.50 parts, core 5.00, sublet 24.00, saving -10.00,
supplies 8.10, fee 12.00, freight 7.50: work 351.10; inspection 40.00 credited 40.00; tax 7 % of 351.10 = 24.58.
Cost: labour 2.85 h x 30 = 85.50, parts 20.00 + 4.00, core 5.00, sublet 20.00, freight 7.50: 142.00; margin 209.10.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D

from quotekit.model.job import FoundFinding, Job
from quotekit.model.quote import (
    Amounts,
    Cost,
    Declined,
    Hours,
    LabourLine,
    MoneyLine,
    NotPermitted,
    OfferedExtra,
    OnlyWith,
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
    Condition,
    Fee,
    Finding,
    FitsOnlyIf,
    LabourRate,
    MarkupBand,
    Operation,
    Part,
    Quantity,
    Remedy,
    Settings,
    ShopBook,
    Supplier,
    Tax,
)
from quotekit.model.source import Source
from quotekit.problems import Place, warning


def at(sheet: str, row: int, *headers: str, file: str = "book.xlsx") -> Source:
    """A source whose headers stand in columns A, B, C and on."""
    return Source(file=file, sheet=sheet, row=row, columns={header: chr(65 + i) for i, header in enumerate(headers)})


SETTINGS = Settings(
    shop_name="Hill Road Small Engine",
    currency="USD",
    minimum_labour_hours=D("1"),
    supplies_percent_of_labour=D("0.03"),
    queue_days=2,
    deposit_on_ordered_parts=D("0.5"),
    sources={"Hours step": at("Shop", 12, "Setting", "Value")},
)

BOOK = ShopBook(
    settings=SETTINGS,
    labour_rates=(
        LabourRate(
            code="MAIN",
            rate_per_hour=D("90"),
            cost_per_hour=D("30"),
            name="Bench",
            source=at("Labour rates", 2, "Code", "Name", "Rate per hour", "Cost per hour"),
        ),
    ),
    operations={
        "BUSH": Operation(
            code="BUSH",
            operation="Press bushing out and in",
            net_hours=D("0.6"),
            second_side_hours=D("0.4"),
            each_side=True,
            parts=(Quantity(code="BUSHING", quantity=D(1)),),
            access=("HOUSING",),
            slowed_by_rust=True,
            source=at("Operations", 7, "Code", "Operation", "Net hours", "Second side hours"),
        ),
        "WELD": Operation(
            code="WELD", operation="Weld the bracket", net_hours=D("0"), sublet_cost=D("20"), sublet_days=1
        ),
    },
    parts={
        "BUSHING": Part(
            code="BUSHING",
            part="Bronze bushing",
            pack_quantity=D(4),
            pack_cost=D("40"),
            supplier="NORTH",
            suppliers_number="N-5512",
            lead_days=3,
            cost_date=date(2026, 1, 5),
            source=at("Parts", 14, "Code", "Part", "Pack quantity", "Pack cost", "Cost date"),
        ),
    },
    markup=(MarkupBand(cost_over=D(0), cost_up_to=None, markup=D("0.425"), source=at("Markup", 2, "Cost over")),),
    findings={"WORN": Finding(code="WORN", finding="Bushing worn", severity="needed", measure="bore")},
    remedies={
        "NEWBUSH": Remedy(code="NEWBUSH", remedy="New bushings", kind="replace", fixes=("WORN",), operations=("BUSH",)),
        "SEALED": Remedy(
            code="SEALED", remedy="Sealed bearings", kind="upgrade", fixes=("WORN",), operations=("BUSH",)
        ),
    },
    conditions={
        "RUSTY": Condition(
            code="RUSTY",
            name="Rusty",
            allowance=D("0.15"),
            at_most_hours=D("1"),
            source=at("Conditions", 3, "Allowance"),
        )
    },
    access={
        "HOUSING": AccessStep(
            code="HOUSING",
            step="Auger housing off",
            hours_to_open=D("0.9"),
            hours_to_close=D("0.8"),
            source=at("Access", 4, "Code", "Step", "Hours to open", "Hours to close"),
        )
    },
    suppliers={
        "NORTH": Supplier(
            code="NORTH",
            supplier="Northside Parts",
            freight=D("7.50"),
            free_freight_from=D("100"),
            minimum_order=D("60"),
            source=at("Suppliers", 2, "Code", "Supplier", "Freight", "Free freight from"),
        )
    },
    fits_only_if=(
        FitsOnlyIf(remedy="SEALED", finding="SHAFT", from_=D("0.748"), source=at("Fits only if", 2, "From", "To")),
    ),
    fees={"HAUL": Fee(code="HAUL", fee="Haul away", amount=D("12"), source=at("Fees", 2, "Code", "Fee", "Amount"))},
    taxes=(Tax(tax="State", rate=D("0.07"), charges=("all",), source=at("Taxes", 2, "Tax", "Rate")),),
    file="book.xlsx",
    sha256="b" * 64,
)

JOB = Job(
    job_number="117",
    customer="R. Alder",
    machine_class="SNOW2",
    customers_words="It rattles & grinds",
    quote_date=date(2026, 11, 2),
    condition="RUSTY",
    spending_limit=D("400"),
    findings=(
        FoundFinding(
            code="WORN",
            side="left",
            name="Bushing worn",
            severity="needed",
            judged=False,
            unit="in",
            measured=D("0.762"),
            measured_text="0.762 in",
            fails_when="above",
            limit=D("0.755"),
            source=at("Findings", 2, "Finding", "Side", "Measured", file="job.xlsx"),
        ),
        FoundFinding(code="WORN", side="right", name="Bushing worn", severity="needed"),
    ),
    sources={"Spending limit": at("Job", 18, "Field", "Value", file="job.xlsx")},
    file="job.xlsx",
    sha256="c" * 64,
)

AMOUNTS = Amounts(
    labour=D("270.00"),
    parts=D("34.50"),
    cores=D("5.00"),
    sublet=D("24.00"),
    savings=D("-10.00"),
    supplies=D("8.10"),
    fees=D("12.00"),
    freight=D("7.50"),
    inspection=D("40.00"),
    inspection_credit=D("-40.00"),
)

GOOD = PricedTier(
    code="good",
    name="Put right",
    aim="lowest price",
    planned=False,
    offered=True,
    reason=None,
    items=tuple(
        TierItem(
            key=f"NEWBUSH@{side}",
            code="NEWBUSH",
            side=side,
            kind="remedy",
            name="New bushings",
            wording="New bushings",
            fixes=(f"WORN@{side}",),
            life_years=D("6"),
            warranty_days=90,
            remedy_kind="replace",
        )
        for side in ("left", "right")
    ),
    operations=(
        WorkLine(
            key="BUSH@left",
            code="BUSH",
            side="left",
            hours=D("0.6"),
            labour="MAIN",
            slowed_by_rust=True,
            users=("NEWBUSH@left",),
        ),
        WorkLine(
            key="BUSH@right",
            code="BUSH",
            side="right",
            hours=D("0.4"),
            labour="MAIN",
            slowed_by_rust=True,
            further_side=True,
            users=("NEWBUSH@right",),
        ),
    ),
    access=(
        WorkLine(
            key="HOUSING",
            code="HOUSING",
            side=None,
            hours=D("1.7"),
            labour="MAIN",
            users=("NEWBUSH@left", "NEWBUSH@right"),
        ),
    ),
    dropped=("CLEAN",),
    fixed=("WORN@left", "WORN@right"),
    left=(),
    safety_left=(),
    hours=Hours(
        access=D("1.70"),
        net=D("1.0"),
        allowance=D("0.150"),
        off=D("0"),
        billed={"MAIN": D("3.0")},
        minimum_added=D("0.0"),
    ),
    labour_lines=(
        LabourLine(
            rate="MAIN",
            rate_per_hour=D("90"),
            access=D("1.7"),
            net=D("1.0"),
            allowance=D("0.15"),
            off=D("0"),
            billed=D("3.0"),
            amount=D("270.00"),
            cost=D("85.50"),
        ),
    ),
    minimum_amount=D("0.00"),
    part_lines=(
        PartLine(
            part="BUSHING",
            name="Bronze bushing",
            unit="each",
            new_or_used="new original",
            quantity=D("2"),
            packs=1,
            unit_price=D("14.25"),
            amount=D("28.50"),
            sides=("left", "right"),
            supplier="Northside Parts",
            suppliers_number="N-5512",
            pack_quantity=D("4"),
            pack_cost=D("40"),
            unit_cost=D("10"),
            cost=D("20.00"),
            left_over=D("2"),
            core_charge=D("5.00"),
            ordered=True,
            lead_days=3,
            why_price="markup 42.5 %",
        ),
        PartLine(
            part="GREASE",
            name="Grease",
            unit="tube",
            new_or_used="",
            quantity=D("1"),
            packs=1,
            unit_price=D("6.00"),
            amount=D("6.00"),
            supplier="SHELF",
            pack_cost=D("4"),
            unit_cost=D("4"),
            cost=D("4.00"),
        ),
    ),
    sublet_lines=(MoneyLine(key="WELD", name="Weld the bracket", amount=D("24.00"), cost=D("20.00")),),
    saving_lines=(MoneyLine(key="BOTH", name="Both sides together", amount=D("-10.00")),),
    fee_lines=(MoneyLine(key="HAUL", name="Haul away", amount=D("12.00")),),
    freight_lines=(MoneyLine(key="NORTH", name="Northside Parts", amount=D("7.50"), cost=D("7.50")),),
    amounts=AMOUNTS,
    bundles=(("BOTH", D("-10.00")), ("SOON", None)),
    work=D("351.10"),
    subtotal=D("351.10"),
    taxes=(TaxLine(tax="State", base=D("351.10"), amount=D("24.58")),),
    tax=D("24.58"),
    total=D("375.68"),
    deposit=D("14.25"),
    due=D("375.68"),
    ready_days=5,
    horizon_cost=D("351.10"),
    shares=(
        Share(
            item="NEWBUSH@left",
            hours=D("1.5400"),
            labour=D("140.00"),
            parts=D("17.25"),
            sublet=D("12.00"),
            amount=D("169.25"),
        ),
        Share(
            item="NEWBUSH@right",
            hours=D("1.3100"),
            labour=D("130.00"),
            parts=D("17.25"),
            sublet=D("12.00"),
            amount=D("159.25"),
        ),
    ),
    cost=Cost(
        labour=D("85.50"),
        parts_used=D("24.00"),
        cores=D("5.00"),
        sublet=D("20.00"),
        freight=D("7.50"),
        total=D("142.00"),
    ),
    cash_for_parts=D("44.00"),
    margin=D("209.10"),
    compared=12,
    lives={"WORN@left": D("6"), "WORN@right": None},
    opening_amount=D("160.00"),
    extras=(
        OfferedExtra(
            extra="BELT",
            code="BELT",
            side=None,
            kind="extra",
            name="Drive belt",
            wording="Drive belt",
            why="while it is open",
            fixes=(),
            price=D("31.00"),
            at_most=D("33.5"),
            work=D("382.10"),
            subtotal=D("382.10"),
            tax=D("26.75"),
            total=D("408.85"),
        ),
    ),
)

BEST = replace(
    GOOD,
    code="best",
    name="Made to last",
    aim="longest life",
    offered=False,
    reason="It is the same work as Put right.",
    extras=(),
    cost=replace(GOOD.cost, labour=None, total=None),
    margin=None,
    ready_days=None,
)

OLD_PRICE = warning(
    Place("book.xlsx", "Parts", "E14"),
    "old-price",
    "The price of BUSHING is 301 days old.",
    "Ask Northside Parts for today's price.",
    "2026-01-05",
)

QUOTE = Quote(
    book=BOOK,
    job=JOB,
    valid_until=date(2026, 12, 2),
    currency="USD",
    tiers=(GOOD, BEST),
    not_permitted=(NotPermitted(remedy="SEALED", side="left", why="SHAFT@left measures 0.742 in, it fits from 0.748"),),
    only_with=(OnlyWith(remedy="SEALED", side="right", with_=("NEWSHAFT",)),),
    measure_next=("SHAFT@right",),
    look_next=("SEAL@left",),
    declined=Declined(inspection=D("40"), reassembly=D("45.00"), tax=D("5.95"), total=D("90.95")),
    problems=(OLD_PRICE,),
)
