"""Which numbers each figure of a tier hangs on: those that its rule needs, and no others.

On the bench: FIT, half an hour behind a cover, slowed by rust, with a seal; WELD, an hour at a rate of its own; TURN,
sent out. A bin is charged, a tenth is taken off, freight is charged, 20 was paid. CLEAN is offered beside it.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache

import pytest

from quotekit.documents.quote_json import tier_json
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.explain.cells import FigureCells, cells_behind
from quotekit.pricing.explain.cells_choice import CHOICE
from quotekit.pricing.explain.cells_figures import OFFERS, Figure
from tests import build
from tests.completeness.figures import figures_of_tier
from tests.pricing.explain.cells_by_name import (
    assert_same_sets,
    assert_unnamed_leave_it,
    by_stage,
    cells,
    numbers,
    numbers_of,
    pair_of,
)
from tests.pricing.explain.small import a_shop, job_of

Cells = frozenset[str]


def row(code: str, *headings: str) -> Cells:
    """Cells of one row."""
    return frozenset(f"{code}: {heading}" for heading in headings)


def given(*names: str) -> Cells:
    """Settings, and fields of the job."""
    return frozenset(names)


def the_bench() -> tuple[ShopBook, Job]:
    book = a_shop(
        settings=build.settings(
            supplies_percent_of_labour="0.1",
            freight_to_customer="this job alone",
            inspection_fee=30,
            inspection_fee_credited="when work goes ahead",
            interest_a_year="0.05",
        ),
        operations=[
            build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL", slowed_by_rust=True),
            build.an_operation("WELD", 1, labour="FINE"),
            build.an_operation("TURN", 0, sublet_cost=40, sublet_days=4),
            build.an_operation("WIPE", "0.2", parts="RAG"),
        ],
        labour_rates=[build.a_rate(), build.a_rate("FINE", 120)],
        parts=[build.a_part("SEAL", 10, core_charge=5, extra_freight=2), build.a_part("RAG", 1, supplier="SHELF")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT", "WELD", "TURN"], life_years=2)],
        extras=[build.an_extra("CLEAN", ["WIPE"])],
        suppliers=[build.a_supplier(freight=7, free_freight_from=100), build.a_supplier("SHELF", shelf=True)],
        conditions=[build.a_condition()],
        taxes=[build.a_tax("GOODS", charges=["sublet"]), build.a_tax("DUTY", charges=["fees"])],
        fees=[build.a_fee("BIN", 3)],
    )
    job = job_of(
        book,
        condition="RUSTY",
        fees="BIN",
        discount_percent="0.1",
        paid_so_far=20,
        extras=[build.a_job_extra("CLEAN")],
        old_parts="keep",
    )
    return book, job


@cache
def known() -> FigureCells:
    return cells(*the_bench())


# What belongs together. A row is found by its code, so codes are not told here.
ACCESS = row("COVER", "Hours to open", "Hours to close")
NET = row("FIT", "Net hours") | row("WELD", "Net hours") | row("TURN", "Net hours") | given("Machine class")
RUST = (
    row("RUSTY", "Allowance", "At most hours")
    | {f"{op}: Slowed by rust" for op in ("FIT", "WELD", "TURN")}
    | given("Condition")
)
BUNDLED = given("Quote date")
HOURS = ACCESS | NET | RUST | BUNDLED | given("Hours step", "Minimum labour hours", "Labour rate")
MONEY = given("Currency")
IN_FORCE = row("MAIN", "In force from") | row("FINE", "In force from") | given("Quote date", "Labour rate")
LABOUR = HOURS | IN_FORCE | MONEY | row("MAIN", "Rate per hour") | row("FINE", "Rate per hour")
OWN = given("Customer's own parts")
MARKUP = row("0", "Cost over", "Cost up to", "Markup")
PRICES = OWN | MONEY | MARKUP | row("SEAL", "Pack cost", "Pack quantity", "List price each", "Fixed price each")
CORES = OWN | MONEY | given("Old parts") | row("SEAL", "Core charge")
SUBLET = MONEY | given("Sublet markup") | {f"{op}: Sublet cost" for op in ("FIT", "WELD", "TURN")}
SAVINGS = LABOUR | PRICES | given("Discount percent", "Discount reason")
SUPPLIES = LABOUR | given("Supplies percent of labour", "Supplies cap", "Supplies shown as")
FEES = MONEY | given("Fees") | row("BIN", "Amount")
ORDER = row("NORTH", "Shelf", "Minimum order", "Freight", "Free freight from")
ORDER |= OWN | MONEY | row("SEAL", "Pack cost", "Pack quantity", "Extra freight")
FREIGHT = ORDER | given("Freight to customer")
WORK = LABOUR | PRICES | CORES | SUBLET | SAVINGS | SUPPLIES | FEES | FREIGHT
INSPECTION = MONEY | given("Inspection fee")
CREDIT = INSPECTION | given("Inspection fee credited")
SUBTOTAL = WORK | CREDIT
TAXED = given("Customer class", "Tax rounding") | row("GOODS", "In force from") | row("DUTY", "In force from")


def test_hours_hang_on_hours() -> None:
    expected = {
        "hours.access": ACCESS,
        "hours.net": NET,
        "hours.allowance": NET | RUST,
        "hours.off": BUNDLED,
        "hours.minimum_added": HOURS,
        "hours.billed.MAIN": HOURS,
        "hours.billed.FINE": HOURS,
    }
    assert_same_sets({name: numbers_of(known()[name]) for name in expected}, expected)


def test_a_part_hangs_on_its_own_row() -> None:
    """How many are used is said by codes; packs by what is in one; prices by the cost, and by no hour."""
    expected = {
        "parts.SEAL.quantity": frozenset[str](),
        "parts.SEAL.packs": OWN | row("SEAL", "Pack quantity"),
        "parts.SEAL.unit_price": PRICES,
        "parts.SEAL.amount": PRICES,
    }
    assert_same_sets({name: numbers_of(known()[name]) for name in expected}, expected)


def test_an_amount_hangs_on_what_it_is_made_of() -> None:
    expected = {
        "labour": LABOUR,
        "parts": PRICES,
        "cores": CORES,
        "sublet": SUBLET,
        "savings": SAVINGS,
        "supplies": SUPPLIES,
        "fees": FEES,
        "freight": FREIGHT,
        "inspection": INSPECTION,
        "inspection_credit": CREDIT,
    }
    assert_same_sets({name: numbers_of(known()[f"amounts.{name}"]) for name in expected}, expected)


def test_sums_hang_on_their_amounts_and_on_nothing_below_them() -> None:
    """Taxes on fees and on work sent out take along no hour and no price of a part."""
    life = given("Interest a year", "Years to compare", "Years it could last") | row("NEW", "Life years")
    taxes = TAXED | SUBLET | FEES | row("GOODS", "Rate") | row("DUTY", "Rate")
    expected = {
        "work": WORK,
        "subtotal": SUBTOTAL,
        "tax": taxes,
        "total": SUBTOTAL | taxes,
        "due": SUBTOTAL | taxes | given("Paid so far"),
        "deposit": PRICES | given("Deposit on ordered parts") | row("NORTH", "Shelf"),
        "horizon_cost": WORK | life,
    }
    assert_same_sets({name: numbers_of(known()[name]) for name in expected}, expected)


def test_days_hang_on_no_money() -> None:
    sublet = {f"{op}: Sublet days" for op in ("FIT", "WELD", "TURN")}
    expected = OWN | given("Queue days") | row("NORTH", "Lead days", "Shelf") | row("SEAL", "Lead days") | sublet
    assert_same_sets({"ready_days": numbers_of(known()["ready_days"])}, {"ready_days": expected})


def test_a_cost_hangs_on_what_the_shop_pays_and_on_no_markup() -> None:
    """Labour is paid for by its hours; where a rate has no cost of its own, its price would tell, so that is read."""
    paid = row("MAIN", "Cost per hour", "Rate per hour") | row("FINE", "Cost per hour", "Rate per hour")
    labour = HOURS | IN_FORCE | MONEY | paid
    parts = ORDER | CORES
    expected = {
        "cost.labour": labour,
        "cost.parts_used": parts,
        "cost.cores": CORES,
        "cost.sublet": SUBLET,
        "cost.freight": ORDER,
        "cost.total": labour | parts | SUBLET,
        "cash_for_parts": OWN | MONEY | row("SEAL", "Pack cost", "Pack quantity"),
        "margin": SUBTOTAL | labour | parts,
    }
    assert_same_sets({name: numbers_of(known()[name]) for name in expected}, expected)


def test_a_share_takes_along_its_own_charge_only() -> None:
    """All are split by hours; the share of the labour reads no price, that of the parts no rate."""
    rates = row("MAIN", "Rate per hour") | row("FINE", "Rate per hour")
    found = {name: numbers_of(known()[f"shares.NEW.{name}"]) for name in ("hours", "labour", "parts", "sublet")}
    assert all(each >= HOURS for each in found.values())
    assert {name for name, each in found.items() if each & rates} == {"labour"}
    assert {name for name, each in found.items() if each >= PRICES} == {"parts"}
    assert {name for name, each in found.items() if "SEAL: Pack cost" in each} == {"parts"}
    assert {name for name, each in found.items() if "TURN: Sublet cost" in each} == {"sublet"}
    together = frozenset[str]().union(*(found[name] for name in ("labour", "parts", "sublet")))
    assert numbers_of(known()["shares.NEW.amount"]) == together


@pytest.mark.parametrize(
    ("figure", "stage", "own"),
    [
        ("hours.access", "hours", "COVER: Hours to close; COVER: Hours to open"),
        ("parts.SEAL.packs", "parts", "SEAL: Pack quantity"),
        ("amounts.labour", "labour", "Currency: Value; FINE: Rate per hour; MAIN: Rate per hour"),
        ("amounts.fees", "fees", "BIN: Amount; Fees: Value"),
        ("amounts.inspection", "inspection", "Inspection fee: Value"),
        ("amounts.inspection_credit", "inspection credit", "Inspection fee credited: Value"),
        ("due", "paid so far", "Paid so far: Value"),
        ("horizon_cost", "work over the years", "Interest a year: Value; NEW: Life years"),
        ("horizon_cost", "years compared", "Years it could last: Value; Years to compare: Value"),
        ("deposit", "deposit", "Deposit on ordered parts: Value; NORTH: Shelf"),
        ("cash_for_parts", "cost", "SEAL: Pack cost; SEAL: Pack quantity"),
        ("margin", "inspection credit", "Inspection fee credited: Value"),
        ("amounts.cores", "cores", "Old parts: Value; SEAL: Core charge"),
    ],
)
def test_a_cell_stands_at_the_rule_that_read_it(figure: str, stage: str, own: str) -> None:
    assert numbers(known()[figure])[stage] == own


def test_an_extra_hangs_on_its_own_work_and_the_sums_on_both() -> None:
    """The price of the extra is the whole work with it less that without it, so both are read; 0.2 h and a rag."""
    own = row("WIPE", "Net hours") | row("RAG", "Pack cost")
    found = {name: numbers_of(known()[f"extras.CLEAN.{name}"]) for name in ("price", "at_most", "work", "tax", "total")}
    assert all(each >= own for name, each in found.items() if name != "tax")
    assert "BIN: Amount" in found["price"] and "Inspection fee" not in found["price"]
    assert found["price"] == found["work"]
    assert "TURN: Sublet cost" not in found["at_most"], "what it adds does not hang on work sent out for another"
    assert {"GOODS: Rate", "DUTY: Rate", "Inspection fee"} <= found["total"]
    assert "Paid so far" not in found["total"] | found["tax"]


def test_whether_an_extra_is_offered_is_told_as_a_condition() -> None:
    for name in ("kind", "why"):
        stages = by_stage(known()[f"extras.CLEAN.{name}"])
        assert OFFERS in stages and CHOICE in stages and "hours" not in stages


def test_lists_hang_on_codes_and_no_numbers() -> None:
    names = ("items", "operations", "access", "dropped", "fixed", "left", "safety_left")
    assert {name: numbers(known()[name]) for name in names} == {name: {} for name in names}
    assert {"FIT: Access", "COVER: Needs", "TURN: Includes"} <= set(
        "; ".join(by_stage(known()["operations"]).values()).split("; ")
    )
    for name in ("fixed", "left", "safety_left"):
        assert set(by_stage(known()[name])) == {CHOICE}, "what is put right is decided by the choice alone"


def test_a_number_that_a_figure_does_not_name_leaves_it_as_it_was() -> None:
    assert_unnamed_leave_it(*the_bench(), fewest=35)


SAVED = [
    ("labour amount off", 5, {"amounts.savings", "bundles.BOTH.amount"}, set[str]()),
    ("percent off parts", "0.2", {"amounts.savings", "bundles.BOTH.amount"}, set[str]()),
    ("hours off", "0.2", {"hours.off", "amounts.labour", "hours.billed.MAIN"}, {"bundles.BOTH.amount"}),
]


@pytest.mark.parametrize(("saving", "value", "hang", "do_not"), SAVED)
def test_a_bundle_stands_behind_what_it_takes_off(saving: str, value: str, hang: set[str], do_not: set[str]) -> None:
    """A bundle of hours takes hours off and no money; one of money changes no hour."""
    book = two_remedies(bundles=[build.a_bundle("BOTH", ["NEW", "PATCH"], saving, value)])
    found = cells(book)
    for name in hang:
        assert "BOTH: Value" in numbers_of(found[name]), name
    for name in do_not:
        assert not numbers_of(found[name]) & {"MAIN: Rate per hour", "FIT: Net hours", "SEAL: Pack cost"}, name
    if saving != "hours off":
        assert "BOTH: Value" not in numbers_of(found["amounts.labour"]) | numbers_of(found["hours.net"])
    assert_unnamed_leave_it(book, fewest=15)


def two_remedies(**values: object) -> ShopBook:
    """WORN and BENT, each with its own remedy and operation."""
    named = {
        "operations": [build.an_operation("FIT", "0.5", parts="SEAL"), build.an_operation("FILL", "0.7")],
        "findings": [build.a_finding("WORN"), build.a_finding("BENT")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"]), build.a_remedy("PATCH", ["BENT"], ["FILL"])],
        "access": [],
    }
    return a_shop(**(named | values))


def test_a_figure_is_money_by_its_kind_and_name() -> None:
    """Hours and quantities are numbers too, but the currency's digits say nothing of them."""
    cases = {
        "total": (Decimal("1.00"), True),
        "hours.net": (Decimal(1), False),
        "shares.NEW.hours": (Decimal(1), False),
        "shares.NEW.labour": (Decimal(1), True),
        "parts.SEAL.quantity": (Decimal(2), False),
        "parts.SEAL.packs": (2, False),
        "deposit": (None, False),
        "ready_days": (3, False),
    }
    made = {name: Figure(name, "", lambda: None, stated).is_money for name, (stated, _) in cases.items()}
    assert made == {name: money for name, (_, money) in cases.items()}


