"""Hours per labour rate (DESIGN.md 5.3), by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.money import shown_hours
from quotekit.pricing.hours import part_of_allowance
from tests import build
from tests.pricing.priced import Priced, first_tier, plain, price


def shop(**values: Any) -> ShopBook:
    """A cover (0.2 + 0.3), two operations behind it at MAIN, one at WELD."""
    named: dict[str, Any] = {
        "labour_rates": [build.a_rate(), build.a_rate("WELD", 120)],
        "access": [build.a_step("COVER", "0.2", "0.3"), build.a_step("FLOOR", "0.5", "0.5", labour="WELD")],
        "operations": [
            build.an_operation("BELT", "0.41", access=["COVER"]),
            build.an_operation("BUSH", "0.8", access=["COVER"], slowed_by_rust=True),
            build.an_operation("JOIN", "0.4", labour="WELD", access=["COVER"], slowed_by_rust=True),
            build.an_operation("PATCH", "1", access=["FLOOR"]),
        ],
        "conditions": [build.a_condition("RUSTY", "0.25"), build.a_condition("SEIZED", "0.5", at_most_hours="0.45")],
    }
    return build.a_book(**(named | values))


def hours(found: Priced) -> dict[str, list[str]]:
    """Access, net, allowance and billed hours by rate."""
    return {
        rate: [plain(value) for value in (at.access, at.net, shown_hours(at.allowance), at.billed)]
        for rate, at in found.charges.hours.by_rate.items()
    }


def test_each_step_is_opened_and_closed_once() -> None:
    """0.2 + 0.3 once, then 0.41 and 0.8: 1.71, billed 1.8."""
    assert hours(price(shop(), "BELT", "BUSH")) == {"MAIN": ["0.5", "1.21", "0", "1.8"]}


def test_rounded_up_once_for_each_rate_not_for_each_operation() -> None:
    """Each alone is 0.91 and 1.3: rounded apart that would be 1.0 and 1.3, with the cover twice."""
    assert hours(price(shop(), "BELT"))["MAIN"][-1] == "1"
    assert hours(price(shop(), "BUSH"))["MAIN"][-1] == "1.3"


def test_every_rate_is_rounded_by_itself() -> None:
    """0.5 + 0.8 at MAIN; 0.4 at WELD, where a step of its own rate would add to WELD."""
    assert hours(price(shop(), "BUSH", "JOIN")) == {
        "MAIN": ["0.5", "0.8", "0", "1.3"],
        "WELD": ["0", "0.4", "0", "0.4"],
    }


def test_a_step_is_billed_at_its_own_rate() -> None:
    """PATCH takes an hour at MAIN, the floor an hour at WELD."""
    assert hours(price(shop(), "PATCH")) == {"MAIN": ["0", "1", "0", "1"], "WELD": ["1", "0", "0", "1"]}


@pytest.mark.parametrize(
    ("condition", "keys", "allowance"),
    [
        (None, ("BUSH",), "0"),
        ("RUSTY", ("BUSH",), "0.2"),
        ("RUSTY", ("BELT",), "0"),
        ("RUSTY", ("BELT", "BUSH"), "0.2"),
        ("RUSTY", ("BUSH", "JOIN"), "0.3"),
        ("SEIZED", ("BUSH",), "0.4"),
        ("SEIZED", ("BUSH", "JOIN"), "0.45"),
    ],
)
def test_rust_slows_only_net_hours_marked_so(condition: str | None, keys: tuple[str, ...], allowance: str) -> None:
    """A quarter of 0.8 is 0.2, of 1.2 is 0.3; half of 1.2 would be 0.6, at most 0.45."""
    found = price(shop(), *keys, job=build.a_job(condition=condition))
    assert plain(found.charges.hours.allowance) == allowance


def test_one_ceiling_for_the_job_split_over_rates_by_slowed_hours() -> None:
    """0.45 over 0.8 at MAIN and 0.4 at WELD: 0.3 and 0.15. MAIN 0.5 + 0.8 + 0.3 = 1.6; WELD 0.55, billed 0.6."""
    found = price(shop(), "BUSH", "JOIN", job=build.a_job(condition="SEIZED"))
    assert [Fraction(at.allowance) for at in found.charges.hours.by_rate.values()] == [
        Fraction("0.3"),
        Fraction("0.15"),
    ]
    assert [plain(at.billed) for at in found.charges.hours.by_rate.values()] == ["1.6", "0.6"]


def test_a_split_that_is_no_finite_decimal_is_exact() -> None:
    """0.1 hours over 0.2 and 0.1 slowed hours: two thirds and a third of a tenth."""
    assert part_of_allowance(Decimal("0.1"), Decimal("0.1"), Decimal("0.3")) == Fraction(1, 30)
    assert part_of_allowance(Decimal("0.1"), Decimal("0.3"), Decimal("0.3")) == Decimal("0.1")
    assert part_of_allowance(Decimal("0.1"), Decimal(0), Decimal("0.3")) == 0


def test_second_side_hours_are_what_rust_slows() -> None:
    """0.8 and 0.5: a quarter of 1.3 is 0.325; 1.625 is billed 1.7."""
    operations = [build.an_operation("BUSH", "0.8", each_side=True, second_side_hours="0.5", slowed_by_rust=True)]
    found = price(shop(operations=operations), "BUSH@left", "BUSH@right", job=build.a_job(condition="RUSTY"))
    assert hours(found) == {"MAIN": ["0", "1.3", "0.325", "1.7"]}


@pytest.mark.parametrize(
    ("step", "billed"), [("0.1", "1.3"), ("0.25", "1.5"), ("0.5", "1.5"), ("1", "2"), ("0.05", "1.3")]
)
def test_the_step_is_the_shops(step: str, billed: str) -> None:
    book = shop(settings=build.settings(hours_step=step))
    assert hours(price(book, "BUSH"))["MAIN"][-1] == billed


@pytest.mark.parametrize(
    ("minimum", "added"), [("0", "0"), ("1", "0"), ("1.3", "0"), ("1.31", "0.01"), ("2", "0.7"), ("2.55", "1.25")]
)
def test_what_is_missing_to_the_minimum_is_its_own_line(minimum: str, added: str) -> None:
    """BUSH bills 1.3; the rest to the minimum is not rounded to a step."""
    found = price(shop(settings=build.settings(minimum_labour_hours=minimum)), "BUSH")
    assert plain(found.charges.hours.minimum_added) == added
    assert found.charges.minimum == Decimal(added) * 100


def test_the_minimum_looks_at_all_rates_together() -> None:
    """1.3 at MAIN and 0.4 at WELD: 1.7; up to 2 that is 0.3 at the default rate."""
    found = price(shop(settings=build.settings(minimum_labour_hours=2)), "BUSH", "JOIN")
    assert str(found.charges.minimum) == "30.00"


def test_the_minimum_is_billed_at_the_jobs_own_rate() -> None:
    """0.4 hours of WELD named by the operation, 0.5 of cover at the job's FIELD rate; 1.1 to the minimum of 2."""
    rates = [build.a_rate(), build.a_rate("WELD", 120), build.a_rate("FIELD", 150)]
    book = shop(settings=build.settings(minimum_labour_hours=2), labour_rates=rates)
    found = price(book, "JOIN", job=build.a_job(labour_rate="FIELD"))
    assert {rate: str(amount) for rate, amount in found.charges.labour.items()} == {"FIELD": "75.00", "WELD": "48.00"}
    assert str(found.charges.minimum) == "165.00"


