"""The whole pipeline: edges that must not trip it, and what a quote always holds (DESIGN.md 5 and 7)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal, getcontext, localcontext
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.pricing.priced import keys_of, plain, quantities_of, texts


def shop(**values: Any) -> ShopBook:
    """A bushing on each side behind a cover, a belt, and a final test on every job."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER"), build.a_step("HUB", each_side=True)],
        "operations": [
            build.an_operation("BUSH", 1, each_side=True, access=["COVER"], parts="BUSH"),
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("TEST", "0.2"),
        ],
        "parts": [build.a_part("BUSH", 10)],
        "machines": [build.a_machine(always=["TEST"])],
        "findings": [build.a_finding("WORN", limit="1", fails_when="above"), build.a_finding("FRAYED", "advised")],
        "remedies": [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"]), build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"])],
    }
    return build.a_book(**(named | values))


WORN = build.a_finding_on("WORN", "left")
NOTHING = dict.fromkeys(["good", "better", "best"], "there is nothing to do in it")


def reasons(quote: Quote) -> dict[str, str | None]:
    return {tier.code: tier.reason for tier in quote.tiers}


def test_a_job_with_no_findings() -> None:
    """Nothing to offer, and a plain warning; what a no costs is still there."""
    quote = build_quote(shop(settings=build.settings(inspection_fee=35)), build.a_job())
    assert reasons(quote) == NOTHING
    assert [(one.code, one.severity) for one in quote.problems] == [("no-tier-offered", "warning")]
    assert str(quote.declined.total) == "35.00"


def test_a_job_with_only_other_findings() -> None:
    """The book does not know them: left, with a warning, unless a one-off line puts them right."""
    other = build.a_finding_on("OTHER-1", severity="safety")
    refused = build_quote(shop(), build.a_job(other))
    assert refused.offered == ()
    done = build_quote(shop(), build.a_job(other, one_off=[build.a_one_off(1, "labour", 1, fixes=["OTHER-1"])]))
    assert [tier.fixed for tier in done.offered] == [("OTHER-1",)]


def test_a_job_on_which_every_finding_passes() -> None:
    """Measured within its limit: neither fixed nor left, priced nowhere."""
    book = shop()
    quote = build_quote(book, build.a_job(build.found(book, "WORN", "left", "1")))
    assert reasons(quote) == NOTHING
    assert quote.tiers[0].left == quote.tiers[0].fixed == ()


def test_a_shop_of_only_the_seven_needed_sheets() -> None:
    """No machines, no suppliers, no tiers: a first true quote all the same. 1.5 hours and 15: 165."""
    full = shop()
    book = ShopBook(
        settings=full.settings,
        labour_rates=full.labour_rates,
        operations={"BUSH": build.an_operation("BUSH", "1.5", each_side=True, parts="BUSH")},
        parts=full.parts,
        markup=full.markup,
        findings=full.findings,
        remedies={"NEW-BUSH": full.remedies["NEW-BUSH"]},
    )
    quote = build_quote(book, build.a_job(WORN, machine_class="Some old tiller"))
    assert [tier.code for tier in quote.offered] == ["good"]
    assert str(quote.tiers[0].total) == "165.00"
    assert quote.tiers[0].ready_days is None
    assert [one.code for one in quote.problems] == ["no-lead-days"]


@pytest.mark.parametrize("suppliers", [None, []])
def test_a_shop_without_suppliers_charges_no_freight(suppliers: Any) -> None:
    book = shop(suppliers=suppliers, settings=build.settings(freight_to_customer="this job alone"))
    tier = build_quote(book, build.a_job(WORN)).tiers[0]
    assert texts(tier.amounts.freight, tier.cost.freight) == ["0.00", "0.00"]


def test_a_machine_class_the_book_does_not_know_has_no_always_work() -> None:
    tier = build_quote(shop(), build.a_job(WORN, machine_class="Other")).tiers[0]
    assert [line.key for line in tier.operations] == ["BUSH@left"]


def test_four_positions_with_left_in_two_of_them() -> None:
    """A Parts used row for `left` counts on left front and left rear: 2 x 1 shim, and 2 for the right front."""
    positions = ("left front", "left rear", "right front", "right rear")
    book = shop(
        parts=[build.a_part("BUSH", 10), build.a_part("SHIM", 1), build.a_part("SPACER", 2)],
        parts_used=[
            build.a_part_used("BUSH", "SHIM", sides=("left",)),
            build.a_part_used("BUSH", "SPACER", 2, sides=("right",)),
        ],
        machines=[build.a_machine(positions=positions)],
    )
    found = [build.a_finding_on("WORN", side) for side in positions[:3]]
    tier = build_quote(book, build.a_job(*found, positions=positions)).tiers[0]
    assert quantities_of(tier) == {"BUSH": "3", "SHIM": "2", "SPACER": "2"}
    assert tier.part_lines[1].sides == ("left front", "left rear")


