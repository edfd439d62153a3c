"""The technician's own choice of what goes in a tier; safety and permission still hold (DESIGN.md 4, 5.7 and 5.9)."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of


def a_brake_book(**values: Any) -> ShopBook:
    """Brakes with two remedies, a chain that must not be fitted on worn wheels, and a lube extra."""
    return build.a_book(
        **{
            "operations": [
                build.an_operation("FIT-BRAKE", 1, each_side=True),
                build.an_operation("FIT-CHAIN", 1),
                build.an_operation("FIT-WHEELS", 1),
                build.an_operation("LUBE"),
                build.an_operation("WASH"),
            ],
            "findings": [
                build.a_finding("BRAKE", "safety"),
                build.a_finding("CHAIN"),
                build.a_finding("WHEELS", "advised"),
            ],
            "remedies": [
                build.a_remedy("PADS", ["BRAKE"], ["FIT-BRAKE"]),
                build.a_remedy("DEAR-PADS", ["BRAKE"], ["FIT-BRAKE"], parts="PAD"),
                build.a_remedy("NEW-CHAIN", ["CHAIN"], ["FIT-CHAIN"], needs_fixed=["WHEELS"]),
                build.a_remedy("NEW-WHEELS", ["WHEELS"], ["FIT-WHEELS"]),
            ],
            "parts": [build.a_part("PAD", 40)],
            "extras": [build.an_extra("LUBED", ["LUBE"])],
            "tiers": [build.a_tier("good", ["safety"]), build.a_tier("better")],
        }
        | values
    )


FOUND = (build.a_finding_on("BRAKE", "left", severity="safety"), build.a_finding_on("CHAIN"))


def a_planned_quote(*plan: tuple[str, ...], worn_wheels: bool = False, **job: Any) -> Quote:
    """The quote of a plan of (tier, item) or (tier, item, side)."""
    found = (*FOUND, build.a_finding_on("WHEELS", severity="advised")) if worn_wheels else FOUND
    rows = [build.a_plan_item(*row) for row in plan]
    return build_quote(a_brake_book(), build.a_job(*found, plan=rows, **job))


def errors(quote: Quote) -> list[str]:
    """Messages of errors, in order."""
    return [problem.message for problem in quote.problems if problem.severity == "error"]


def test_a_planned_tier_takes_exactly_its_items() -> None:
    """The dearer pads, though the other ones cost less; only one choice was compared."""
    tier = a_planned_quote(("good", "DEAR-PADS", "left")).tiers[0]
    assert (keys_of(tier), tier.planned, tier.compared, str(tier.work)) == (["DEAR-PADS@left"], True, 1, "160.00")


def test_a_tier_that_is_not_planned_is_chosen() -> None:
    """It covers what the planned tier before fixes, by its own aim."""
    tier = a_planned_quote(("good", "DEAR-PADS", "left")).tiers[1]
    assert (keys_of(tier), tier.planned) == (["NEW-CHAIN", "PADS@left"], False)


@pytest.mark.parametrize(
    ("row", "key", "kind"),
    [
        (("good", "LUBED"), "LUBED", "extra"),
        (("good", "WASH"), "WASH", "operation"),
        (("good", "FIT-BRAKE", "right"), "FIT-BRAKE@right", "operation"),
        (("good", "LUBED", "left"), "LUBED", "extra"),
    ],
)
def test_a_plan_may_hold_extras_and_operations(row: tuple[str, ...], key: str, kind: str) -> None:
    """A side is dropped where the item has none."""
    tier = a_planned_quote(("good", "PADS", "left"), row).tiers[0]
    assert [(item.key, item.kind) for item in tier.items if item.kind != "remedy"] == [(key, kind)]


def test_asked_extras_and_one_off_lines_come_with_every_plan() -> None:
    """LUBED was asked for, and is once in the tier though the plan names it too."""
    quote = a_planned_quote(
        ("good", "PADS", "left"),
        ("good", "LUBED"),
        extras=[build.a_job_extra("LUBED", asked=True)],
        one_off=[build.a_one_off(1, "charge", unit_price=5)],
    )
    assert keys_of(quote.tiers[0]) == ["LUBED", "ONEOFF-1", "PADS@left"]


def test_a_plan_that_leaves_a_safety_finding_is_not_offered() -> None:
    """Washing alone leaves the brake: no error, but no offer."""
    tier = a_planned_quote(("good", "WASH"), ("better", "PADS", "left")).tiers[0]
    assert (tier.offered, tier.safety_left) == (False, ("BRAKE@left",))


def test_a_planned_item_that_needs_something_fixed_is_an_error_without_it() -> None:
    """The chain must not be fitted on worn wheels."""
    quote = a_planned_quote(("better", "PADS", "left"), ("better", "NEW-CHAIN"), worn_wheels=True)
    assert errors(quote) == ["NEW-CHAIN must not be fitted without putting WHEELS right"]
    assert quote.tiers == ()


def test_with_what_it_needs_fixed_it_is_taken() -> None:
    """Chain and wheels together."""
    plan = [("better", "PADS", "left"), ("better", "NEW-CHAIN"), ("better", "NEW-WHEELS")]
    quote = a_planned_quote(*plan, worn_wheels=True)
    assert (errors(quote), quote.tiers[1].fixed) == ([], ("BRAKE@left", "CHAIN", "WHEELS"))


def test_a_planned_item_that_does_not_fit_is_an_error() -> None:
    """Pads fit drums up to 200; this one measures 201."""
    book = a_brake_book(fits_only_if=[build.fits_only_if("PADS", "DRUM", None, "200")])
    drum = build.a_finding_on("DRUM", "left", severity="watch", fault=False, measured="201")
    job = build.a_job(*FOUND, drum, plan=[build.a_plan_item("good", "PADS", "left")])
    assert errors(build_quote(book, job)) == [
        "PADS@left is not permitted: it fits only with Drum up to 200, and DRUM@left measures 201"
    ]


def test_a_plan_that_leaves_what_the_tier_before_fixes_is_an_error() -> None:
    """A better option may not do less."""
    quote = a_planned_quote(("better", "NEW-CHAIN"))
    assert errors(quote) == ["the planned tier better leaves what good fixes: BRAKE@left"]


def test_a_planned_remedy_may_fix_nothing_that_was_found() -> None:
    """New wheels although nobody recorded them worn."""
    tier = a_planned_quote(("good", "PADS", "left"), ("good", "NEW-WHEELS")).tiers[0]
    assert (keys_of(tier), tier.fixed) == (["NEW-WHEELS", "PADS@left"], ("BRAKE@left",))
