"""Tiers from least to most, and why one is not offered (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of


def shop(**values: Any) -> ShopBook:
    """A worn bushing (needed): repair 0.5 hours and 2 years, upgrade 1 hour and 9 years. A frayed belt (advised)."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("SLEEVE", "0.5"),
            build.an_operation("STEEL", 1),
            build.an_operation("BELT", "0.4"),
            build.an_operation("BRAKE", "0.8"),
        ],
        "findings": [
            build.a_finding("WORN"),
            build.a_finding("FRAYED", "advised"),
            build.a_finding("BRAKE", "safety"),
            build.a_finding("SCUFF", "watch"),
        ],
        "remedies": [
            build.a_remedy("SLEEVED", ["WORN"], ["SLEEVE"], kind="repair", life_years=2),
            build.a_remedy("STEELED", ["WORN"], ["STEEL"], kind="upgrade", life_years=9),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], life_years=4),
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["BRAKE"], life_years=6),
        ],
    }
    return build.a_book(**(named | values))


SEVERITY: dict[str, Any] = {"WORN": "needed", "FRAYED": "advised", "BRAKE": "safety", "SCUFF": "watch"}


def tiers(book: ShopBook, *codes: str, **job: Any) -> list[PricedTier]:
    found = [build.a_finding_on(code, severity=SEVERITY[code]) for code in codes]
    return list(build_quote(book, build.a_job(*found, **job)).tiers)


def reasons(found: list[PricedTier]) -> dict[str, str | None]:
    return {tier.code: tier.reason for tier in found}


def test_each_tier_covers_its_severities_and_what_the_tier_before_fixes() -> None:
    """Good mends for least, better adds the belt and owns for least, best lasts longest.

    Better: 50 now and 50 in years 2 and 4, or 100 once: steel. So best is the same work.
    """
    good, better, best = tiers(shop(), "WORN", "FRAYED", "SCUFF")
    assert keys_of(good) == ["SLEEVED"]
    assert keys_of(better) == ["NEW-BELT", "STEELED"]
    assert (good.fixed, good.left) == (("WORN",), ("FRAYED", "SCUFF"))
    assert (better.fixed, better.left) == (("FRAYED", "WORN"), ("SCUFF",))
    assert reasons([good, better, best]) == {
        "good": None,
        "better": None,
        "best": "it is the same work as Put right and prevent",
    }


def test_a_tier_with_nothing_to_do_is_not_offered() -> None:
    assert reasons(tiers(shop(), "SCUFF")) == dict.fromkeys(["good", "better", "best"], "there is nothing to do in it")


def test_the_first_tier_has_nothing_to_do_and_the_second_has() -> None:
    good, better, _ = tiers(shop(), "FRAYED")
    assert (good.offered, better.offered) == (False, True)


def test_a_tier_that_leaves_a_safety_finding_is_not_offered() -> None:
    """No remedy for the brake in the book: no option at all."""
    remedies = [remedy for remedy in shop().remedies.values() if remedy.code != "NEW-BRAKE"]
    found = tiers(shop(remedies=remedies), "WORN", "BRAKE")
    assert all(tier.reason == "it would leave a safety finding: BRAKE" for tier in found)
    assert found[0].safety_left == ("BRAKE",)
    assert str(found[0].work) == "50.00", "it still carries its numbers"


def test_the_same_work_is_the_same_operations_parts_and_one_off_lines() -> None:
    """One line only in the second tier makes it another tier."""
    found = tiers(shop(), "WORN", one_off=[build.a_one_off(1, "charge", 1, unit_price=5, tiers=["best"])])
    assert found[2].reason != "it is the same work as Put right and prevent"


def test_a_tier_that_repeats_the_first_is_not_offered() -> None:
    """Sleeve 50, steel 100 that lasts to the horizon, then the sleeve again: two options, not three."""
    rows = [
        build.a_tier("good"),
        build.a_tier("better", aim="least to own"),
        build.a_tier("last", aim="lowest price"),
    ]
    found = tiers(shop(tiers=rows), "WORN")
    assert [keys_of(tier) for tier in found] == [["SLEEVED"], ["STEELED"], ["SLEEVED"]]
    assert reasons(found) == {"good": None, "better": None, "last": "it is the same work as Good"}


