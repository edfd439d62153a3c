"""Why each remedy was taken: the nearest alternative, what decided, and where there was nothing to decide."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given, settings

from quotekit.model.shop_book import Remedy, ShopBook
from quotekit.model.why import RemedyWhy, TierWhy
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests import build
from tests.random_jobs import Case, cases


def shop(aim: str, remedies: list[Remedy], **values: Any) -> ShopBook:
    """Operations of 50.00, 60.00 and 100.00; one tier."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("HALF", "0.5"),
            build.an_operation("SIX", "0.6"),
            build.an_operation("HOUR", 1),
        ],
        "findings": [build.a_finding("WORN", limit=10, fails_when="above"), build.a_finding("BENT")],
        "remedies": remedies,
        "tiers": [build.a_tier("good", aim=aim)],
    }
    return build.a_book(**(named | values))


def why(book: ShopBook, *codes: str, **job: Any) -> TierWhy:
    """The reasons of the first tier."""
    found = [build.a_finding_on(code) for code in codes or ("WORN",)]
    reasons = build_quote(book, build.a_job(*found, **job)).tiers[0].why
    assert reasons is not None
    return reasons


def only(reasons: TierWhy) -> RemedyWhy:
    (entry,) = reasons.remedies
    return entry


PATCH = build.a_remedy("PATCH", ["WORN"], ["HALF"], life_years=2)
SLEEVE = build.a_remedy("SLEEVE", ["WORN"], ["SIX"], life_years=3)
NEW = build.a_remedy("NEW", ["WORN"], ["HOUR"], life_years=9)


@pytest.mark.parametrize(
    ("aim", "taken", "instead", "today", "over_years", "decided"),
    [
        ("lowest price", "PATCH", "SLEEVE", "10.00", "-30.00", "lowest price"),
        ("least to own", "NEW", "SLEEVE", "-40.00", "20.00", "least to own"),
        ("longest life", "NEW", "SLEEVE", "-40.00", "20.00", "shortest life"),
    ],
)
def test_by_hand(aim: str, taken: str, instead: str, today: str, over_years: str, decided: str) -> None:
    """Over 5 years: PATCH 50 at 0, 2 and 4 is 150.00, SLEEVE 60 at 0 and 3 is 120.00, NEW 100.00."""
    entry = only(why(shop(aim, [PATCH, SLEEVE, NEW])))
    assert (entry.remedy.key, entry.standing, entry.choices, entry.fixes) == (taken, "compared", 3, ("WORN",))
    other = entry.alternative
    assert other is not None
    assert [one.key for one in other.takes] == [instead]
    assert [one.key for one in other.drops] == [taken]
    assert (str(other.difference), str(other.over_years), other.decided_by) == (today, over_years, decided)


@pytest.mark.parametrize(
    ("aim", "first", "second", "decided"),
    [
        ("lowest price", {}, {}, "codes"),
        ("lowest price", {}, {"operations": ("QUICK", "REST")}, "operations"),
        ("least to own", {}, {}, "codes"),
        ("least to own", {"life_years": D(9)}, {"life_years": D(9), "operations": ("SIX",)}, "least to own"),
        ("longest life", {}, {"operations": ("SIX",)}, "work"),
        ("longest life", {}, {"operations": ("QUICK", "REST")}, "operations"),
    ],
)
def test_the_rule_of_the_tie_is_named(aim: str, first: dict[str, Any], second: dict[str, Any], decided: str) -> None:
    """A and B are 50.00 each and last five years; QUICK and REST together are half an hour as well."""
    operations = [
        build.an_operation("HALF", "0.5"),
        build.an_operation("SIX", "0.6"),
        build.an_operation("QUICK", "0.2"),
        build.an_operation("REST", "0.3"),
    ]
    one, two = build.a_remedy("A", ["WORN"], ["HALF"]), build.a_remedy("B", ["WORN"], ["HALF"])
    book = shop(aim, [replace(one, **first), replace(two, **second)], operations=operations)
    entry = only(why(book))
    assert entry.remedy.key == "A"
    assert entry.alternative is not None
    assert entry.alternative.decided_by == decided


