"""What a tier would take under other settings: by hand, and against books and jobs that really have them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal, localcontext
from typing import Any

import pytest
from hypothesis import given

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.years import MOST_TRIED, Setting
from quotekit.money import EXACT
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import Unworked, WorkedTier, work_out_tiers
from quotekit.pricing.years_choices import Trial, over, try_choices
from tests import build
from tests.random_jobs import Case, a_random_case, cases


def bush_and_bearing(aim: str = "least to own", **values: Any) -> ShopBook:
    """BUSH costs 130 and lasts 3 years, BEARING costs 240 and lasts 8."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("PRESS", "1.3"), build.an_operation("SEAL", "2.4")],
        "findings": [build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("BUSH", ["WORN"], ["PRESS"], life_years=3),
            build.a_remedy("BEARING", ["WORN"], ["SEAL"], life_years=8),
        ],
        "tiers": [build.a_tier("good", aim=aim)],
    }
    return build.a_book(**(named | values))


def trial(book: ShopBook, *codes: str, **job: Any) -> Trial:
    """The findings of these codes, tried."""
    with localcontext(EXACT):
        setup = set_up(book, build.a_job(*(build.a_finding_on(code) for code in codes), **job))
        return try_choices(setup, work_out_tiers(setup))


def said(found: Trial) -> list[tuple[str, Setting, str, str, str]]:
    return [
        (one.tier, one.setting, str(one.value), " ".join(one.takes), " ".join(one.in_place_of)) for one in found.choices
    ]


def test_the_worked_example() -> None:
    """Over 5 years BUSH comes to 260 and BEARING to 240; over 2.5, or lasting 6, BUSH comes to 130."""
    found = trial(bush_and_bearing(), "WORN")
    assert said(found) == [
        ("good", "horizon", "2.5", "BUSH", "BEARING"),
        ("good", "lives", "2", "BUSH", "BEARING"),
    ]
    assert not found.too_many


def test_settings_as_they_stand_are_not_tried() -> None:
    """Without interest neither none nor twice it is another setting; over no years nothing is."""
    assert [setting for setting, _ in trial(bush_and_bearing(), "WORN").tried] == [
        "horizon",
        "horizon",
        "lives",
        "lives",
    ]
    with_interest = bush_and_bearing(settings=build.settings(interest_a_year="0.04"))
    assert trial(with_interest, "WORN").tried[:2] == (("interest", Decimal(0)), ("interest", Decimal("0.08")))
    assert trial(bush_and_bearing(), "WORN", years_to_compare=0).tried == ()


def test_interest_may_turn_a_choice() -> None:
    """BUSH again after 3 years is 130 / 1.06 ** 3 = 109.15 against 110 more today: BUSH at 6 %, BEARING at none."""
    book = bush_and_bearing(settings=build.settings(interest_a_year="0.06"))
    assert [one for one in said(trial(book, "WORN")) if one[1] == "interest"] == [
        ("good", "interest", "0", "BEARING", "BUSH")
    ]


@pytest.mark.parametrize(
    ("aim", "values"),
    [
        ("lowest price", {}),
        ("least to own", {"remedies": [build.a_remedy("BUSH", ["WORN"], ["PRESS"], life_years=3)]}),
    ],
)
def test_tiers_that_do_not_ask_for_years_are_not_tried(aim: str, values: dict[str, Any]) -> None:
    """The lowest price is the same in any year, and one choice is no choice."""
    assert trial(bush_and_bearing(aim, **values), "WORN") == Trial()


def test_a_plan_stays_as_it_is() -> None:
    plan = [build.a_plan_item("good", "BUSH")]
    assert trial(bush_and_bearing(), "WORN", plan=plan) == Trial()


def test_the_longest_life_over_few_years_is_any() -> None:
    """Over 2.5 years both last, and the tie goes to less work."""
    found = trial(bush_and_bearing("longest life"), "WORN")
    assert ("good", "horizon", "2.5", "BUSH", "BEARING") in said(found)


