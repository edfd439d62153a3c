"""Limits of fit where several remedies, sides and severities meet (DESIGN.md 5.7 and 5.9).

A new bushing puts a loose one right and fits only while the shaft measures 18.9 to 19.1.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of


def a_shaft_book(*, sided: bool = True, **values: Any) -> ShopBook:
    """A bushing that needs a good shaft, and a new shaft of 19."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("FIT-BUSHING", each_side=sided),
            build.an_operation("FIT-SHAFT", 2, each_side=sided),
        ],
        "findings": [
            build.a_finding("LOOSE"),
            build.a_finding("SHAFT", measure="Diameter", unit="mm", fails_when="below", limit="18.9", as_new="19"),
        ],
        "remedies": [
            build.a_remedy("BUSHING", ["LOOSE"], ["FIT-BUSHING"]),
            build.a_remedy("NEW-SHAFT", ["SHAFT"], ["FIT-SHAFT"]),
        ],
        "fits_only_if": [build.fits_only_if("BUSHING", "SHAFT", "18.9", "19.1")],
        "tiers": [build.a_tier("good", covers=["needed"])],
    }
    return build.a_book(**(named | values))


def loose(side: str | None) -> FoundFinding:
    """The bushing is loose."""
    return build.a_finding_on("LOOSE", side)


def taken(quote: Quote) -> list[str]:
    """What the first tier does."""
    return keys_of(quote.tiers[0])


def test_a_fault_the_remedy_fixes_itself_counts_as_measured() -> None:
    """Only another item makes the shaft good before the bushing goes on."""
    book = a_shaft_book(remedies=[build.a_remedy("BUSHING", ["LOOSE", "SHAFT"], ["FIT-BUSHING"])])
    quote = build_quote(book, build.a_job(loose("left"), build.found(book, "SHAFT", "left", "18.5")))
    assert (taken(quote), [entry.remedy for entry in quote.not_permitted]) == ([], ["BUSHING"])


@pytest.mark.parametrize(("measured", "fits"), [("19", True), ("19.2", False)])
def test_a_measurement_without_a_side_counts_on_every_side(measured: str, fits: bool) -> None:
    """One shaft runs through both sides."""
    book = a_shaft_book()
    job = build.a_job(loose("left"), loose("right"), build.found(book, "SHAFT", None, measured))
    assert taken(build_quote(book, job)) == (["BUSHING@left", "BUSHING@right"] if fits else [])


def test_one_side_fits_as_measured_and_the_other_with_a_new_shaft() -> None:
    """The left shaft measures 19, the right one 18.5 and is made new."""
    book = a_shaft_book()
    left, right = build.found(book, "SHAFT", "left", "19"), build.found(book, "SHAFT", "right", "18.5")
    quote = build_quote(book, build.a_job(loose("left"), loose("right"), left, right))
    assert taken(quote) == ["BUSHING@left", "BUSHING@right", "NEW-SHAFT@right"]
    assert [(entry.remedy, entry.side, entry.with_) for entry in quote.only_with] == [
        ("BUSHING", "right", ("NEW-SHAFT@right",))
    ]


def test_a_limit_that_fails_calls_for_the_repair_whatever_its_severity() -> None:
    """The shaft is only advised and the tier covers needed: it must be made new for the bushing all the same."""
    worn = build.a_finding_on("SHAFT", "left", severity="advised", measured="18.5", as_new="19")
    quote = build_quote(a_shaft_book(), build.a_job(loose("left"), worn))
    assert taken(quote) == ["BUSHING@left", "NEW-SHAFT@left"]


def a_book_that_cannot_fix_both(*tiers: Any) -> ShopBook:
    """A for ONE fits only while GAP is as wide as it is; B closes the gap to 1, which A does not fit."""
    return build.a_book(
        operations=[build.an_operation("WORK")],
        findings=[build.a_finding("ONE"), build.a_finding("GAP")],
        remedies=[build.a_remedy("A", ["ONE"], ["WORK"]), build.a_remedy("B", ["GAP"], ["WORK"])],
        fits_only_if=[build.fits_only_if("A", "GAP", "2")],
        tiers=list(tiers),
    )


@pytest.mark.parametrize(
    ("one", "gap", "items", "compared"),
    [
        ("needed", "advised", ["A"], 1),
        ("needed", "safety", ["B"], 1),
        ("advised", "needed", ["B"], 1),
        ("needed", "needed", ["A"], 2),
    ],
)
def test_where_not_all_can_be_fixed_the_least_severe_is_left(
    one: str, gap: str, items: list[str], compared: int
) -> None:
    """Where they are equally severe both choices are compared, and the code decides; the rest is warned of."""
    found = build.a_finding_on("GAP", severity=gap, measured="3", as_new="1")
    book = a_book_that_cannot_fix_both(build.a_tier("all", ["safety", "needed", "advised"]))
    quote = build_quote(book, build.a_job(build.a_finding_on("ONE", severity=one), found))
    assert (taken(quote), quote.tiers[0].compared) == (items, compared)
    assert "no-permitted-remedy" in {problem.code for problem in quote.problems}


def test_what_the_tier_before_fixes_is_kept_though_it_is_less_severe() -> None:
    """`first` covers advised and closes the gap; `second` covers needed too, and may not open it again."""
    book = a_book_that_cannot_fix_both(build.a_tier("first", ["advised"]), build.a_tier("second", ["needed"]))
    gap = build.a_finding_on("GAP", severity="advised", measured="3", as_new="1")
    quote = build_quote(book, build.a_job(build.a_finding_on("ONE"), gap))
    assert [keys_of(tier) for tier in quote.tiers] == [["B"], ["B"]]