STAGES = {
    "work in money": ["work", "subtotal", "total"],
    "tax": ["tax", "total", "taxes.GOODS.base"],
    "inspection credit": ["amounts.inspection_credit", "subtotal"],
    "shares": ["shares.NEW.labour", "shares.NEW.sublet", "shares.NEW.hours"],
    "savings": ["amounts.savings", "work"],
    OFFERS: ["extras.CLEAN.kind", "extras.CLEAN.why", "extras.CLEAN.price"],
}


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_is_called_what_its_rule_is(stage: str) -> None:
    """The owner reads the names of stages beside the cells."""
    assert OFFERS == "what is offered beside the option"
    assert [name for name in STAGES[stage] if stage not in known()[name]] == []


def test_the_stages_of_a_tier_are_these() -> None:
    told = {stage for places in known().values() for stage in places}
    of_charges = {"hours", "labour", "labour rates in force", "condition", "parts used", "prices of parts", "sublet"}
    of_charges |= {"savings", "supplies", "fees", "freight", "cores", "work in money", "inspection", "cost", "deposit"}
    of_charges |= {"inspection credit", "taxes in force", "tax", "work over the years", "years compared", "parts"}
    of_charges |= {"shares", "days to ready", "paid so far", "at_most"}
    of_job = {"the job", "the shop", "how long the quote holds", "what to look at next", "what a no costs"}
    others = {CHOICE, "which work is present", OFFERS, "the option", "which options are worth offering"}
    assert told - {"which remedies fit", "rows of the shop book"} == of_charges | of_job | others


