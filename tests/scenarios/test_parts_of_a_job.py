"""Parts a shop owner can check by hand: superseded numbers, kits, packs, left and right, cores, the customer's own."""

from __future__ import annotations

from tests import build
from tests.pricing.priced import plain, quantities_of
from tests.scenarios.hill_road import bill_for, hill_road, money


def test_a_superseded_part_with_its_companion() -> None:
    """The old pulley is replaced by a new number that also needs a spacer.

    Pulley 24.00 x 1.6 = 38.40, spacer 1.75 doubled 3.50. Labour 0.5 x 96.00 = 48.00. 89.90. Common practice, no source.
    """
    book = hill_road(
        operations=[build.an_operation("PULLEY", "0.5", parts="PULLEY-1")],
        parts=[
            build.a_part("PULLEY-1", 19, replaced_by="PULLEY-2"),
            build.a_part("PULLEY-2", 24, also_needs="SPACER"),
            build.a_part("SPACER", "1.75"),
        ],
        findings=[build.a_finding("BENT-PULLEY")],
        remedies=[build.a_remedy("NEW-PULLEY", ["BENT-PULLEY"], ["PULLEY"])],
    )
    tier = bill_for(book, "BENT-PULLEY")
    assert quantities_of(tier) == {"PULLEY-2": "1", "SPACER": "1"}
    assert money(tier) == {"labour": "48.00", "parts": "41.90", "total": "89.90"}


def test_a_kit_takes_off_what_it_contains() -> None:
    """Two carburettor kits, each with two gaskets and a needle; the job uses five gaskets and one needle.

    Kits are counted before they take anything off: 4 gaskets off five leave one, 2 needles off one leave none.
    Kits 2 x 14.00 x 1.6 = 44.80; one gasket 1.20 doubled 2.40. Labour 0.8 x 96.00 = 76.80. Common practice, no source.
    """
    book = hill_road(
        operations=[
            build.an_operation("CARB", "0.5", parts="KIT; GASKET x 2; NEEDLE"),
            build.an_operation("TANK", "0.3", parts="KIT; GASKET x 3"),
        ],
        parts=[
            build.a_part("KIT", 14, contains="GASKET x 2; NEEDLE"),
            build.a_part("GASKET", "1.20"),
            build.a_part("NEEDLE", 6),
        ],
        findings=[build.a_finding("NO-FUEL")],
        remedies=[build.a_remedy("CLEANED", ["NO-FUEL"], ["CARB", "TANK"])],
    )
    tier = bill_for(book, "NO-FUEL")
    assert quantities_of(tier) == {"GASKET": "1", "KIT": "2"}
    assert money(tier) == {"labour": "76.80", "parts": "47.20", "total": "124.00"}


def test_packs_over_the_whole_job() -> None:
    """Shear pins come ten in a pack at 9.00. Left and right take three each, the impeller five: eleven.

    Sold by the piece: 0.90 doubled 1.80 x 11 = 19.80. Two packs are bought, 18.00 in cash, nine pins go on the shelf.
    Labour 0.2 + 0.2 + 0.4 = 0.8 x 96.00 = 76.80. Common practice, no source.
    """
    book = hill_road(
        operations=[
            build.an_operation("PINS", "0.2", each_side=True, parts="PIN x 3"),
            build.an_operation("IMPELLER", "0.4", parts="PIN x 5"),
        ],
        parts=[build.a_part("PIN", 9, 10)],
        findings=[build.a_finding("SHEARED"), build.a_finding("LOOSE")],
        remedies=[build.a_remedy("NEW-PINS", ["SHEARED"], ["PINS"]), build.a_remedy("PINNED", ["LOOSE"], ["IMPELLER"])],
    )
    tier = bill_for(book, "SHEARED@left", "SHEARED@right", "LOOSE")
    (pins,) = tier.part_lines
    assert (plain(pins.quantity), pins.packs, plain(pins.left_over)) == ("11", 2, "9")
    assert (str(tier.cash_for_parts), str(tier.cost.parts_used)) == ("18.00", "9.90")
    assert money(tier) == {"labour": "76.80", "parts": "19.80", "total": "96.60"}


