"""Corners of choosing and offering that random jobs seldom reach."""

from __future__ import annotations

import pytest

from quotekit.pricing import build_quote
from tests import build


def test_an_extra_that_dropped_work_includes_is_not_offered() -> None:
    """BIG includes MID, and MID, dropped, includes SMALL: an extra of SMALL would be dropped at once."""
    book = build.a_book(
        access=[build.a_step("COVER")],
        operations=[
            build.an_operation("BIG", 3, includes=["MID"], access=["COVER"]),
            build.an_operation("MID", 1, includes=["SMALL"], access=["COVER"]),
            build.an_operation("SMALL", "0.5", access=["COVER"]),
        ],
        findings=[build.a_finding("NOISY")],
        remedies=[build.a_remedy("REBUILT", ["NOISY"], ["BIG", "MID"])],
        extras=[build.an_extra("TUNED", ["SMALL"])],
        tiers=[build.a_tier("good")],
    )
    tier = build_quote(book, build.a_job(build.a_finding_on("NOISY"))).tiers[0]
    assert tier.extras == ()


def test_an_extra_whose_work_went_only_with_what_required_it_is_offered() -> None:
    """BIG includes MID, which required SMALL: SMALL went too, but nothing includes it, so an extra may bring it."""
    book = build.a_book(
        access=[build.a_step("COVER")],
        operations=[
            build.an_operation("BIG", 3, includes=["MID"], access=["COVER"]),
            build.an_operation("MID", 1, requires=["SMALL"], access=["COVER"]),
            build.an_operation("SMALL", "0.5", access=["COVER"]),
        ],
        findings=[build.a_finding("NOISY")],
        remedies=[build.a_remedy("REBUILT", ["NOISY"], ["BIG", "MID"])],
        extras=[build.an_extra("TUNED", ["SMALL"])],
        tiers=[build.a_tier("good")],
    )
    tier = build_quote(book, build.a_job(build.a_finding_on("NOISY"))).tiers[0]
    assert tier.dropped == ("MID", "SMALL")
    assert [(extra.extra, str(extra.at_most)) for extra in tier.extras] == [("TUNED", "50.00")]


@pytest.mark.parametrize("aim", ["lowest price", "least to own", "longest life"])
def test_the_name_of_a_finding_changes_no_choice(aim: str) -> None:
    """ONE fixes both needed findings; TWO fixes the second, and needs a watch finding fixed that it fixes itself."""
    chosen = []
    for second in ("A-SECOND", "Z-SECOND"):
        book = build.a_book(
            operations=[build.an_operation("FIRST", 1), build.an_operation("OTHER", 1)],
            findings=[build.a_finding("FOUND"), build.a_finding(second), build.a_finding("SEEN", "watch")],
            remedies=[
                build.a_remedy("ONE", ["FOUND", second], ["FIRST"]),
                build.a_remedy("TWO", [second, "SEEN"], ["OTHER"], needs_fixed=["SEEN"], life_years=9),
            ],
            tiers=[build.a_tier("good", aim=aim)],
        )
        found = [build.a_finding_on(code) for code in ("FOUND", second)]
        job = build.a_job(*found, build.a_finding_on("SEEN", severity="watch"))
        chosen.append([item.key for item in build_quote(book, job).tiers[0].items])
    assert chosen[0] == chosen[1]


def test_as_few_as_possible_are_left_of_what_the_tier_before_fixes() -> None:
    """A one-off line of the first tier fixes both; later NEW-SHAFT would keep NEW-BUSH from fitting: one is left."""
    book = build.a_book(
        operations=[build.an_operation("BUSHING", 1), build.an_operation("SHAFT", 1)],
        findings=[build.a_finding("WORN"), build.a_finding("THICK", limit="10", fails_when="above", as_new="5")],
        remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"]), build.a_remedy("NEW-SHAFT", ["THICK"], ["SHAFT"])],
        fits_only_if=[build.fits_only_if("NEW-BUSH", "THICK", "8")],
        tiers=[build.a_tier("good"), build.a_tier("better")],
    )
    found = [build.a_finding_on("WORN"), build.found(book, "THICK", measured="12")]
    job = build.a_job(*found, one_off=[build.a_one_off(fixes=["WORN", "THICK"], tiers=["good"])])
    assert len(build_quote(book, job).tiers[1].left) == 1