def test_positions_with_other_names() -> None:
    """A trailer with one wheel behind and two in front."""
    positions = ("front left", "front right", "rear")
    book = shop(machines=[build.a_machine(positions=positions)])
    found = [build.a_finding_on("WORN", side) for side in ("rear", "front left")]
    tier = build_quote(book, build.a_job(*found, positions=positions)).tiers[0]
    assert keys_of(tier) == ["NEW-BUSH@front left", "NEW-BUSH@rear"]
    assert tier.fixed == ("WORN@front left", "WORN@rear")


def test_an_always_operation_that_includes_an_items_operation() -> None:
    """The final test includes setting the belt: the belt remedy stays in the tier as done by the larger work."""
    operations = [*shop().operations.values(), build.an_operation("TEST", "0.2", includes=["BELT"])]
    book = shop(operations=operations)
    frayed = build.a_finding_on("FRAYED", severity="needed")
    tier = build_quote(book, build.a_job(WORN, frayed)).tiers[0]
    belt = tier.items[0]
    assert (belt.key, belt.done_by_larger_work) == ("NEW-BELT", True)
    assert tier.dropped == ("BELT",)
    assert texts(*(share.amount for share in tier.shares)) == ["0.00", "185.00"]
    assert tier.fixed == ("FRAYED", "WORN@left")


def test_a_tier_whose_only_item_is_wholly_dropped() -> None:
    """It pays for the Always work that does it: 0.2 hours."""
    operations = [*shop().operations.values(), build.an_operation("TEST", "0.2", includes=["BELT"])]
    frayed = build.a_finding_on("FRAYED", severity="needed")
    tier = build_quote(shop(operations=operations), build.a_job(frayed)).tiers[0]
    assert (tier.offered, str(tier.work)) == (True, "20.00")
    assert sum(share.amount for share in tier.shares) == tier.work


def test_a_one_off_line_with_access_opens_it_at_every_position() -> None:
    """COVER 0.5 and HUB 0.5 on both sides: 1.5 hours, half an hour of work and the test of 0.2."""
    job = build.a_job(one_off=[build.a_one_off(1, "labour", "0.5", access=["COVER", "HUB"])])
    tier = build_quote(shop(), job).tiers[0]
    assert [line.key for line in tier.access] == ["COVER", "HUB@left", "HUB@right"]
    assert plain(tier.hours.billed["MAIN"]) == "2.2"
    assert tier.offered


def test_one_off_lines_of_every_kind_without_any_finding() -> None:
    """Labour 0.5 + 0.2 = 70, part 15, sublet 20, charge 5: 110; access only for the part line's 0.5 hours: 160."""
    lines = [
        build.a_one_off(1, "labour", "0.5"),
        build.a_one_off(2, "part", 1, unit_cost=10, access=["COVER"]),
        build.a_one_off(3, "sublet", 1, unit_cost=20),
        build.a_one_off(4, "charge", 1, unit_price=5),
    ]
    tier = build_quote(shop(), build.a_job(one_off=lines)).tiers[0]
    assert str(tier.work) == "160.00"


def test_an_extra_with_no_access_is_offered_only_where_the_job_lists_it() -> None:
    book = shop(
        operations=[*shop().operations.values(), build.an_operation("WASH", "0.3")],
        extras=[build.an_extra("WASHED", ["WASH"])],
    )
    silent = build_quote(book, build.a_job(WORN)).tiers[0]
    listed = build_quote(book, build.a_job(WORN, extras=(build.a_job_extra("WASHED"),))).tiers[0]
    assert silent.extras == ()
    assert [(one.extra, str(one.at_most)) for one in listed.extras] == [("WASHED", "30.00")]


def test_a_found_remedy_that_needs_another_fixed() -> None:
    """The belt must not be renewed beside a worn bushing: offered where the tier renews the bushing."""
    remedies = [shop().remedies["NEW-BUSH"], build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], needs_fixed=["WORN"])]
    frayed = build.a_finding_on("FRAYED", severity="watch")
    with_bush = build_quote(shop(remedies=remedies), build.a_job(WORN, frayed)).tiers[0]
    beside_other = build_quote(
        shop(remedies=remedies),
        build.a_job(replace(WORN, severity="watch"), frayed, one_off=[build.a_one_off(1, "charge", 1, unit_price=5)]),
    ).tiers[0]
    assert [one.extra for one in with_bush.extras] == ["NEW-BELT"]
    assert [one.extra for one in beside_other.extras] == ["NEW-BUSH@left"]