def test_a_dominated_tier_is_not_offered() -> None:
    """Good is a sleeve: 50. Better is planned: the same sleeve and brake work that nothing calls for, 130.

    Best is steel: 100, and lasts to the horizon.
    """
    plan = [build.a_plan_item("better", "SLEEVED"), build.a_plan_item("better", "BRAKE")]
    good, better, best = tiers(shop(), "WORN", plan=plan)
    assert [str(tier.work) for tier in (good, better, best)] == ["50.00", "130.00", "100.00"]
    assert better.reason == "Put right costs no more, fixes no less, lasts no less and is ready no later"
    assert best.offered


def test_a_dearer_tier_that_lasts_longer_stands() -> None:
    good, better, _ = tiers(shop(), "WORN")
    assert [str(tier.work) for tier in (good, better)] == ["50.00", "100.00"]
    assert good.offered
    assert better.offered


def test_lives_are_compared_up_to_the_horizon() -> None:
    """Over two years the sleeve lasts as long: steel at twice the price is not offered for longest life."""
    found = tiers(
        shop(tiers=[build.a_tier("good"), build.a_tier("best", aim="longest life")]), "WORN", years_to_compare=2
    )
    assert keys_of(found[1]) == ["SLEEVED"]


@pytest.mark.parametrize(("lead", "offered"), [(3, True), (0, False), (None, True)])
def test_a_dearer_tier_may_stand_because_it_is_ready_sooner(lead: int | None, offered: bool) -> None:
    """The cheap tier waits for a part, the dear one takes shelf stock; an unknown lead is later than any."""
    book = shop(
        operations=[build.an_operation("ONE", "0.5", parts="SLOW"), build.an_operation("TWO", "0.6", parts="QUICK")],
        parts=[build.a_part("SLOW", 1, supplier="FAR", lead_days=lead), build.a_part("QUICK", 1, supplier="SHELF")],
        suppliers=[build.a_supplier("FAR", lead_days=None), build.a_supplier("SHELF", shelf=True)],
        remedies=[build.a_remedy("FIRST", ["WORN"], ["ONE"]), build.a_remedy("SECOND", ["WORN"], ["TWO"])],
        tiers=[build.a_tier("good"), build.a_tier("better")],
    )
    good, better = tiers(book, "WORN", plan=[build.a_plan_item("better", "SECOND")])
    assert (good.ready_days, better.ready_days) == (lead, 0)
    assert better.offered is offered


def test_two_tiers_that_differ_in_nothing_that_counts_both_stand() -> None:
    """The same price, life and day by other work: neither is better in at least one."""
    book = shop(
        operations=[build.an_operation("ONE", 1), build.an_operation("TWO", 1)],
        remedies=[build.a_remedy("FIRST", ["WORN"], ["ONE"]), build.a_remedy("SECOND", ["WORN"], ["TWO"])],
        tiers=[build.a_tier("good"), build.a_tier("better")],
    )
    good, better = tiers(book, "WORN", plan=[build.a_plan_item("better", "SECOND")])
    assert (good.offered, better.offered) == (True, True)


@pytest.mark.parametrize(
    ("lives", "offered"), [((3, 4), [False, True]), ((4, 3), [True, False]), ((6, 9), [True, True])]
)
def test_at_the_same_price_the_longer_life_dominates(lives: tuple[int, int], offered: list[bool]) -> None:
    """Up to the horizon of five years."""
    book = shop(
        operations=[build.an_operation("ONE", 1), build.an_operation("TWO", 1)],
        remedies=[
            build.a_remedy("FIRST", ["WORN"], ["ONE"], life_years=lives[0]),
            build.a_remedy("SECOND", ["WORN"], ["TWO"], life_years=lives[1]),
        ],
        tiers=[build.a_tier("good"), build.a_tier("better")],
    )
    found = tiers(book, "WORN", plan=[build.a_plan_item("better", "SECOND")])
    assert [tier.offered for tier in found] == offered