def test_lives_together_decide_where_the_shortest_is_the_same() -> None:
    """B's two years are the shortest either way; A lasts four or three."""
    remedies = [
        build.a_remedy("A4", ["WORN"], ["HOUR"], life_years=4),
        build.a_remedy("A3", ["WORN"], ["HALF"], life_years=3),
        build.a_remedy("B2", ["BENT"], ["SIX"], life_years=2),
    ]
    first, second = why(shop("longest life", remedies), "WORN", "BENT").remedies
    assert first.alternative is not None
    assert first.alternative.decided_by == "lives together"
    assert (first.alternative.figures.shortest_life, first.alternative.figures.lives_together) == (D(2), D(5))
    assert (second.standing, second.only_for) == ("the only one", ("BENT",))


def test_what_goes_together_is_told_together() -> None:
    """PATCH must not be fitted without BENT put right: CAP goes with it, and both give way to NEW."""
    remedies = [
        build.a_remedy("PATCH", ["WORN"], ["HALF"], needs_fixed=["BENT"]),
        build.a_remedy("CAP", ["BENT"], ["HALF"]),
        build.a_remedy("NEW", ["WORN"], ["HOUR"], parts="SHAFT"),
    ]
    book = shop("lowest price", remedies, parts=[build.a_part("SHAFT", 40)])
    book = replace(book, tiers=(build.a_tier("good", ["needed"]),))
    found = [build.a_finding_on("WORN"), build.a_finding_on("BENT", severity="advised")]
    tier = build_quote(book, build.a_job(*found)).tiers[0]
    assert tier.why is not None
    others = [entry.alternative for entry in tier.why.remedies]
    assert [entry.remedy.key for entry in tier.why.remedies] == ["CAP", "PATCH"]
    for other in others:
        assert other is not None
        assert ([one.key for one in other.takes], other.leaves) == (["NEW"], ("BENT",))
        assert [one.key for one in other.drops] == ["CAP", "PATCH"]


def test_a_blank_life_leaves_the_years_out() -> None:
    """A life that is not stated is no life of five years: nothing is said over the years."""
    entry = only(why(shop("lowest price", [PATCH, replace(NEW, life_years=None)])))
    assert entry.alternative is not None
    assert entry.alternative.over_years is None
    assert [one.key for one in entry.alternative.no_life] == ["NEW"]


def test_what_is_not_permitted_is_said_with_its_measurement() -> None:
    """PATCH fits up to 12 and it measures 13; where it has no measurement that is said."""
    book = shop("lowest price", [PATCH, NEW], fits_only_if=[build.fits_only_if("PATCH", "WORN", None, 12)])
    for measured, words in (("13", "WORN measures 13"), (None, "WORN has no measurement")):
        job = build.a_job(build.found(book, "WORN", measured=measured))
        reasons = build_quote(book, job).tiers[0].why
        assert reasons is not None
        entry = only(reasons)
        assert (entry.remedy.key, entry.standing, entry.only_for) == ("NEW", "the only one", ("WORN",))
        assert [one.remedy.key for one in entry.refused] == ["PATCH"]
        assert words in entry.refused[0].why


def test_a_remedy_whose_need_nothing_meets_is_refused_for_that() -> None:
    remedies = [build.a_remedy("PATCH", ["WORN"], ["HALF"], needs_fixed=["BENT"]), NEW]
    reasons = why(shop("lowest price", remedies), "WORN", "BENT")
    entry = next(one for one in reasons.remedies if one.remedy.key == "NEW")
    assert [one.why for one in entry.refused] == [
        "it must not be fitted without putting BENT right, and nothing that may be used does"
    ]


