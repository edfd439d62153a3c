"""A utility trailer with a seized hub and a cracked joint: mechanic's and welder's hours, rust limited for the job.

Shop: MAIN 80.00, WELD 120.00 an hour. Seized: 50 % more on what rust slows, at most 1.0 h a job. 7.5 % tax on all.

Rust     50 % of (1.2 hub + 1.8 joint = 3.0) = 1.5, at most 1.0: hub 1.2 / 3.0 = 0.4, joint 1.8 / 3.0 = 0.6
MAIN     wheel off and on 0.3 + 0.25, hub 1.2, rust 0.4 = 2.15, billed 2.2 x 80.00  = 176.00
WELD     joint 1.8, rust 0.6                            = 2.40, billed 2.4 x 120.00 = 288.00
Parts    2 straps: 14.20 + 50 % = 21.30                                             =  42.60
Fee      grease disposal, once                                                      =   3.00
Work                                                                                = 509.60
Tax      7.5 % of 509.60                                                            =  38.22
To pay   547.82, of which 100.00 is paid: 447.82 due
"""

from __future__ import annotations

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier, plain
from tests.scenarios.bill import bill


def quoted() -> PricedTier:
    """The only option."""
    book = build.a_book(
        labour_rates=[build.a_rate("MAIN", 80), build.a_rate("WELD", 120)],
        conditions=[build.a_condition("SEIZED", "0.5", at_most_hours=1)],
        access=[build.a_step("WHEEL", "0.3", "0.25")],
        operations=[
            build.an_operation("HUB", "1.2", slowed_by_rust=True, access=["WHEEL"]),
            build.an_operation("JOINT", "1.8", slowed_by_rust=True, labour="WELD", parts="STRAP x 2"),
        ],
        parts=[build.a_part("STRAP", "14.20")],
        findings=[build.a_finding("NO-TURN"), build.a_finding("CRACK", "safety")],
        remedies=[
            build.a_remedy("FREE-HUB", ["NO-TURN"], ["HUB"], kind="repair"),
            build.a_remedy("WELD-JOINT", ["CRACK"], ["JOINT"], kind="repair"),
        ],
        fees=[build.a_fee("DISPOSAL", 3, applies_to=["HUB"])],
        taxes=[build.a_tax("STATE", "0.075")],
    )
    findings = [build.a_finding_on("NO-TURN"), build.a_finding_on("CRACK", severity="safety")]
    return first_tier(book, *findings, condition="SEIZED", paid_so_far=100)


def test_the_bill() -> None:
    """As added up above."""
    tier = quoted()
    assert bill(tier) == {
        "labour": "464.00",
        "parts": "42.60",
        "fees": "3.00",
        "subtotal": "509.60",
        "tax": "38.22",
        "total": "547.82",
    }
    assert str(tier.due) == "447.82"


def test_one_limit_for_the_job_over_both_rates() -> None:
    """0.4 h of rust for the mechanic and 0.6 h for the welder, never an hour each."""
    rows = [[plain(value) for value in (line.net, line.allowance, line.billed)] for line in quoted().labour_lines]
    assert rows == [["1.2", "0.4", "2.2"], ["1.8", "0.6", "2.4"]]
