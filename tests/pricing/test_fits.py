"""Which remedies may be used on this machine, and what to measure or look at next (DESIGN.md 5.1 and 5.9).

A new bushing puts a loose one right and fits only while the shaft measures 18.9 to 19.1. A new shaft puts a worn
shaft right.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build


def a_shaft_book(*, as_new: str | None = "19", sided: bool = True, **values: Any) -> ShopBook:
    """A bushing that needs a good shaft."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("FIT-BUSHING", each_side=sided),
            build.an_operation("FIT-SHAFT", 2, each_side=sided),
        ],
        "findings": [
            build.a_finding("LOOSE"),
            build.a_finding("SHAFT", measure="Diameter", unit="mm", fails_when="below", limit="18.9", as_new=as_new),
        ],
        "remedies": [
            build.a_remedy("BUSHING", ["LOOSE"], ["FIT-BUSHING"]),
            build.a_remedy("NEW-SHAFT", ["SHAFT"], ["FIT-SHAFT"]),
        ],
        "fits_only_if": [build.fits_only_if("BUSHING", "SHAFT", "18.9", "19.1")],
        "tiers": [build.a_tier("good", covers=["needed"])],
    }
    return build.a_book(**(named | values))


def loose(side: str | None = "left") -> FoundFinding:
    """The bushing is loose."""
    return build.a_finding_on("LOOSE", side)


def quote_of(book: ShopBook, *findings: FoundFinding) -> Quote:
    """The quote of these findings."""
    return build_quote(book, build.a_job(*findings))


def refused(quote: Quote) -> list[tuple[str, str | None]]:
    """Remedies not permitted."""
    return [(entry.remedy, entry.side) for entry in quote.not_permitted]


def together(quote: Quote) -> list[tuple[str, str | None, tuple[str, ...]]]:
    """Remedies that fit only with another."""
    return [(entry.remedy, entry.side, entry.with_) for entry in quote.only_with]


def taken(quote: Quote) -> list[str]:
    """What the tier does."""
    return [item.key for item in quote.tiers[0].items]


@pytest.mark.parametrize(
    ("limits", "measured", "fits"),
    [
        (("18.9", "19.1"), "18.9", True),
        (("18.9", "19.1"), "19.1", True),
        (("18.9", "19.1"), "19.11", False),
        (("18.9", None), "25", True),
        (("18.95", None), "18.94", False),
        ((None, "19.1"), "18.9", True),
        ((None, "19.1"), "19.2", False),
    ],
)
def test_a_remedy_fits_within_its_limit_as_measured(
    limits: tuple[str | None, str | None], measured: str, fits: bool
) -> None:
    """Ends are included, blank is open. The shaft is no fault here: nothing could put it right."""
    book = a_shaft_book(fits_only_if=[build.fits_only_if("BUSHING", "SHAFT", *limits)])
    quote = quote_of(book, loose(), build.found(book, "SHAFT", "left", measured))
    assert taken(quote) == (["BUSHING@left"] if fits else [])
    assert refused(quote) == ([] if fits else [("BUSHING", "left")])


def test_several_rows_must_all_hold() -> None:
    """19.05 passes the first row and not the second."""
    limits = [build.fits_only_if("BUSHING", "SHAFT", "18.9"), build.fits_only_if("BUSHING", "SHAFT", None, "19")]
    book = a_shaft_book(fits_only_if=limits)
    assert refused(quote_of(book, loose(), build.found(book, "SHAFT", "left", "19.05"))) == [("BUSHING", "left")]


@pytest.mark.parametrize(
    ("as_new", "fits"), [("19", True), (None, True), ("18.9", True), ("20", False), ("18.89", False)]
)
def test_what_another_remedy_puts_right_counts_as_new(as_new: str | None, fits: bool) -> None:
    """A worn shaft, measured 18.5, made new: its as-new value counts, and no value stated fits."""
    book = a_shaft_book(as_new=as_new)
    quote = quote_of(book, loose(), build.found(book, "SHAFT", "left", "18.5"))
    assert taken(quote) == (["BUSHING@left", "NEW-SHAFT@left"] if fits else ["NEW-SHAFT@left"])
    assert together(quote) == ([("BUSHING", "left", ("NEW-SHAFT@left",))] if fits else [])
    assert refused(quote) == ([] if fits else [("BUSHING", "left")])


def test_a_fault_the_remedy_fixes_itself_counts_as_measured() -> None:
    """Only another item makes the shaft new before the bushing goes on."""
    book = a_shaft_book(
        remedies=[build.a_remedy("BUSHING", ["LOOSE", "SHAFT"], ["FIT-BUSHING"])],
    )
    quote = quote_of(book, loose(), build.found(book, "SHAFT", "left", "18.5"))
    assert (taken(quote), refused(quote), together(quote)) == ([], [("BUSHING", "left")], [])


