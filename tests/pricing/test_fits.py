"""Which remedies may be used: Fits only if, Needs fixed, what to measure or look at next (DESIGN.md 5.1, 5.9)."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import FoundFinding
from quotekit.model.quote import Quote
from quotekit.model.shop_book import FitsOnlyIf, ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.fits import Check
from tests import build
from tests.pricing.priced import keys_of


@pytest.mark.parametrize(
    ("from_", "to", "measured", "fits"),
    [
        ("19", "20", "19", True),
        ("19", "20", "20", True),
        ("19", "20", "18.99", False),
        ("19", "20", "20.01", False),
        (None, "20", "-5", True),
        ("19", None, "1000", True),
        (None, None, "7", True),
        ("19", "20", None, False),
    ],
)
def test_the_ends_are_included_and_blank_is_open(
    from_: str | None, to: str | None, measured: str | None, fits: bool
) -> None:
    """Without a measurement it does not fit, whatever the limit."""
    record = build.a_finding_on("THIN", measured=measured)
    assert Check(build.fits_only_if("BUSH", "THIN", from_, to), record).fits_as_measured is fits


@pytest.mark.parametrize(("as_new", "fits"), [(None, True), ("20", True), ("21", False)])
def test_as_new_counts_where_the_finding_is_put_right_and_blank_fits(as_new: str | None, fits: bool) -> None:
    record = build.a_finding_on("THIN", as_new=as_new, measured="5")
    assert Check(build.fits_only_if("BUSH", "THIN", "19", "20"), record).fits_as_new is fits


def test_a_finding_the_job_lacks_fits_neither_way() -> None:
    check = Check(build.fits_only_if("BUSH", "THIN", "19"), None)
    assert not check.fits_as_measured
    assert not check.fits_as_new


def shop(*limits: FitsOnlyIf, **values: Any) -> ShopBook:
    """A bushing that is worn and a shaft that is too thin below 19; new it has 20. Both are done each side."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("BUSH", 1, each_side=True), build.an_operation("SHAFT", 2, each_side=True)],
        "findings": [
            build.a_finding("WORN", also_check=["THIN", "LOOSE"]),
            build.a_finding("THIN", "advised", unit="mm", fails_when="below", limit="19", as_new="20"),
            build.a_finding("LOOSE"),
        ],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"]),
            build.a_remedy("NEW-SHAFT", ["THIN"], ["SHAFT"]),
        ],
        "fits_only_if": list(limits),
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


LIMIT = build.fits_only_if("NEW-BUSH", "THIN", "18.5", "20")


def quoted(book: ShopBook, *findings: FoundFinding, **job: Any) -> Quote:
    return build_quote(book, build.a_job(*findings, **job))


@pytest.mark.parametrize(
    ("measured", "items"),
    [
        ("18.4", ["NEW-BUSH@left", "NEW-SHAFT@left"]),
        ("18.5", ["NEW-BUSH@left"]),
        ("18.9", ["NEW-BUSH@left"]),
        ("19.5", ["NEW-BUSH@left"]),
        ("20.5", []),
    ],
)
def test_a_bushing_fits_an_old_shaft_within_limits_or_a_new_one(measured: str, items: list[str]) -> None:
    """18.4 is a fault and does not fit: the new shaft comes with it. 20.5 is no fault: nothing can make it fit."""
    book = shop(LIMIT)
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", measured))
    assert keys_of(quote.tiers[0]) == items


def test_it_is_listed_as_only_with_the_new_shaft() -> None:
    book = shop(LIMIT)
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"))
    assert [(one.remedy, one.side, one.with_) for one in quote.only_with] == [("NEW-BUSH", "left", ("NEW-SHAFT@left",))]
    assert quote.not_permitted == ()


