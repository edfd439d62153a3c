"""A belt that takes half an hour in a shop with a minimum of one hour, and an inspection that is credited.

Shop: 90.00 an hour, at least 1.0 h, supplies 4 % of labour, inspection 45.00 credited when work goes ahead, 8 % on all.

Hours    cover 0.1 + 0.1, belt 0.35 = 0.55, billed 0.6 x 90.00 =  54.00
         missing to the minimum                 0.4 x 90.00 =  36.00
Part     belt 11.00 + 80 %                                  =  19.80
Supplies 4 % of 90.00: the minimum counts as labour         =   3.60
Work                                                        = 113.40
         inspection 45.00, credited 45.00                   =   0.00
Tax      8 % of 113.40                                      =   9.07  (9.072)
To pay                                                      = 122.47
"""

from __future__ import annotations

from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import texts
from tests.scenarios.bill import bill


def quoted() -> Quote:
    """The quote for a worn belt."""
    book = build.a_book(
        settings=build.settings(
            minimum_labour_hours=1,
            supplies_percent_of_labour="0.04",
            inspection_fee=45,
            inspection_fee_credited="when work goes ahead",
        ),
        labour_rates=[build.a_rate("MAIN", 90)],
        access=[build.a_step("COVER", "0.1", "0.1")],
        operations=[
            build.an_operation("FIT-BELT", "0.35", access=["COVER"], parts="BELT"),
            build.an_operation("GREASE", "0.3", access=["COVER"]),
        ],
        parts=[build.a_part("BELT", 11)],
        markup=[build.a_band(0, None, "0.8")],
        findings=[build.a_finding("FRAYED")],
        remedies=[build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
        extras=[build.an_extra("GREASING", ["GREASE"])],
        taxes=[build.a_tax("STATE", "0.08")],
    )
    return build_quote(book, build.a_job(build.a_finding_on("FRAYED"), reassembly_hours="0.5"))


def test_the_bill() -> None:
    """As added up above; the minimum is a line of its own."""
    tier = quoted().tiers[0]
    assert bill(tier) == {
        "labour": "90.00",
        "parts": "19.80",
        "supplies": "3.60",
        "inspection": "45.00",
        "inspection_credit": "-45.00",
        "subtotal": "113.40",
        "tax": "9.07",
        "total": "122.47",
    }
    assert texts(tier.labour_lines[0].amount, tier.minimum_amount) == ["54.00", "36.00"]


def test_greasing_while_it_is_open_is_already_paid() -> None:
    """0.55 + 0.3 = 0.85, billed 0.9: still inside the hour, so it adds nothing. Printed: at most 0.3 x 90.00 + 4 %."""
    (extra,) = quoted().tiers[0].extras
    assert (extra.extra, extra.why) == ("GREASING", "while it is open")
    assert texts(extra.price, extra.at_most) == ["0.00", "28.08"]


def test_what_a_no_costs() -> None:
    """Inspection 45.00, putting it together 0.5 x 90.00 = 45.00, 8 % of 90.00 = 7.20: no credit without work."""
    declined = quoted().declined
    assert texts(declined.inspection, declined.reassembly, declined.tax, declined.total) == [
        "45.00",
        "45.00",
        "7.20",
        "97.20",
    ]