def test_a_limit_that_fails_calls_for_the_repair_whatever_its_severity() -> None:
    """The shaft is advised and the tier covers only needed: it must be made new for the bushing all the same."""
    book = a_shaft_book()
    worn = build.a_finding_on("SHAFT", "left", severity="advised", measured="18.5", as_new="19")
    assert taken(quote_of(book, loose(), worn)) == ["BUSHING@left", "NEW-SHAFT@left"]


def test_the_other_side_neither_helps_nor_hinders() -> None:
    """The left shaft measures 19 and fits, the right one 18.5 and is made new."""
    book = a_shaft_book()
    left, right = build.found(book, "SHAFT", "left", "19"), build.found(book, "SHAFT", "right", "18.5")
    quote = quote_of(book, loose("left"), loose("right"), left, right)
    assert taken(quote) == ["BUSHING@left", "BUSHING@right", "NEW-SHAFT@right"]
    assert together(quote) == [("BUSHING", "right", ("NEW-SHAFT@right",))]


def test_a_measurement_of_the_other_side_is_none_of_this_side() -> None:
    """The right shaft was measured, the left was not."""
    book = a_shaft_book()
    quote = quote_of(book, loose("left"), build.found(book, "SHAFT", "right", "19"))
    assert (taken(quote), refused(quote), quote.measure_next) == ([], [("BUSHING", "left")], ("SHAFT@left",))


@pytest.mark.parametrize(("right", "fits"), [("19", True), ("18.91", False)])
def test_an_unsided_remedy_must_fit_at_every_recorded_side(right: str, fits: bool) -> None:
    """Work done once for both sides, limits 18.95 to 19.1."""
    book = a_shaft_book(sided=False, fits_only_if=[build.fits_only_if("BUSHING", "SHAFT", "18.95", "19.1")])
    sides = build.found(book, "SHAFT", "left", "19"), build.found(book, "SHAFT", "right", right)
    assert taken(quote_of(book, loose(None), *sides)) == (["BUSHING"] if fits else [])


@pytest.mark.parametrize(("measured", "fits"), [("19", True), ("19.2", False)])
def test_an_unsided_measurement_counts_on_every_side(measured: str, fits: bool) -> None:
    """One shaft runs through both sides."""
    book = a_shaft_book()
    quote = quote_of(book, loose("left"), loose("right"), build.found(book, "SHAFT", None, measured))
    assert taken(quote) == (["BUSHING@left", "BUSHING@right"] if fits else [])


@pytest.mark.parametrize(
    ("shaft", "asked"),
    [
        (None, ("SHAFT@left",)),
        (build.a_finding_on("SHAFT", "left", severity="watch"), ("SHAFT@left",)),
        (build.a_finding_on("SHAFT", None, severity="watch"), ("SHAFT",)),
    ],
)
def test_a_limit_without_a_measurement_does_not_permit(shaft: FoundFinding | None, asked: tuple[str, ...]) -> None:
    """Not recorded, or recorded by eye: without a figure the bushing may not be used, and the sheet asks for it."""
    book = a_shaft_book(remedies=[build.a_remedy("BUSHING", ["LOOSE"], ["FIT-BUSHING"])])
    quote = quote_of(book, loose(), *([shaft] if shaft else []))
    assert (taken(quote), refused(quote), quote.measure_next) == ([], [("BUSHING", "left")], asked)


def test_a_shaft_judged_bad_without_a_figure_is_made_new() -> None:
    """The new shaft is known to fit, and the measurement is still asked for."""
    book = a_shaft_book()
    quote = quote_of(book, loose(), build.found(book, "SHAFT", "left"))
    assert taken(quote) == ["BUSHING@left", "NEW-SHAFT@left"]
    assert quote.measure_next == ("SHAFT@left",)


def test_nothing_is_asked_for_a_remedy_that_fixes_no_fault() -> None:
    """Only candidates of this job are listed."""
    book = a_shaft_book()
    quote = quote_of(book, build.a_finding_on("SHAFT", "left"))
    assert (refused(quote), quote.measure_next) == ([], ())


def test_the_reason_names_the_limit_and_the_measurement() -> None:
    """What the shop reads on the costing."""
    book = a_shaft_book()
    quote = quote_of(book, loose(), build.found(book, "SHAFT", "left", "19.2"))
    assert quote.not_permitted[0].why == "it fits only with Shaft from 18.9 to 19.1, and SHAFT@left measures 19.2"


@pytest.mark.parametrize(
    ("recorded", "asked"),
    [
        ([build.a_finding_on("LOOSE", "left", also_check=("SEAL", "SHAFT"))], ("SEAL", "SHAFT")),
        ([build.a_finding_on("LOOSE", "left", also_check=("SHAFT",)), build.a_finding_on("SHAFT", "right")], ()),
        ([build.a_finding_on("LOOSE", "left", also_check=("SHAFT",), fault=False, severity="watch")], ()),
    ],
)
def test_look_next(recorded: list[FoundFinding], asked: tuple[str, ...]) -> None:
    """What a recorded fault says to check also and the job lacks on every side; a passing finding asks nothing."""
    assert quote_of(a_shaft_book(), *recorded).look_next == asked