def test_it_is_not_permitted_where_nothing_helps() -> None:
    """No remedy for a thin shaft in the book: the reason names what was measured."""
    book = shop(LIMIT, remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])])
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"))
    ((remedy, side, why),) = [(one.remedy, one.side, one.why) for one in quote.not_permitted]
    assert (remedy, side) == ("NEW-BUSH", "left")
    assert why == "it fits only with Thin from 18.5 to 20, and THIN@left measures 18"
    assert keys_of(quote.tiers[0]) == []


def test_a_new_part_that_does_not_fit_helps_nobody() -> None:
    """New, the shaft has 21: the bushing fits neither as measured nor as new."""
    thin = build.a_finding("THIN", fails_when="below", limit="19", as_new="21")
    book = shop(LIMIT, findings=[build.a_finding("WORN"), thin])
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"))
    assert [one.remedy for one in quote.not_permitted] == ["NEW-BUSH"]
    assert quote.only_with == ()


def test_a_remedy_is_no_helper_of_itself() -> None:
    """One remedy renews bushing and shaft, and asks for a good shaft: it is not permitted, not `only with` itself."""
    both = build.a_remedy("BOTH", ["WORN", "THIN"], ["BUSH"])
    book = shop(build.fits_only_if("BOTH", "THIN", "18.5", "20"), remedies=[both])
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"))
    assert [one.remedy for one in quote.not_permitted] == ["BOTH"]
    assert quote.only_with == ()


def test_a_helper_must_fit_as_measured_itself() -> None:
    """The new shaft has a limit of its own that is not met."""
    book = shop(LIMIT, build.fits_only_if("NEW-SHAFT", "LOOSE", "1"))
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"))
    assert [one.remedy for one in quote.not_permitted] == ["NEW-BUSH", "NEW-SHAFT"]
    assert quote.measure_next == ("LOOSE@left",)


def test_other_sides_do_not_matter() -> None:
    """The right shaft is far too thin; the left bushing looks at the left shaft."""
    book = shop(LIMIT)
    left, right = build.found(book, "THIN", "left", "19.5"), build.found(book, "THIN", "right", "10")
    quote = quoted(book, build.a_finding_on("WORN", "left"), left, right)
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left"]


def test_a_remedy_without_a_side_looks_at_every_recorded_side() -> None:
    book = shop(LIMIT, operations=[build.an_operation("BUSH"), build.an_operation("SHAFT", each_side=True)])
    left, right = build.found(book, "THIN", "left", "19.5"), build.found(book, "THIN", "right", "10")
    quote = quoted(book, build.a_finding_on("WORN"), left, right)
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH", "NEW-SHAFT@right"]


def test_several_rows_must_all_hold() -> None:
    other = build.a_finding("BENT", "watch", fails_when="above", limit="5")
    book = shop(
        LIMIT,
        build.fits_only_if("NEW-BUSH", "BENT", None, "2"),
        findings=[*shop().findings.values(), other],
    )
    thin, bent = build.found(book, "THIN", "left", "19.5"), build.found(book, "BENT", "left", "3")
    quote = quoted(book, build.a_finding_on("WORN", "left"), thin, bent)
    assert keys_of(quote.tiers[0]) == []
    assert [one.why for one in quote.not_permitted] == ["it fits only with Bent up to 2, and BENT@left measures 3"]


def test_a_limit_without_a_measurement_asks_for_it() -> None:
    """Neither recorded nor measured: it is not permitted, and the technician is asked with the side."""
    quote = quoted(shop(LIMIT), build.a_finding_on("WORN", "left"))
    assert quote.measure_next == ("THIN@left",)
    assert [one.why for one in quote.not_permitted] == [
        "it fits only with THIN from 18.5 to 20, which is not measured on this job"
    ]


def test_recorded_without_a_measurement_is_asked_for_too() -> None:
    """A judged fault: with a new shaft it would fit, and a measurement may show that it fits the old one."""
    book = shop(LIMIT)
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left"))
    assert quote.measure_next == ("THIN@left",)
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left", "NEW-SHAFT@left"]