def test_a_tier_follows_what_the_one_before_takes() -> None:
    """BEARING also fixes LOOSE, so the second tier, at the lowest price, keeps it fixed; over 2.5 years it need not."""
    book = bush_and_bearing(
        findings=[build.a_finding("WORN"), build.a_finding("LOOSE", "watch")],
        remedies=[
            build.a_remedy("BUSH", ["WORN"], ["PRESS"], life_years=3),
            build.a_remedy("BEARING", ["WORN", "LOOSE"], ["SEAL"], life_years=8),
        ],
        tiers=[build.a_tier("good", aim="least to own"), build.a_tier("better", aim="lowest price")],
    )
    job = build.a_job(build.a_finding_on("WORN"), build.a_finding_on("LOOSE", severity="watch"))
    with localcontext(EXACT):
        setup = set_up(book, job)
        found = said(try_choices(setup, work_out_tiers(setup)))
    assert [one for one in found if one[1] == "horizon"] == [
        ("good", "horizon", "2.5", "BUSH", "BEARING"),
        ("better", "horizon", "2.5", "BUSH", "BEARING"),
    ]


def test_too_many_choices_are_not_tried() -> None:
    """Nine findings with two remedies each make 512 choices."""
    names = [f"F{place}" for place in range(9)]
    book = bush_and_bearing(
        findings=[build.a_finding(name) for name in names],
        operations=[build.an_operation(f"{kind}-{name}", "0.5") for name in names for kind in ("A", "B")],
        remedies=[
            build.a_remedy(f"{kind}-{name}", [name], [f"{kind}-{name}"], life_years=life)
            for name in names
            for kind, life in (("A", 2), ("B", 6))
        ],
    )
    assert MOST_TRIED < 2**9
    found = trial(book, *names)
    assert (found.too_many, found.tried, found.choices) == (True, (), ())


def with_setting(book: ShopBook, job: Job, setting: Setting, value: Decimal) -> Case:
    """A book and a job that really have the setting: lives changed in every remedy's row."""
    if setting == "interest":
        return replace(book, settings=replace(book.settings, interest_a_year=value)), job
    if setting == "horizon":
        return book, replace(job, years_to_compare=value, years_it_could_last=None)
    remedies = {
        code: replace(one, life_years=None if one.life_years is None else one.life_years * value)
        for code, one in book.remedies.items()
    }
    return replace(book, remedies=remedies), job


def taken(worked: Sequence[WorkedTier | Unworked]) -> list[list[str] | None]:
    return [sorted(item.key for item in t.remedies) if isinstance(t, WorkedTier) else None for t in worked]


@given(cases())
def test_other_years_choose_as_a_book_that_has_them(case: Case) -> None:
    """Lives are changed by asking over other years: the same remedies as with each life typed anew in the book."""
    with localcontext(EXACT):
        setup = set_up(*case)
        worked = work_out_tiers(setup)
        for setting, value in try_choices(setup, worked).tried:
            really = work_out_tiers(set_up(*with_setting(*case, setting, value)))
            assert taken(work_out_tiers(over(setup, setting, value))) == taken(really)


@given(cases())
def test_what_is_told_is_what_differs(case: Case) -> None:
    """Every tier that would really take something else is told, and none besides."""
    with localcontext(EXACT):
        setup = set_up(*case)
        worked = work_out_tiers(setup)
        found = try_choices(setup, worked)
        for setting, value in found.tried:
            again = taken(work_out_tiers(set_up(*with_setting(*case, setting, value))))
            told = {one.tier for one in found.choices if (one.setting, one.value) == (setting, value)}
            codes = [tier.tier.code for tier in worked]
            changed = {
                code
                for code, now, then in zip(codes, taken(worked), again, strict=True)
                if now is not None and then is not None and now != then
            }
            assert told == changed


def test_random_jobs_are_tried_and_change() -> None:
    """The two properties above would say nothing of jobs that are never tried."""
    tried = changed = 0
    for seed in range(40):
        case = a_random_case(seed)
        with localcontext(EXACT):
            setup = set_up(*case)
            found = try_choices(setup, work_out_tiers(setup))
        tried, changed = tried + bool(found.tried), changed + bool(found.choices)
    assert tried > 10 and changed > 3
