"""The costing of quotes that the engine made: in every tier the lines shown add up to what the engine says."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.sheet import Sheet, placed
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests import build


def a_full_book() -> ShopBook:
    """Two rates, rust, a sublet, kits, packs, a core, freight, bundles of money and hours, fees, two taxes."""
    return build.a_book(
        settings=build.settings(
            supplies_percent_of_labour="0.05",
            supplies_cap=12,
            freight_to_customer="this job alone",
            inspection_fee=35,
            inspection_fee_credited="when work goes ahead",
            deposit_on_ordered_parts="0.5",
            minimum_labour_hours=1,
        ),
        labour_rates=[build.a_rate(), build.a_rate("WELD", 130, 55)],
        conditions=[build.a_condition(at_most_hours="0.3")],
        access=[build.a_step("COVER"), build.a_step("AXLE", needs=["COVER"], each_side=True)],
        operations=[
            build.an_operation(
                "BUSH",
                "0.6",
                each_side=True,
                second_side_hours="0.4",
                access=["AXLE"],
                parts="BUSHING x 2",
                slowed_by_rust=True,
            ),
            build.an_operation("PAD", "0.8", labour="WELD", access=["COVER"], slowed_by_rust=True),
            build.an_operation("GRIND", "0.1", sublet_cost=18, sublet_days=4),
            build.an_operation("BELTING", "0.3", access=["COVER"], parts="BELT"),
            build.an_operation("TEST", "0.2"),
        ],
        machines=[build.a_machine(always=["TEST"])],
        parts=[
            build.a_part("BUSHING", 30, 4, lead_days=3),
            build.a_part("BELT", 17, core_charge=4, lead_days=2, extra_freight=1),
        ],
        suppliers=[build.a_supplier(freight=9, free_freight_from=100), build.a_supplier("SHELF", shelf=True)],
        findings=[build.a_finding("WORN"), build.a_finding("CRACK", "safety"), build.a_finding("FRAYED", "advised")],
        remedies=[
            build.a_remedy("NEWBUSH", ["WORN"], ["BUSH"], life_years=4),
            build.a_remedy("WELDING", ["CRACK"], ["PAD", "GRIND"], life_years=9),
            build.a_remedy("NEWBELT", ["FRAYED"], ["BELTING"], life_years=3),
        ],
        bundles=[
            build.a_bundle("BOTH", ["NEWBUSH", "WELDING"], "labour amount off", 10),
            build.a_bundle("SOON", ["NEWBUSH", "NEWBELT"], "hours off", "0.2"),
        ],
        fees=[build.a_fee("WASTE", 6, always=True)],
        taxes=[build.a_tax("STATE", "0.06"), build.a_tax("CITY", "0.0125", ["parts"])],
    )


def a_full_quote() -> Quote:
    job = build.a_job(
        build.a_finding_on("WORN", "left"),
        build.a_finding_on("WORN", "right"),
        build.a_finding_on("CRACK", severity="safety"),
        build.a_finding_on("FRAYED", severity="advised"),
        condition="RUSTY",
        old_parts="keep",
        discount_percent="0.05",
        discount_reason="neighbour",
        one_off=(
            build.a_one_off(1, "labour", "0.75", slowed_by_rust=True),
            build.a_one_off(2, "part", 2, unit_cost=7),
            build.a_one_off(3, "charge", 1, unit_price=15),
            build.a_one_off(4, "sublet", 1, unit_cost=22),
        ),
    )
    return build_quote(a_full_book(), job)


QUOTE = a_full_quote()
TIERS = [tier for tier in QUOTE.tiers if tier.priced]


def sheet_of(tier: PricedTier) -> Sheet:
    return next(sheet for sheet in lay_out_costing(QUOTE).sheets if sheet.name == tier.name)


def table(sheet: Sheet, start: str, end: str) -> list[dict[int, object]]:
    """Rows of a table as contents by column, from the row after the one that begins with `start`."""
    rows = [{at: cell.content for at, cell in placed(row)} for row in sheet.rows]
    first = next(i for i, row in enumerate(rows) if str(row.get(0)).startswith(start))
    last = next(i for i, row in enumerate(rows) if i > first and str(row.get(0)).startswith(end))
    return rows[first + 1 : last]


def total(rows: list[dict[int, object]], column: int) -> D:
    return sum((value for row in rows if isinstance(value := row.get(column), D)), D(0))


def test_the_quote_has_tiers_and_no_problem() -> None:
    assert len(TIERS) >= 2
    assert [problem for problem in QUOTE.problems if problem.severity == "error"] == []


@pytest.mark.parametrize("tier", TIERS, ids=lambda tier: tier.code)
def test_price_cost_and_margin_add_up(tier: PricedTier) -> None:
    lines = [row for row in table(sheet_of(tier), "Price, cost and margin", "Subtotal") if row.get(0) != "Work"]
    assert total(lines, 4) == tier.subtotal
    assert total(lines, 5) == tier.cost.total
    assert total(lines, 6) == tier.margin


@pytest.mark.parametrize("tier", TIERS, ids=lambda tier: tier.code)
def test_hours_add_up(tier: PricedTier) -> None:
    sheet = sheet_of(tier)
    access = table(sheet, "Opening and closing, each step once", "Together")
    net = table(sheet, "Net hours of the work itself", "Together")
    assert total(access, 2) == tier.hours.access
    assert total(net, 2) == tier.hours.net
    before = next(row for row in table(sheet, "Hours, built up", "Parts and packs") if row.get(0) == "Before rounding")
    hours = tier.hours
    assert before[2] == hours.access + hours.net + hours.allowance - hours.off


@pytest.mark.parametrize("tier", TIERS, ids=lambda tier: tier.code)
def test_cash_adds_up(tier: PricedTier) -> None:
    assert total(table(sheet_of(tier), "Parts and packs", "This job alone"), 6) == tier.cash_for_parts


@pytest.mark.parametrize("tier", TIERS, ids=lambda tier: tier.code)
def test_shares_add_up(tier: PricedTier) -> None:
    shares = table(sheet_of(tier), "Fair share", "Offered beside it")
    assert total(shares, 3) == tier.amounts.labour
    assert total(shares, 6) == tier.amounts.labour + tier.amounts.parts + tier.amounts.sublet


def test_the_same_inputs_give_the_same_bytes() -> None:
    assert workbook_bytes(lay_out_costing(QUOTE)) == workbook_bytes(lay_out_costing(a_full_quote()))