def test_a_life_not_stated_refuses_the_tier_and_names_the_cell() -> None:
    """The technician fills in M7 of Remedies; the tier by price is not touched, and the next stands on good."""
    source = Source(file="book.xlsx", sheet="Remedies", row=7, columns={"Code": "A", "Life years": "M"})
    remedies = [
        build.a_remedy("SLEEVED", ["WORN"], ["SLEEVE"], life_years=None, source=source),
        build.a_remedy("STEELED", ["WORN"], ["STEEL"], life_years=9),
    ]
    good, better, best = tiers(shop(remedies=remedies), "WORN")
    assert keys_of(good) == ["SLEEVED"]
    assert (
        better.reason
        == best.reason
        == "it has to choose over years and Sleeved has no Life years (book.xlsx:Remedies!M7)"
    )
    assert not better.priced


def test_a_life_not_stated_is_the_horizon_where_there_is_no_choice() -> None:
    """One remedy only: it is taken to last the horizon, and on paper its life is not stated."""
    remedies = [build.a_remedy("SLEEVED", ["WORN"], ["SLEEVE"], life_years=None)]
    good, better, best = tiers(shop(remedies=remedies), "WORN")
    assert [tier.priced for tier in (good, better, best)] == [True, True, True]
    assert dict(good.lives) == {"WORN": None}
    assert str(good.horizon_cost) == "50.00"


def test_the_tier_before_is_the_nearest_that_could_be_worked_out() -> None:
    """Better has no life to choose by; best covers what good fixes."""
    remedies = [
        build.a_remedy("SLEEVED", ["WORN"], ["SLEEVE"], life_years=2),
        build.a_remedy("ONE", ["FRAYED"], ["BELT"], life_years=None),
        build.a_remedy("TWO", ["FRAYED"], ["STEEL"], life_years=None),
    ]
    rows = [
        build.a_tier("good"),
        build.a_tier("better", ["safety", "advised"], "least to own"),
        build.a_tier("best", ["safety"], "lowest price"),
    ]
    good, better, best = tiers(shop(remedies=remedies, tiers=rows), "WORN", "FRAYED")
    assert not better.priced
    assert keys_of(best) == keys_of(good) == ["SLEEVED"]
    assert best.reason == "it is the same work as Good"


def test_the_tier_before_counts_even_if_it_is_not_offered() -> None:
    """Good leaves the brake, which has no remedy there but a one-off line in better: better still fixes the bushing."""
    remedies = [remedy for remedy in shop().remedies.values() if remedy.code != "NEW-BRAKE"]
    line = build.a_one_off(1, "labour", 1, fixes=["BRAKE"], tiers=["better"])
    rows = [build.a_tier("good"), build.a_tier("better", ["safety"])]
    good, better = tiers(shop(remedies=remedies, tiers=rows), "WORN", "BRAKE", one_off=[line])
    assert not good.offered
    assert keys_of(better) == ["ONEOFF-1", "SLEEVED"]
    assert better.offered


def test_one_tier_alone_is_a_normal_answer() -> None:
    (good,) = tiers(shop(tiers=[build.a_tier("only")]), "WORN")
    assert (good.code, good.offered) == ("only", True)


def test_a_covered_finding_below_safety_with_no_remedy_is_left() -> None:
    good, *_ = tiers(shop(remedies=[shop().remedies["SLEEVED"]]), "WORN", "FRAYED")
    quote = build_quote(shop(remedies=[]), build.a_job(build.a_finding_on("WORN")))
    assert good.left == ("FRAYED",)
    assert [problem.code for problem in quote.problems] == ["no-permitted-remedy", "no-tier-offered"]


def test_an_asked_extra_or_a_one_off_line_is_something_to_do() -> None:
    """The customer asked for a new belt although nothing was found."""
    book = shop(extras=[build.an_extra("SPARE", ["BELT"])])
    asked = tiers(book, extras=(build.a_job_extra("SPARE", asked=True),))
    line = tiers(book, one_off=[build.a_one_off(1, "charge", 1, unit_price=5)])
    assert [tier.offered for tier in (*asked, *line)] == [True, False, False] * 2
