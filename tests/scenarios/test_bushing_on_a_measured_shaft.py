"""A worn bushing fits only on a shaft that is thick enough: what the micrometer says decides the work.

Book: a new bushing fits from 18.9 mm of shaft. A shaft fails below 18.9 mm and is 19.05 mm new; thin is only advised.
The option covers safety and needed. 100.00 an hour.

Bushing alone: housing 0.3 + 0.2, bushing 0.5               = 1.0 x 100.00 = 100.00, part 8.00 + 50 % = 12.00
Shaft with it: the same housing, bushing 0.5 and shaft 1.0  = 2.0 x 100.00 = 200.00, parts 12.00 + 60.00 = 72.00
"""

from __future__ import annotations

import pytest

from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of


def quoted(*shafts: str, tiers: str = "needed") -> Quote:
    """The quote for a bushing with play, and the shaft where it was measured."""
    book = build.a_book(
        access=[build.a_step("HOUSING", "0.3", "0.2")],
        operations=[
            build.an_operation("FIT-BUSHING", "0.5", access=["HOUSING"], parts="BUSHING"),
            build.an_operation("FIT-SHAFT", "1.0", access=["HOUSING"], parts="SHAFT"),
        ],
        parts=[build.a_part("BUSHING", 8), build.a_part("SHAFT", 40)],
        findings=[
            build.a_finding("PLAY", "needed"),
            build.a_finding(
                "THIN", "advised", measure="Diameter", unit="mm", fails_when="below", limit="18.9", as_new="19.05"
            ),
        ],
        remedies=[
            build.a_remedy("NEW-BUSHING", ["PLAY"], ["FIT-BUSHING"]),
            build.a_remedy("NEW-SHAFT", ["THIN"], ["FIT-SHAFT"]),
        ],
        fits_only_if=[build.fits_only_if("NEW-BUSHING", "THIN", "18.9")],
        tiers=[build.a_tier("good", ["safety", tiers])],
    )
    measured = [build.found(book, "THIN", measured=shaft) for shaft in shafts]
    return build_quote(book, build.a_job(build.a_finding_on("PLAY"), *measured))


@pytest.mark.parametrize(
    ("shaft", "items", "work"),
    [
        ("19.05", ["NEW-BUSHING"], "112.00"),  # as new
        ("18.9", ["NEW-BUSHING"], "112.00"),  # on the limit passes
        ("18.89", ["NEW-BUSHING", "NEW-SHAFT"], "272.00"),  # below: with a new shaft it fits again
    ],
)
def test_the_shaft_decides(shaft: str, items: list[str], work: str) -> None:
    """A thin shaft is put right too, although it is advised only: the bushing would not hold on it."""
    (tier,) = quoted(shaft).tiers
    assert (keys_of(tier), str(tier.work)) == (items, work)


def test_a_thin_shaft_says_what_goes_only_with_what() -> None:
    """The bushing is on the list of remedies that fit only together with another."""
    quote = quoted("18.7")
    assert [(row.remedy, row.with_) for row in quote.only_with] == [("NEW-BUSHING", ("NEW-SHAFT",))]
    assert quote.tiers[0].fixed == ("PLAY", "THIN")


def test_without_a_measurement_nothing_is_sold() -> None:
    """No guess: the shop is asked to measure the shaft, and no option is offered."""
    quote = quoted()
    assert quote.offered == ()
    assert quote.measure_next == ("THIN",)
    assert [row.remedy for row in quote.not_permitted] == ["NEW-BUSHING"]


def test_a_shaft_within_its_limit_is_no_fault() -> None:
    """It is neither put right nor left."""
    (tier,) = quoted("18.95").tiers
    assert (tier.fixed, tier.left) == (("PLAY",), ())