def a_full_job() -> tuple[ShopBook, Job]:
    """Two parts, two bundles beside a discount, two extras, an asked one, a remedy left for later, a line of labour."""
    book = two_remedies(
        operations=[
            build.an_operation("FIT", "0.5", parts="SEAL; RAG"),
            build.an_operation("FILL", "0.7"),
            build.an_operation("WIPE", "0.2"),
            build.an_operation("OIL", "0.1"),
            build.an_operation("TEST", "0.3"),
            build.an_operation("COAT", "0.4"),
        ],
        parts=[build.a_part("SEAL", 10), build.a_part("RAG", 1)],
        findings=[build.a_finding("WORN"), build.a_finding("BENT"), build.a_finding("DULL", "advised")],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"], life_years=2),
            build.a_remedy("PATCH", ["BENT"], ["FILL"]),
            build.a_remedy("PAINT", ["DULL"], ["COAT"]),
        ],
        extras=[build.an_extra("CLEAN", ["WIPE"]), build.an_extra("LUBE", ["OIL"]), build.an_extra("RUN", ["TEST"])],
        bundles=[
            build.a_bundle("BOTH", ["NEW", "PATCH"], "labour amount off", 5),
            build.a_bundle("ALSO", ["NEW", "PATCH"], "percent off parts", "0.2"),
        ],
        taxes=[build.a_tax()],
    )
    asked = [build.a_job_extra("CLEAN"), build.a_job_extra("LUBE"), build.a_job_extra("RUN", asked=True)]
    return book, job_of(book, extras=asked, one_off=[build.a_one_off(1)], discount_percent="0.1")


def test_every_figure_of_a_full_job_is_worked_out_again() -> None:
    """A figure that came out another way than in the quote would not be among those known one by one."""
    pair = pair_of(*a_full_job())
    tier = build_quote(*pair).tiers[0]
    found = cells_behind(*pair, "good")
    kinds = {offer.extra: offer.kind for offer in tier.extras}
    assert kinds == {"CLEAN": "extra", "LUBE": "extra", "PAINT": "remedy"}
    assert [line.part for line in tier.part_lines] == ["RAG", "SEAL"] and [one for one, _ in tier.bundles]
    groups = ("compared", "proof", "over_years", "why", "repair_or_replace", "planned", "sensitivity")
    names = [name for name in figures_of_tier(dict(tier_json(tier, 2))) if not name.startswith(groups)]
    left = [name for name in names if name not in found and not name.endswith((".fixes", ".side", ".name"))]
    assert left == [] and len(names) > 80