def test_left_and_right_are_different_parts() -> None:
    """The left auger half costs 60.00 and the right 64.00; one bolt set for each.

    60 x 1.35 = 81.00, 64 x 1.35 = 86.40, bolts 2 x 6.00 (3.00 doubled) = 12.00. Labour 1.0 + 1.0 = 192.00.
    Left alone: 96.00 + 81.00 + 6.00 = 183.00. Common practice, no source.
    """
    book = hill_road(
        operations=[build.an_operation("AUGER", 1, each_side=True, parts="BOLTS")],
        parts=[build.a_part("AUGER-L", 60), build.a_part("AUGER-R", 64), build.a_part("BOLTS", 3)],
        parts_used=[
            build.a_part_used("AUGER", "AUGER-L", sides=("left",)),
            build.a_part_used("AUGER", "AUGER-R", sides=("right",)),
        ],
        findings=[build.a_finding("BENT-AUGER")],
        remedies=[build.a_remedy("NEW-AUGER", ["BENT-AUGER"], ["AUGER"])],
    )
    both = bill_for(book, "BENT-AUGER@left", "BENT-AUGER@right")
    assert money(both) == {"labour": "192.00", "parts": "179.40", "total": "371.40"}
    assert [(line.part, line.sides) for line in both.part_lines] == [
        ("AUGER-L", ("left",)),
        ("AUGER-R", ("right",)),
        ("BOLTS", ("left", "right")),
    ]
    assert str(bill_for(book, "BENT-AUGER@left").total) == "183.00"


def test_the_customer_keeps_the_old_starter() -> None:
    """A rebuilt starter at 48.00 carries a core charge of 25.00, which is due when the old one is not handed in.

    48 x 1.6 = 76.80, core 25.00, labour 0.6 x 96.00 = 57.60: 159.40; with the old one handed in 134.40.
    Common practice, no source.
    """
    book = hill_road(
        operations=[build.an_operation("STARTER", "0.6", parts="STARTER")],
        parts=[build.a_part("STARTER", 48, core_charge=25, new_or_used="rebuilt")],
        findings=[build.a_finding("NO-START")],
        remedies=[build.a_remedy("NEW-STARTER", ["NO-START"], ["STARTER"])],
    )
    kept = bill_for(book, "NO-START", old_parts="keep")
    assert money(kept) == {"labour": "57.60", "parts": "76.80", "cores": "25.00", "total": "159.40"}
    assert str(bill_for(book, "NO-START", old_parts="dispose").total) == "134.40"


def test_the_customer_brings_the_belt() -> None:
    """Fitted, not charged, no packs: 1.0 hour x 96.00 and a belt at zero. Common practice, no source."""
    tier = bill_for(hill_road(), "FRAYED-BELT", own_parts=("BELT",))
    assert money(tier) == {"labour": "96.00", "total": "96.00"}
    assert [(line.part, line.packs, line.own) for line in tier.part_lines] == [("BELT", 0, True)]


def test_the_edge_of_a_markup_band() -> None:
    """A part at 10.00 sells at 20.00; one at 10.50 x 1.6 = 16.80 would be cheaper, so it sells at 20.00 too.

    Labour 0.1 x 96.00 = 9.60 each time. Common practice, no source.
    """
    totals = []
    for cost in ("10.00", "10.50", "12.50", "12.60"):
        book = hill_road(
            operations=[build.an_operation("FIT", "0.1", parts="PART")],
            parts=[build.a_part("PART", cost)],
            findings=[build.a_finding("BROKEN")],
            remedies=[build.a_remedy("NEW", ["BROKEN"], ["FIT"])],
        )
        totals.append(str(bill_for(book, "BROKEN").total))
    assert totals == ["29.60", "29.60", "29.60", "29.76"]
