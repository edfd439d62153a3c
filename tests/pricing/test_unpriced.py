"""A tier that could not be worked out shows nothing that reads like a figure."""

from __future__ import annotations

from quotekit.pricing import build_quote
from tests import build


def test_no_items_no_figures_only_the_reason() -> None:
    """The fault is listed as left, the tier has its name, all else is empty or zero although an hour is the minimum."""
    book = build.a_book(
        settings=build.settings(minimum_labour_hours=1, inspection_fee=35),
        operations=[build.an_operation("FIT"), build.an_operation("SWAP", 2)],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("ONE", ["WORN"], ["FIT"], life_years=None),
            build.a_remedy("TWO", ["WORN"], ["SWAP"]),
        ],
        tiers=[build.a_tier("best", aim="longest life")],
    )
    (tier,) = build_quote(book, build.a_job(build.a_finding_on("WORN"))).tiers
    assert (tier.code, tier.name, tier.offered, tier.priced) == ("best", "Best", False, False)
    assert tier.reason
    assert (tier.items, tier.operations, tier.labour_lines, tier.part_lines, tier.extras) == ((), (), (), (), ())
    assert (tier.fixed, tier.left) == ((), ("WORN",))
    assert tier.work == tier.subtotal == tier.total == tier.due == tier.minimum_amount == tier.amounts.inspection == 0
    assert (tier.ready_days, tier.margin, tier.cost.total) == (None, None, None)
