"""A gearbox with bad gears and a leak: the rebuild includes the seals, and its kit holds the gasket.

Shop: 95.00 an hour, parts + 50 %, no tax.

Asked    REBUILD (requires OIL-FILL, includes SEALS) and SEALS (requires FLUSH)
Done     REBUILD, OIL-FILL. SEALS goes as the rebuild does it; FLUSH goes as only SEALS required it
Hours    cover 0.2 + 0.2, gearbox out 0.6 + 0.7, rebuild 2.5, oil 0.2 = 4.4 x 95.00 = 418.00
Parts    kit, fixed price                                                          =  99.00
         half a litre of oil: 9.00 + 50 % = 13.50 a litre                          =   6.75
         gasket: the rebuild brings one, the kit contains one, none is charged     =   0.00
To pay                                                                             = 523.75
"""

from __future__ import annotations

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier, plain, texts
from tests.scenarios.bill import bill, parts_bill


def quoted() -> PricedTier:
    """The only option."""
    book = build.a_book(
        labour_rates=[build.a_rate("MAIN", 95)],
        access=[build.a_step("COVER", "0.2", "0.2"), build.a_step("GEARBOX-OUT", "0.6", "0.7", needs=["COVER"])],
        operations=[
            build.an_operation(
                "REBUILD",
                "2.5",
                access=["GEARBOX-OUT"],
                includes=["SEALS"],
                requires=["OIL-FILL"],
                parts="KIT; GASKET",
            ),
            build.an_operation("SEALS", "0.8", access=["GEARBOX-OUT"], requires=["FLUSH"], parts="SEAL x 2"),
            build.an_operation("FLUSH", "0.3"),
            build.an_operation("OIL-FILL", "0.2", parts="OIL x 0.5"),
        ],
        parts=[
            build.a_part("KIT", 64, fixed_price_each=99, contains="GASKET"),
            build.a_part("GASKET", 6),
            build.a_part("SEAL", 5),
            build.a_part("OIL", 9),
        ],
        findings=[build.a_finding("GEARS"), build.a_finding("LEAK")],
        remedies=[
            build.a_remedy("REBUILD-GEARBOX", ["GEARS"], ["REBUILD"], kind="repair"),
            build.a_remedy("NEW-SEALS", ["LEAK"], ["SEALS"]),
        ],
    )
    return first_tier(book, build.a_finding_on("GEARS"), build.a_finding_on("LEAK"))


def test_the_bill() -> None:
    """As added up above; nothing is charged twice."""
    tier = quoted()
    assert bill(tier) == {"labour": "418.00", "parts": "105.75", "subtotal": "523.75", "total": "523.75"}
    assert parts_bill(tier) == {"KIT": "99.00", "OIL": "6.75"}
    assert tier.dropped == ("FLUSH", "SEALS")


def test_the_seals_stay_on_the_quote_as_done_by_larger_work() -> None:
    """The leak is put right all the same; its share is zero and the rebuild carries everything."""
    tier = quoted()
    assert tier.fixed == ("GEARS", "LEAK")
    assert [(item.key, item.done_by_larger_work) for item in tier.items] == [
        ("NEW-SEALS", True),
        ("REBUILD-GEARBOX", False),
    ]
    assert texts(*(share.amount for share in tier.shares)) == ["0.00", "523.75"]


def test_half_a_litre_is_charged_and_a_whole_one_bought() -> None:
    """Cash 64.00 + 9.00; half a litre is left over."""
    tier = quoted()
    (oil,) = [line for line in tier.part_lines if line.part == "OIL"]
    assert (plain(oil.quantity), oil.packs, plain(oil.left_over)) == ("0.5", 1, "0.5")
    assert str(tier.cash_for_parts) == "73.00"
