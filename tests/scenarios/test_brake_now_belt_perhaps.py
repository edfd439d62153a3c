"""The brake must be done; the belt and a light may be ticked by the customer. Why the quote prints "at most".

Shop: 100.00 an hour, steps of 0.1 h. The option covers safety alone.

Brake    cover 0.2 + 0.2, brake 0.55 = 0.95, billed 1.0                                  = 100.00
         + belt 0.33 (same cover): 1.28, billed 1.3: 30.00 more, belt 22.40                  52.40
           at most: 0.33 by itself is billed 0.4: 40.00 + 22.40                              62.40
         + light 0.25: 1.20, billed 1.2: 20.00 more                                          20.00
           at most: 0.25 by itself is billed 0.3                                             30.00
         + both: 1.53, billed 1.6: 60.00 + 22.40                                             82.40

Both come to 82.40: more than 52.40 + 20.00 = 72.40, as hours round up once; less than 62.40 + 30.00 = 92.40.
"""

from __future__ import annotations

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.pricing.priced import keys_of, texts


def inputs() -> tuple[ShopBook, Job]:
    """The shop and the job above."""
    book = build.a_book(
        access=[build.a_step("COVER", "0.2", "0.2")],
        operations=[
            build.an_operation("FIT-BRAKE", "0.55", access=["COVER"]),
            build.an_operation("FIT-BELT", "0.33", access=["COVER"], parts="BELT"),
            build.an_operation("FIT-LIGHT", "0.25"),
        ],
        parts=[build.a_part("BELT", 16, fixed_price_each="22.40")],
        findings=[build.a_finding("BRAKE", "safety"), build.a_finding("BELT", "needed")],
        remedies=[
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
            build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
        ],
        extras=[build.an_extra("LIGHT", ["FIT-LIGHT"])],
        tiers=[build.a_tier("good", ["safety"])],
    )
    findings = [build.a_finding_on("BRAKE", severity="safety"), build.a_finding_on("BELT")]
    return book, build.a_job(*findings, extras=[build.a_job_extra("LIGHT")])


def test_what_is_offered_beside_the_brake() -> None:
    """The light because the customer may want it, the belt because it was found."""
    (tier,) = build_quote(*inputs()).tiers
    assert (keys_of(tier), str(tier.work), tier.left) == (["NEW-BRAKE"], "100.00", ("BELT",))
    assert [(offer.extra, offer.why, *texts(offer.price, offer.at_most)) for offer in tier.extras] == [
        ("LIGHT", "on the job's list", "20.00", "30.00"),
        ("NEW-BELT", "found, not in this option", "52.40", "62.40"),
    ]


@pytest.mark.parametrize(
    ("ticked", "work", "left"),
    [
        ([], "100.00", ("BELT",)),
        (["LIGHT"], "120.00", ("BELT",)),
        (["NEW-BELT"], "152.40", ()),
        (["LIGHT", "NEW-BELT"], "182.40", ()),
    ],
)
def test_what_is_ticked_is_done_in_one_go(ticked: list[str], work: str, left: tuple[str, ...]) -> None:
    """The hours are rounded up once over all that is done, and a ticked belt is no longer left."""
    tier = price_combination(*inputs(), "good", ticked)
    assert (str(tier.work), tier.left) == (work, left)