def test_a_single_tier() -> None:
    quote = build_quote(shop(tiers=[build.a_tier("only")]), build.a_job(WORN))
    assert [tier.code for tier in quote.offered] == ["only"]


def test_a_shop_with_no_tier_left_in_its_sheet() -> None:
    """An empty list: no option, a warning, no crash."""
    quote = build_quote(shop(tiers=[]), build.a_job(WORN))
    assert quote.tiers == ()
    assert [one.code for one in quote.problems] == ["no-tier-offered"]


@pytest.mark.parametrize("minimum", ["0", "0.00"])
def test_a_minimum_of_zero(minimum: str) -> None:
    tier = build_quote(shop(settings=build.settings(minimum_labour_hours=minimum)), build.a_job(WORN)).tiers[0]
    assert tier.minimum_amount == 0
    assert plain(tier.hours.minimum_added) == "0"


@pytest.mark.parametrize(("days", "until"), [(30, date(2026, 4, 1)), (0, date(2026, 3, 2)), (14, date(2026, 3, 16))])
def test_it_is_valid_for_the_shops_days(days: int, until: date) -> None:
    quote = build_quote(shop(settings=build.settings(quote_valid_days=days)), build.a_job(WORN))
    assert quote.valid_until == until


def a_rich_job() -> tuple[ShopBook, Job]:
    """Tax, a discount, a bundle, an extra and both sides."""
    book = shop(
        settings=build.settings(minimum_labour_hours=1, supplies_percent_of_labour="0.033", inspection_fee=35),
        taxes=[build.a_tax("STATE", "0.0725", ["labour", "parts"]), build.a_tax("CITY", "0.01")],
        bundles=[build.a_bundle("PAIR", ["NEW-BUSH", "NEW-BELT"], "percent off parts", "0.15")],
        extras=[build.an_extra("SPARE", ["BELT"])],
    )
    found = [WORN, build.a_finding_on("WORN", "right"), build.a_finding_on("FRAYED", severity="advised")]
    return book, build.a_job(*found, discount_percent="0.033", discount_reason="Club", paid_so_far="10")


def test_every_total_adds_up() -> None:
    quote = build_quote(*a_rich_job())
    for tier in quote.tiers:
        amounts = tier.amounts
        charged = amounts.labour + amounts.parts + amounts.cores + amounts.sublet + amounts.savings
        assert tier.work == charged + amounts.supplies + amounts.fees + amounts.freight
        assert tier.subtotal == tier.work + amounts.inspection + amounts.inspection_credit
        assert tier.total == tier.subtotal + tier.tax == tier.due + 10
        assert sum(share.amount for share in tier.shares) == amounts.labour + amounts.parts + amounts.sublet
        assert sum(line.amount for line in tier.part_lines) == amounts.parts
        assert sum(line.amount for line in tier.labour_lines) + tier.minimum_amount == amounts.labour
        assert sum(line.amount for line in tier.saving_lines) == amounts.savings
        assert sum(line.amount for line in tier.taxes) == tier.tax


def test_a_combination_is_what_its_offer_says() -> None:
    book, job = a_rich_job()
    good = build_quote(book, job).tiers[0]
    (one,) = good.extras
    taken = price_combination(book, job, "good", [one.extra])
    assert texts(taken.work, taken.subtotal, taken.tax, taken.total) == texts(
        one.work, one.subtotal, one.tax, one.total
    )
    assert taken.work == good.work + one.price


def test_the_quote_is_pure() -> None:
    """The same again, and the caller's decimal context is untouched."""
    before = getcontext().copy()
    assert build_quote(*a_rich_job()) == build_quote(*a_rich_job())
    after = getcontext()
    assert (after.prec, after.traps, after.rounding) == (before.prec, before.traps, before.rounding)


@pytest.mark.parametrize("digits", [1, 28])
def test_the_callers_precision_does_not_matter(digits: int) -> None:
    """A caller with one digit of precision gets the same cents."""
    with localcontext() as context:
        context.prec = digits
        total = build_quote(*a_rich_job()).tiers[0].total
    assert total == build_quote(*a_rich_job()).tiers[0].total


def test_amounts_have_the_digits_of_the_currency() -> None:
    for currency, digits in [("USD", 2), ("JPY", 0), ("KWD", 3)]:
        book, job = a_rich_job()
        tier = build_quote(replace(book, settings=replace(book.settings, currency=currency)), job).tiers[0]
        figures = [tier.work, tier.subtotal, tier.tax, tier.total, tier.deposit, tier.amounts.savings, tier.cost.total]
        assert {-int(Decimal(figure).as_tuple().exponent) for figure in figures if figure is not None} == {digits}