@pytest.mark.parametrize(("value", "off", "billed"), [("0.3", "0.3", "1"), ("0.04", "0.04", "1.3"), ("9", "1.3", "0")])
def test_hours_off_come_off_before_rounding_and_never_below_zero(value: str, off: str, billed: str) -> None:
    """BUSH works 1.3: less 0.3 is 1.0; less 0.04 is 1.26, billed 1.3; less 9 is nothing, and 1.3 was taken off."""
    tier = first_tier(bundled(value), build.a_finding_on("WORN"))
    assert (plain(tier.hours.off), plain(tier.hours.billed["MAIN"])) == (off, billed)


def bundled(value: str) -> ShopBook:
    """A shop with a bundle of one member and hours off."""
    return shop(
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])],
        bundles=[build.a_bundle("GIFT", ["NEW-BUSH"], "hours off", value)],
    )


def test_hours_off_with_an_allowance_that_is_no_finite_decimal() -> None:
    """A ceiling of 0.1 over 0.2 slowed at MAIN and 0.1 at WELD: MAIN 0.2667, less 0.05: 0.2167, billed 0.3."""
    book = shop(
        operations=[
            build.an_operation("A", "0.2", slowed_by_rust=True),
            build.an_operation("B", "0.1", labour="WELD", slowed_by_rust=True),
        ],
        conditions=[build.a_condition("RUSTY", 1, at_most_hours="0.1")],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["A", "B"])],
        bundles=[build.a_bundle("GIFT", ["NEW"], "hours off", "0.05")],
    )
    tier = first_tier(book, build.a_finding_on("WORN"), condition="RUSTY")
    assert {rate: plain(value) for rate, value in tier.hours.billed.items()} == {"MAIN": "0.3", "WELD": "0.2"}
    assert [str(line.allowance) for line in tier.labour_lines] == ["0.0667", "0.0333"]
    assert plain(tier.hours.off) == "0.05"


def test_hours_off_come_from_the_default_rate_only() -> None:
    """JOIN is WELD work behind a MAIN cover: two hours off take the cover's 0.5, WELD stays."""
    book = shop(
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("JOINED", ["WORN"], ["JOIN"])],
        bundles=[build.a_bundle("GIFT", ["JOINED"], "hours off", 2)],
    )
    tier = first_tier(book, build.a_finding_on("WORN"))
    assert {rate: plain(value) for rate, value in tier.hours.billed.items()} == {"MAIN": "0", "WELD": "0.4"}
    assert plain(tier.hours.off) == "0.5"


def test_no_work_bills_no_hours_but_the_minimum() -> None:
    """A charge alone on a job still pays the minimum of one hour."""
    job = build.a_job(one_off=[build.a_one_off(1, "charge", 1, unit_price=5)])
    found = price(shop(settings=build.settings(minimum_labour_hours=1)), "ONEOFF-1", job=job)
    assert found.charges.hours.by_rate == {}
    assert str(found.charges.minimum) == "100.00"


def test_a_one_off_hour_counts_like_any_other() -> None:
    """1.25 hours slowed by rust behind the cover: 0.5 + 1.25 + 0.3125 = 2.0625, billed 2.1."""
    line = build.a_one_off(1, "labour", "1.25", access=["COVER"], slowed_by_rust=True)
    found = price(shop(), "ONEOFF-1", job=build.a_job(one_off=[line], condition="RUSTY"))
    assert hours(found) == {"MAIN": ["0.5", "1.25", "0.3125", "2.1"]}
