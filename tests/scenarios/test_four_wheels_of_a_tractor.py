"""A garden tractor with four wheels: bearings on three of them, done together with the tyres at two.

Shop: 60.00 an hour, steps of 0.25 h. A wheel takes 0.2 + 0.1 to take off and put on.
Bearing 0.4, each further one 0.3; tyre 0.5 each. A bundle for both: 0.5 h off.

Found    bearings front left, front right, rear left; tyres rear left, rear right

Hours    four wheels come off, each once: 4 x 0.3                 = 1.20
         bearings front left 0.4, front right 0.3, rear left 0.3  = 1.00
         tyres 2 x 0.5                                            = 1.00
         bundle                                                   = -0.50
         together 2.70, billed 2.75 x 60.00                       = 165.00
Parts    front bearings 2 x 9.00, rear 1 x 12.00                  =  30.00
To pay                                                            = 195.00
"""

from __future__ import annotations

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier, plain, quantities_of
from tests.scenarios.bill import bill

WHEELS = ["front left", "front right", "rear left", "rear right"]


def quoted(bearings: list[str], tyres: list[str]) -> PricedTier:
    """The only option for bearings and tyres at these wheels."""
    book = build.a_book(
        settings=build.settings(hours_step="0.25"),
        labour_rates=[build.a_rate("MAIN", 60)],
        machines=[build.a_machine(positions=WHEELS)],
        access=[build.a_step("WHEEL", "0.2", "0.1", each_side=True)],
        operations=[
            build.an_operation("FIT-BEARING", "0.4", second_side_hours="0.3", each_side=True, access=["WHEEL"]),
            build.an_operation("FIT-TYRE", "0.5", each_side=True, access=["WHEEL"]),
        ],
        parts=[build.a_part("FRONT", 6), build.a_part("REAR", 8)],
        parts_used=[
            build.a_part_used("FIT-BEARING", "FRONT", sides=("front",)),
            build.a_part_used("FIT-BEARING", "REAR", sides=("rear",)),
        ],
        findings=[build.a_finding("ROUGH"), build.a_finding("BALD")],
        remedies=[
            build.a_remedy("BEARING", ["ROUGH"], ["FIT-BEARING"]),
            build.a_remedy("TYRE", ["BALD"], ["FIT-TYRE"]),
        ],
        bundles=[build.a_bundle("WHEELS-OFF", ["BEARING", "TYRE"], "hours off", "0.5")],
    )
    findings = [build.a_finding_on("ROUGH", side) for side in bearings]
    findings += [build.a_finding_on("BALD", side) for side in tyres]
    return first_tier(book, *findings, positions=tuple(WHEELS))


def test_the_bill() -> None:
    """As added up above; the rear left wheel comes off once for both."""
    tier = quoted(WHEELS[:3], WHEELS[2:])
    assert bill(tier) == {"labour": "165.00", "parts": "30.00", "subtotal": "195.00", "total": "195.00"}
    assert quantities_of(tier) == {"FRONT": "2", "REAR": "1"}
    assert [line.key for line in tier.access] == [f"WHEEL@{wheel}" for wheel in WHEELS]
    assert tier.bundles == (("WHEELS-OFF", None),)


def test_bearings_alone_have_no_bundle() -> None:
    """Three wheels 0.9 + 1.0 = 1.9, billed 2.0 x 60.00 = 120.00, and the same bearings."""
    tier = quoted(WHEELS[:3], [])
    assert bill(tier) == {"labour": "120.00", "parts": "30.00", "subtotal": "150.00", "total": "150.00"}
    assert plain(tier.hours.off) == "0"
    assert tier.bundles == ()
