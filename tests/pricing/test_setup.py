"""What choosing and pricing share: work in every tier, and the price of a remedy by itself (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.setup import fixed_by, set_up, tier_takes
from tests import build


def a_book(**values: Any) -> ShopBook:
    """A bushing each side and a belt."""
    return build.a_book(
        **{
            "access": [build.a_step("COVER")],
            "operations": [
                build.an_operation("BUSHING", 1, each_side=True, access=["COVER"], second_side_hours="0.5"),
                build.an_operation("BELT", 1, access=["COVER"]),
            ],
            "findings": [build.a_finding("WORN"), build.a_finding("FRAYED")],
            "remedies": [
                build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"]),
                build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"]),
            ],
            "extras": [build.an_extra("OILED", ["BUSHING"]), build.an_extra("TIGHT", ["BELT"])],
        }
        | values
    )


@pytest.mark.parametrize(
    ("tiers", "tier", "takes"),
    [((), "good", True), (("good",), "good", True), (("good", "best"), "best", True), (("good",), "best", False)],
)
def test_tiers_of_a_one_off_line(tiers: tuple[str, ...], tier: str, takes: bool) -> None:
    """None named is all."""
    assert tier_takes(tiers, tier) is takes


def test_what_is_in_a_tier_anyway() -> None:
    """Asked extras in every tier, on their side where they have one; one-off lines where they say; offers nowhere."""
    job = build.a_job(
        extras=[
            build.a_job_extra("OILED", "left", asked=True),
            build.a_job_extra("TIGHT", "left", asked=True),
            build.a_job_extra("OILED", "right"),
        ],
        one_off=[build.a_one_off(1), build.a_one_off(2, tiers=["best"])],
    )
    setup = set_up(a_book(), job)
    assert [item.key for item in setup.in_every("good")] == ["OILED@left", "TIGHT", "ONEOFF-1"]
    assert [item.key for item in setup.in_every("best")] == ["OILED@left", "TIGHT", "ONEOFF-1", "ONEOFF-2"]


def test_a_remedy_by_itself_pays_its_own_access_and_the_first_side() -> None:
    """1.5 h and 0.5 h of cover each alone; the three together open it once, the second bushing for half an hour."""
    sides = [build.a_finding_on("WORN", side) for side in ("left", "right")]
    setup = set_up(a_book(), build.a_job(*sides, build.a_finding_on("FRAYED")))
    items = setup.candidates.items
    assert {key: str(setup.alone(item)) for key, item in items.items()} == {
        "NEW-BUSH@left": "150.00",
        "NEW-BUSH@right": "150.00",
        "NEW-BELT": "150.00",
    }
    assert str(setup.price(list(items.values())).total) == "300.00"


def test_faults_that_items_put_right() -> None:
    """A sided remedy those of its side; what passes its limit is no fault and is not fixed."""
    passing = build.a_finding_on("FRAYED", severity="watch", fault=False)
    sides = [build.a_finding_on("WORN", side) for side in ("left", "right")]
    items = set_up(a_book(), build.a_job(*sides, passing)).candidates.items
    assert fixed_by(items.values()) == {"WORN@left", "WORN@right"}
    assert fixed_by([items["NEW-BUSH@right"]]) == {"WORN@right"}
    assert fixed_by([]) == frozenset()