def test_nothing_is_asked_for_remedies_of_what_is_sound() -> None:
    assert quoted(shop(LIMIT), build.a_finding_on("LOOSE")).measure_next == ()


@pytest.mark.parametrize(
    ("recorded", "expected"), [([], ("LOOSE", "THIN")), (["LOOSE"], ("THIN",)), (["LOOSE", "THIN"], ())]
)
def test_what_recorded_faults_say_to_check_also(recorded: list[str], expected: tuple[str, ...]) -> None:
    book = shop()
    found = [build.found(book, code, "left") for code in ["WORN", *recorded]]
    assert quoted(book, *found).look_next == expected


def test_a_finding_that_passes_asks_for_nothing() -> None:
    """Worn within its limit: watch, and no chain to follow."""
    book = shop(
        findings=[
            build.a_finding("WORN", fails_when="above", limit="1", also_check=["LOOSE"]),
            build.a_finding("LOOSE"),
        ]
    )
    assert quoted(book, build.found(book, "WORN", "left", "0.5")).look_next == ()


@pytest.mark.parametrize(
    ("thin_side", "items"),
    [("left", ["NEW-BUSH@left", "NEW-SHAFT@left"]), ("right", ["NEW-BUSH@left"])],
)
def test_needs_fixed_looks_at_the_same_side(thin_side: str, items: list[str]) -> None:
    """A thin shaft must not keep its bushing new: on the same side, whatever its severity."""
    remedies = [
        build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], needs_fixed=["THIN"]),
        build.a_remedy("NEW-SHAFT", ["THIN"], ["SHAFT"]),
    ]
    book = shop(remedies=remedies)
    thin = build.a_finding_on("THIN", thin_side, severity="watch")
    assert keys_of(quoted(book, build.a_finding_on("WORN", "left"), thin).tiers[0]) == items


def test_needs_fixed_where_it_is_no_fault_needs_nothing() -> None:
    remedies = [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], needs_fixed=["THIN"])]
    book = shop(remedies=remedies)
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "19.5"))
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left"]


def test_what_it_needs_may_need_something_itself() -> None:
    """The bushing needs the shaft, the shaft needs the frame."""
    remedies = [
        build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], needs_fixed=["THIN"]),
        build.a_remedy("NEW-SHAFT", ["THIN"], ["SHAFT"], needs_fixed=["LOOSE"]),
        build.a_remedy("TIGHT", ["LOOSE"], ["FRAME"]),
    ]
    book = shop(remedies=remedies, operations=[*shop().operations.values(), build.an_operation("FRAME")])
    found = [
        build.a_finding_on(code, "left", severity=severity)
        for code, severity in [("WORN", "needed"), ("THIN", "watch"), ("LOOSE", "watch")]
    ]
    tier = quoted(book, *found).tiers[0]
    assert keys_of(tier) == ["NEW-BUSH@left", "NEW-SHAFT@left", "TIGHT"]
    assert tier.fixed == ("LOOSE@left", "THIN@left", "WORN@left")


def test_what_it_needs_cannot_be_fixed_so_it_is_not_used() -> None:
    remedies = [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], needs_fixed=["THIN"])]
    quote = quoted(shop(remedies=remedies), build.a_finding_on("WORN", "left"), build.a_finding_on("THIN", "left"))
    assert keys_of(quote.tiers[0]) == []


def test_a_sided_remedy_needs_a_finding_with_a_side() -> None:
    assert keys_of(quoted(shop(), build.a_finding_on("WORN")).tiers[0]) == []


def test_a_one_off_line_may_put_the_limit_right() -> None:
    """The technician turns the shaft as a one-off: the bushing then fits by the as-new value."""
    book = shop(LIMIT, remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])])
    line = build.a_one_off(1, "labour", 1, fixes=["THIN"])
    quote = quoted(book, build.a_finding_on("WORN", "left"), build.found(book, "THIN", "left", "18"), one_off=[line])
    assert keys_of(quote.tiers[0]) == ["NEW-BUSH@left", "ONEOFF-1"]
