"""Facts of the trade that the engine must respect. Common practice, no source, unless a line says otherwise.

Left out: repair or replace, storage, returns and work after the job have no rule in pricing.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.money import round_to
from tests.build import (
    a_band,
    a_book,
    a_condition,
    a_finding,
    a_finding_on,
    a_job,
    a_one_off,
    a_part,
    a_plan_item,
    a_remedy,
    a_step,
    a_supplier,
    a_tier,
    an_operation,
    settings,
)
from tests.outside_checks.small_shop import only_tier, price_of, repair


def planned(*operations: str, job: dict[str, Any] | None = None, **book: Any) -> PricedTier:
    """A tier that takes exactly these operations, written `CODE` or `CODE@side`."""
    items = [a_plan_item("good", *operation.split("@")) for operation in operations]
    return only_tier(a_book(tiers=[a_tier("good")], **book), a_job(plan=tuple(items), **(job or {})))


def billed(tier: PricedTier) -> Decimal:
    """Hours billed over all labour rates, without the minimum line."""
    return sum(tier.hours.billed.values(), Decimal(0))


def part_quantities(tier: PricedTier) -> dict[str, Decimal]:
    """Units of each part."""
    return {line.part: line.quantity for line in tier.part_lines}


class TestHours:
    """Each access step once, net hours, allowance on what rust slows, rounded up once, not below the minimum."""

    def test_rounded_up_once_at_the_job(self) -> None:
        """Rounding each operation up inflates: three of 0.11 h are 0.4 h, not 0.6 h."""
        operations = [an_operation(code, "0.11") for code in "ABC"]
        assert billed(planned("A", "B", "C", operations=operations)) == Decimal("0.4")

    def test_an_exact_tenth_stays(self) -> None:
        assert billed(planned("A", operations=[an_operation("A", "0.4")])) == Decimal("0.4")

    def test_two_operations_behind_one_cover_open_it_once(self) -> None:
        """Access is a tree: the closure of what is needed first, each step once."""
        steps = [a_step("SHROUD", "0.2", "0.2"), a_step("COVER", "0.3", "0.3", needs=["SHROUD"])]
        operations = [an_operation(code, "0.5", access=["COVER"]) for code in "AB"]
        tier = planned("A", "B", access=steps, operations=operations)
        assert (tier.hours.access, tier.hours.net) == (Decimal("1.0"), Decimal("1.0"))

    def test_single_use_parts_belong_to_the_step(self) -> None:
        """Two operations behind one cover use one gasket."""
        step = a_step("COVER", parts="GASKET")
        operations = [an_operation(code, access=["COVER"]) for code in "AB"]
        tier = planned("A", "B", access=[step], operations=operations, parts=[a_part("GASKET")])
        assert part_quantities(tier) == {"GASKET": Decimal(1)}

    def test_a_big_assembly_makes_the_small_work_and_its_access_unnecessary(self) -> None:
        """A new gearbox means the old one is never opened."""
        operations = [an_operation("SEAL", access=["OPEN-BOX"]), an_operation("NEW-BOX", "2", includes=["SEAL"])]
        tier = planned("SEAL", "NEW-BOX", access=[a_step("OPEN-BOX")], operations=operations)
        assert [line.key for line in tier.operations] == ["NEW-BOX"]
        assert (tier.access, tier.dropped) == ((), ("SEAL",))

    def test_a_requirement_may_be_met_by_something_included(self) -> None:
        operations = [
            an_operation("DRAIN", "0.2"),
            an_operation("FLUSH", "0.5", includes=["DRAIN"]),
            an_operation("SEAL", "0.5", requires=["DRAIN"]),
        ]
        tier = planned("SEAL", "FLUSH", operations=operations)
        assert [line.key for line in tier.operations] == ["FLUSH", "SEAL"]

    def test_the_other_side_costs_an_increment(self) -> None:
        """Set-up is paid once (general time-standard page, read): 0.8 h, then 0.5 h."""
        operation = an_operation("BEARING", "0.8", second_side_hours="0.5", each_side=True)
        assert planned("BEARING@left", "BEARING@right", operations=[operation]).hours.net == Decimal("1.3")

    def test_the_allowance_covers_stuck_fasteners_not_the_test_drive(self) -> None:
        operations = [an_operation("UNBOLT", "2", slowed_by_rust=True), an_operation("TEST", "1")]
        tier = planned("UNBOLT", "TEST", operations=operations, conditions=[a_condition()], job={"condition": "RUSTY"})
        assert tier.hours.allowance == Decimal("0.50")

    def test_the_allowance_has_a_ceiling(self) -> None:
        conditions = [a_condition(at_most_hours="0.3")]
        operations = [an_operation("UNBOLT", "2", slowed_by_rust=True)]
        tier = planned("UNBOLT", operations=operations, conditions=conditions, job={"condition": "RUSTY"})
        assert tier.hours.allowance == Decimal("0.3")

    @pytest.mark.parametrize(("hours", "added"), [("0.2", "0.3"), ("0.5", "0"), ("1.4", "0")])
    def test_a_minimum_of_half_an_hour(self, hours: str, added: str) -> None:
        """Half or one hour (common practice; a hobby forum, read, opinion)."""
        tier = repair(labour={"MAIN": (hours, "100", "40")}, minimum_labour_hours="0.5")
        assert tier.hours.minimum_added == Decimal(added)
        assert tier.amounts.labour == max(Decimal(hours), Decimal("0.5")) * 100


class TestPartPrices:
    """Markup on cost, margin on price; bands by unit cost; list price and cost as bounds."""

    @pytest.mark.parametrize(
        ("markup", "margin"),
        [("0.25", "20.0"), ("0.50", "33.3"), ("0.667", "40.0"), ("1.00", "50.0"), ("1.50", "60.0")],
    )
    def test_markup_and_the_margin_it_gives(self, markup: str, margin: str) -> None:
        """Calculated: 25 % = 20.0; 50 = 33.3; 66.7 = 40.0; 100 = 50.0; 150 = 60.0."""
        tier = price_of("100", markup)
        assert tier.margin is not None
        assert round_to(tier.margin / tier.subtotal * 100, 1) == Decimal(margin)

    @pytest.mark.parametrize(("cost", "price"), [("5.00", "10.00"), ("5.01", "10.00"), ("5.60", "10.08")])
    def test_no_edge_inversion(self, cost: str, price: str) -> None:
        """Calculated: 5.00 at 100 % sells at 10.00; 5.01 at 80 % would sell at 9.02, and is held at 10.00."""
        bands = [a_band(0, 5, 1), a_band(5, None, "0.8")]
        assert unit_price(a_part("PART", cost), bands) == Decimal(price)

    def test_bands_go_by_unit_cost_and_never_by_pack(self) -> None:
        """A pack of ten at 40.00 is a part of 4.00."""
        bands = [a_band(0, 5, 1), a_band(5, None, "0.2")]
        assert unit_price(a_part("PART", 40, 10), bands) == Decimal("8.00")

    @pytest.mark.parametrize(("list_price", "price"), [("30", "20.00"), ("18", "18.00"), ("9", "10.00")])
    def test_never_above_list_and_never_below_cost(self, list_price: str, price: str) -> None:
        assert unit_price(a_part("PART", 10, list_price_each=list_price), [a_band(0, None, 1)]) == Decimal(price)

    def test_units_used_are_priced_and_whole_packs_are_bought(self) -> None:
        """Per part over the whole job: two users of three from packs of four buy two packs, not four halves."""
        operations = [an_operation(code, parts="BOLT x 3") for code in "AB"]
        tier = planned("A", "B", operations=operations, parts=[a_part("BOLT", 8, 4)])
        (line,) = tier.part_lines
        assert (line.quantity, line.packs, line.amount) == (Decimal(6), 2, Decimal("18.00"))
        assert (tier.cost.parts_used, tier.cash_for_parts) == (Decimal("12.00"), Decimal("16.00"))

    def test_a_superseded_number_is_followed_to_the_end_with_its_companions(self) -> None:
        parts = [
            a_part("OLD", replaced_by="MIDDLE"),
            a_part("MIDDLE", replaced_by="NEW"),
            a_part("NEW", also_needs="SPACER x 2"),
            a_part("SPACER"),
        ]
        tier = planned("A", operations=[an_operation("A", parts="OLD")], parts=parts)
        assert part_quantities(tier) == {"NEW": Decimal(1), "SPACER": Decimal(2)}

    def test_what_a_kit_holds_is_not_bought_again(self) -> None:
        parts = [a_part("KIT", 30, contains="SEAL x 2"), a_part("SEAL")]
        tier = planned("A", operations=[an_operation("A", parts="KIT; SEAL x 3")], parts=parts)
        assert part_quantities(tier) == {"KIT": Decimal(1), "SEAL": Decimal(1)}

    def test_the_customers_own_parts_are_fitted_and_not_charged(self) -> None:
        operations = [an_operation("A", parts="BELT")]
        tier = planned("A", operations=operations, parts=[a_part("BELT")], job={"own_parts": ("BELT",)})
        (line,) = tier.part_lines
        assert (line.own, line.amount, line.packs) == (True, Decimal(0), 0)


def unit_price(part: Any, markup: list[Any]) -> Decimal:
    """The selling price of one unit of a part."""
    tier = planned("A", operations=[an_operation("A", parts=part.code)], parts=[part], markup=markup)
    return tier.part_lines[0].unit_price


class TestCharges:
    """Supplies, inspection, freight and days."""

    @pytest.mark.parametrize(("cap", "supplies"), [(None, "8.00"), ("5", "5.00")])
    def test_supplies_are_a_percent_of_labour_up_to_a_cap(self, cap: str | None, supplies: str) -> None:
        """The cap is for each option of the quote."""
        shop: dict[str, Any] = {"supplies_percent_of_labour": "0.04", "supplies_cap": cap}
        assert repair(labour={"MAIN": ("2", "100", "40")}, **shop).amounts.supplies == Decimal(supplies)

    def test_the_inspection_fee_is_credited_when_work_goes_ahead(self) -> None:
        """$20 to $125, credited if work goes ahead, kept if not (three shops' pages, read)."""
        shop: dict[str, Any] = {"inspection_fee": "45", "inspection_fee_credited": "when work goes ahead"}
        tier = repair(labour={"MAIN": ("1", "80", "40")}, **shop)
        assert (tier.amounts.inspection, tier.amounts.inspection_credit) == (Decimal(45), Decimal(-45))
        assert tier.subtotal == Decimal(80)

    def test_the_credit_waits_for_the_amount_the_owner_sets(self) -> None:
        shop: dict[str, Any] = {"inspection_fee": "45", "inspection_fee_credited": Decimal(100)}
        assert repair(labour={"MAIN": ("1", "80", "40")}, **shop).amounts.inspection_credit == Decimal(0)
        assert repair(labour={"MAIN": ("1", "100", "40")}, **shop).amounts.inspection_credit == Decimal(-45)

    @pytest.mark.parametrize(("cost", "freight"), [("91.60", "12.00"), ("100", "0.00"), ("8", "18.00")])
    def test_freight_is_free_from_a_value_and_dearer_below_a_minimum(self, cost: str, freight: str) -> None:
        """The customer is quoted the rule, not the luck of what else is ordered that day."""
        supplier = a_supplier(freight=12, free_freight_from=100, minimum_order=20, small_order_fee=6)
        book: dict[str, Any] = {
            "suppliers": [supplier],
            "settings": settings(freight_to_customer="this job alone"),
            "operations": [an_operation("A", parts="PART")],
            "parts": [a_part("PART", cost)],
        }
        assert planned("A", **book).amounts.freight == Decimal(freight)

    def test_ready_when_the_slowest_part_is_there_plus_the_queue(self) -> None:
        parts = [a_part("QUICK", lead_days=1), a_part("SLOW", lead_days=9)]
        tier = planned(
            "A",
            operations=[an_operation("A", parts="QUICK; SLOW")],
            parts=parts,
            settings=settings(queue_days=2),
        )
        assert tier.ready_days == 11

    def test_sublet_work_has_its_own_markup(self) -> None:
        tier = planned(
            "A",
            operations=[an_operation("A", 0, sublet_cost="50")],
            settings=settings(sublet_markup="0.2"),
        )
        assert tier.amounts.sublet == Decimal("60.00")

    def test_a_discount_is_taken_once_from_labour_and_once_from_parts(self) -> None:
        lines = (a_one_off(1, "labour", "1.5"), a_one_off(2, "part", 1, unit_price="9.99"))
        job = a_job(one_off=lines, discount_percent=Decimal("0.05"), discount_reason="agreed")
        tier = only_tier(a_book(tiers=[a_tier("good")]), job)
        assert tier.amounts.savings == -(Decimal("7.50") + Decimal("0.50"))


class TestOptions:
    """Nested by findings, a floor of safety, and no option that is not real."""

    FINDINGS = ("BRAKE", "BELT")

    def quoted(self, **remedies: Any) -> tuple[PricedTier, ...]:
        """A safety and an advised fault with a remedy each, in two tiers."""
        from quotekit.pricing import build_quote

        book = a_book(
            operations=[an_operation("DO-BRAKE", "0.5"), an_operation("DO-BELT", "0.3")],
            findings=[a_finding("BRAKE", "safety"), a_finding("BELT", "advised")],
            remedies=[
                a_remedy(f"NEW-{code}", [code], [f"DO-{code}"]) for code in remedies.get("with_remedy", self.FINDINGS)
            ],
            tiers=[a_tier("good"), a_tier("better", ("safety", "needed", "advised"))],
        )
        severities = {"BRAKE": "safety", "BELT": "advised"}
        return build_quote(book, a_job(*(a_finding_on(c, severity=s) for c, s in severities.items()))).tiers

    def test_what_is_fixed_below_is_fixed_above(self) -> None:
        good, better = self.quoted()
        assert (good.fixed, better.fixed) == (("BRAKE",), ("BELT", "BRAKE"))
        assert good.offered and better.offered

    def test_a_safety_finding_without_remedy_leaves_no_option(self) -> None:
        """A cheap option that can't clear a safety finding does not exist."""
        assert [tier.offered for tier in self.quoted(with_remedy=["BELT"])] == [False, False]

    def test_the_same_work_is_offered_once(self) -> None:
        """One, two or three options, whatever is real."""
        good, better = self.quoted(with_remedy=["BRAKE"])
        assert (good.offered, better.offered) == (True, False)
        assert better.reason
