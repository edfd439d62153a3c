"""A repair and an improvement behind one cover, where the state taxes the labour of improvements alone.

Shop: 100.00 an hour, 8 % on parts and upgrade labour.

Hours    cover 0.2 + 0.2, belt 1.0, brighter light 0.5 = 1.9 x 100.00           = 190.00
         of it belt 0.2 + 1.0 = 1.2, light 0.2 + 0.5 = 0.7: half the cover each
Part     lamp 20.00 + 50 %                                                      =  30.00
Work                                                                            = 220.00
Tax      8 % of the light's labour 70.00 and the lamp 30.00 = 100.00            =   8.00
To pay                                                                          = 228.00

With 10 % off, labour loses 19.00, of which the light's part is 7.00; the lamp loses 3.00:
198.00 and 8 % of 63.00 + 27.00 = 90.00, 7.20: 205.20.
"""

from __future__ import annotations

from typing import Any

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier, texts


def quoted(**job: Any) -> PricedTier:
    """The only option."""
    book = build.a_book(
        access=[build.a_step("COVER", "0.2", "0.2")],
        operations=[
            build.an_operation("FIT-BELT", "1.0", access=["COVER"]),
            build.an_operation("FIT-LIGHT", "0.5", access=["COVER"], parts="LAMP"),
        ],
        parts=[build.a_part("LAMP", 20)],
        findings=[build.a_finding("FRAYED"), build.a_finding("DIM")],
        remedies=[
            build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"]),
            build.a_remedy("BRIGHT-LIGHT", ["DIM"], ["FIT-LIGHT"], kind="upgrade"),
        ],
        taxes=[build.a_tax("STATE", "0.08", ["parts", "upgrade labour"])],
    )
    return first_tier(book, build.a_finding_on("FRAYED"), build.a_finding_on("DIM"), **job)


def test_only_the_light_is_taxed() -> None:
    """As added up above."""
    tier = quoted()
    assert texts(tier.work, tier.taxes[0].base, tier.tax, tier.total) == ["220.00", "100.00", "8.00", "228.00"]


def test_a_discount_comes_off_both_in_proportion() -> None:
    """As added up above."""
    tier = quoted(discount_percent="0.1")
    assert texts(tier.work, tier.taxes[0].base, tier.tax, tier.total) == ["198.00", "90.00", "7.20", "205.20"]