def test_a_remedy_for_what_the_tier_does_not_cover_is_not_refused() -> None:
    """NEW fixes BENT too, which is only advised: CAP, which fixes that alone, is simply not asked for."""
    remedies = [build.a_remedy("NEW", ["WORN", "BENT"], ["HOUR"]), build.a_remedy("CAP", ["BENT"], ["HALF"])]
    book = replace(shop("lowest price", remedies), tiers=(build.a_tier("good", ["needed"]),))
    found = [build.a_finding_on("WORN"), build.a_finding_on("BENT", severity="advised")]
    reasons = build_quote(book, build.a_job(*found)).tiers[0].why
    assert reasons is not None
    assert (only(reasons).refused, only(reasons).only_for) == ((), ("WORN",))


def test_what_would_be_needless_is_said() -> None:
    """SLEEVE needs BENT put right, and FRAME, which alone does that, fixes WORN as well."""
    remedies = [
        build.a_remedy("SLEEVE", ["WORN"], ["HALF"], needs_fixed=["BENT"]),
        build.a_remedy("FRAME", ["BENT", "WORN"], ["HOUR"]),
    ]
    entry = only(why(shop("lowest price", remedies), "WORN", "BENT"))
    assert [(one.remedy.key, one.why) for one in entry.refused] == [
        ("SLEEVE", "what would have to be taken with it makes it needless")
    ]


def test_a_planned_tier_is_the_technicians() -> None:
    reasons = why(shop("lowest price", [PATCH, NEW]), plan=[build.a_plan_item("good", "NEW")])
    entry = only(reasons)
    assert (reasons.planned, entry.remedy.key, entry.standing, entry.alternative) == (True, "NEW", "planned", None)
    assert entry.break_even == ()


def test_work_done_by_larger_work_is_told() -> None:
    """OVERHAUL includes HALF: PATCH stays, and its work is done anyway."""
    operations = [build.an_operation("HALF", "0.5"), build.an_operation("OVERHAUL", 2, includes=["HALF"])]
    remedies = [build.a_remedy("PATCH", ["WORN"], ["HALF"]), build.a_remedy("ALL", ["BENT"], ["OVERHAUL"])]
    reasons = why(shop("lowest price", remedies, operations=operations), "WORN", "BENT")
    assert {entry.remedy.key: entry.done_by_larger_work for entry in reasons.remedies} == {"ALL": False, "PATCH": True}


@given(cases())
@settings(max_examples=30)
def test_every_taken_remedy_has_one_entry_and_its_figures_are_those_of_the_quote(case: Case) -> None:
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    for tier in quote.tiers:
        assert tier.why is not None
        taken = [item.key for item in tier.items if item.kind == "remedy"]
        assert [entry.remedy.key for entry in tier.why.remedies] == sorted(taken)
        assert (tier.why.missing is None) == tier.offered
        if tier.why.figures is not None:
            assert (tier.why.figures.work, tier.why.figures.over_years) == (tier.work, tier.horizon_cost)
            assert tier.why.figures.operations == len(tier.operations)
        for entry in tier.why.remedies:
            other = entry.alternative
            assert (other is not None) == (entry.standing == "compared")
            if other is not None and tier.why.figures is not None:
                assert other.difference == other.figures.work - tier.work
                assert entry.remedy in other.drops
                assert not {one.key for one in other.takes} & set(taken)


def test_a_one_off_line_is_no_operation_of_a_choice() -> None:
    """The count is that of the tier's own list of operations; a one-off line is in every choice and decides nothing."""
    lines = [build.a_one_off(1, "labour", 1), build.a_one_off(2, "part", 1, unit_cost=10)]
    book = shop("lowest price", [PATCH, SLEEVE])
    priced = build_quote(book, build.a_job(build.a_finding_on("WORN"), one_off=lines)).tiers[0]
    assert priced.why is not None and priced.why.figures is not None
    assert priced.why.figures.operations == len(priced.operations) == 1
    other = only(priced.why).alternative
    assert other is not None and other.figures.operations == 1
