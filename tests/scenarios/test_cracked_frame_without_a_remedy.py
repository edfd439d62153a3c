"""A cracked trailer frame, a matter of safety, that the shop book has no remedy for.

With nothing else no option is offered. The technician adds a line: another shop welds it for 160.00, in five days,
and the wheel must come off (0.3 + 0.2). Shop: 80.00 an hour, sublet + 15 %, three days of queue.

Labour   wheel 0.5 x 80.00                       =  40.00
Sublet   160.00 + 15 %                           = 184.00
Charge   paint, agreed                           =   7.50
To pay                                           = 231.50
Ready    5 days at the other shop + 3 of queue   =   8 working days
"""

from __future__ import annotations

from typing import Any

from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of
from tests.scenarios.bill import bill


def quoted(*lines: Any) -> Quote:
    """The quote with these one-off lines."""
    book = build.a_book(
        settings=build.settings(sublet_markup="0.15", queue_days=3),
        labour_rates=[build.a_rate("MAIN", 80)],
        access=[build.a_step("WHEEL", "0.3", "0.2")],
        findings=[build.a_finding("FRAME", "safety")],
        tiers=[build.a_tier("good")],
    )
    return build_quote(book, build.a_job(build.a_finding_on("FRAME", severity="safety"), one_off=list(lines)))


WELDING = build.a_one_off(1, "sublet", unit_cost=160, access=["WHEEL"], fixes=["FRAME"], lead_days=5)
PAINT = build.a_one_off(2, "charge", unit_price="7.50")


def test_no_option_leaves_a_danger() -> None:
    """Nothing is offered, with a reason."""
    quote = quoted()
    assert quote.offered == ()
    assert quote.tiers[0].reason
    assert quote.tiers[0].safety_left == ("FRAME",)


def test_a_line_that_does_not_fix_it_changes_nothing() -> None:
    """Paint over a crack is not offered either."""
    assert quoted(build.a_one_off(1, "charge", unit_price="7.50")).offered == ()


def test_the_bill() -> None:
    """As added up above."""
    (tier,) = quoted(WELDING, PAINT).offered
    assert keys_of(tier) == ["ONEOFF-1", "ONEOFF-2"]
    assert bill(tier) == {
        "labour": "40.00",
        "sublet": "184.00",
        "fees": "7.50",
        "subtotal": "231.50",
        "total": "231.50",
    }
    assert (tier.fixed, tier.ready_days) == (("FRAME",), 8)
