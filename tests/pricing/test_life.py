"""Cost over the years and lives (DESIGN.md 5.7 and 5.9), by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import ShopBook
from quotekit.money import compound
from quotekit.pricing.life import horizon_of, in_pairs, life_within, lives_of, repeats
from tests import build
from tests.pricing.priced import first_tier, items_named, price


@pytest.mark.parametrize(
    ("shop", "job", "could_last", "horizon"),
    [(5, None, None, 5), (5, 8, None, 8), (5, 8, 3, 3), (5, None, 2, 2), (5, 2, 9, 2), (5, 0, None, 0)],
)
def test_the_horizon(shop: int, job: int | None, could_last: int | None, horizon: int) -> None:
    """The job's years, else the shop's, never more than the machine could last; zero is no blank."""
    book = build.a_book(settings=build.settings(years_to_compare=shop))
    values = {"years_to_compare": job, "years_it_could_last": could_last}
    given = {name: value for name, value in values.items() if value is not None}
    assert horizon_of(price(book, job=build.a_job(**given)).basis) == horizon


@pytest.mark.parametrize(
    ("life", "horizon", "times"),
    [("1", "5", 4), ("2", "5", 2), ("2.5", "5", 1), ("2.5", "5.01", 2), ("5", "5", 0), ("6", "5", 0), ("0.5", "2", 3)],
)
def test_again_each_time_its_life_runs_out_before_the_horizon(life: str, horizon: str, times: int) -> None:
    """k x life < horizon: on the horizon itself nothing is done again."""
    assert repeats(Decimal(100), Decimal(life), Decimal(horizon), Decimal(0)) == 100 * times


@pytest.mark.parametrize("life", [None, Decimal(0)])
def test_a_life_not_stated_is_never_repeated(life: Decimal | None) -> None:
    assert repeats(Decimal(100), life, Decimal(5), Decimal(0)) == 0


def test_interest_makes_later_work_cheaper() -> None:
    """Every two years for five, at 10 %: 121/1.21 + 146.41/1.4641 = 100 + 100."""
    assert repeats(Decimal(121), Decimal(2), Decimal(4), Decimal("0.1")) == 100
    assert repeats(Decimal("146.41"), Decimal(2), Decimal(5), Decimal("0.1")) == 121 + 100


@given(st.lists(st.fractions(max_denominator=10**6), max_size=60))
def test_a_sum_by_halves_is_the_sum(amounts: list[Fraction]) -> None:
    assert in_pairs(amounts) == sum(amounts, Fraction(0))


def test_work_that_comes_round_each_week_for_decades_is_summed() -> None:
    """Two thousand repeats, each a fraction of fifty digits, as near as can be told to a level income for ever."""
    together = repeats(Decimal("1"), Decimal("0.02"), Decimal("40.01"), Decimal("0.03"))
    a_turn = Fraction(compound(Decimal("0.03"), Decimal("0.02"))) - 1
    assert abs(together - (1 - 1 / Fraction(compound(Decimal("0.03"), Decimal("40")))) / a_turn) < Fraction(1, 10**40)


def test_a_life_counts_up_to_the_horizon() -> None:
    book = build.a_book(
        operations=[build.an_operation("FIT")],
        remedies=[
            build.a_remedy("SHORT", ["WORN"], ["FIT"], life_years=2),
            build.a_remedy("LONG", ["WORN"], ["FIT"], life_years=20),
            build.a_remedy("BLANK", ["WORN"], ["FIT"], life_years=None),
        ],
    )
    short, long, blank = items_named(price(book).setup, ["SHORT", "LONG", "BLANK"])
    assert [life_within(item, Decimal(5)) for item in (short, long, blank)] == [2, 5, 5]


def test_where_two_remedies_fix_a_finding_the_longer_life_counts() -> None:
    """What a one-off line fixes has no life, and what is not covered is not counted."""
    book = build.a_book(
        operations=[build.an_operation("FIT")],
        remedies=[
            build.a_remedy("ONE", ["WORN", "LOOSE"], ["FIT"], life_years=2),
            build.a_remedy("TWO", ["WORN", "DRY"], ["FIT"], life_years=4),
        ],
    )
    job = build.a_job(
        *(build.a_finding_on(code) for code in ("WORN", "LOOSE", "DRY", "BENT")),
        one_off=[build.a_one_off(fixes=["BENT"])],
    )
    items = items_named(price(book, job=job).setup, ["ONE", "TWO", "ONEOFF-1"])
    assert lives_of(items, ["WORN", "LOOSE", "BENT"], Decimal(5)) == {"WORN": 4, "LOOSE": 2}


def shop(**values: Any) -> ShopBook:
    """PATCH takes 0.6 hours behind a cover of 0.5, lasts two years; a minimum of an hour."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER", "0.2", "0.3")],
        "operations": [
            build.an_operation("PATCH", "0.6", access=["COVER"]),
            build.an_operation("BELT", "0.4", access=["COVER"]),
        ],
        "findings": [build.a_finding("WORN"), build.a_finding("FRAYED")],
        "remedies": [
            build.a_remedy("PATCHED", ["WORN"], ["PATCH"], life_years=2),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], life_years=6),
        ],
    }
    return build.a_book(**(named | values))


def test_the_horizon_cost_repeats_stand_alone_work() -> None:
    """Together 1.5 hours = 150. Alone the patch takes 1.1 hours = 110, in year 2 and 4: 150 + 220 = 370."""
    tier = first_tier(shop(), build.a_finding_on("WORN"), build.a_finding_on("FRAYED"))
    assert (str(tier.work), str(tier.horizon_cost)) == ("150.00", "370.00")


def test_the_horizon_cost_is_rounded_once() -> None:
    """At 7 %: 150 + 110/1.07^2 + 110/1.07^4 = 150 + 96.0783... + 83.9184... = 329.9967..."""
    book = shop(settings=build.settings(interest_a_year="0.07"))
    tier = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("FRAYED"))
    exact = 150 + Fraction(110) / Fraction("1.1449") + Fraction(110) / Fraction("1.1449") ** 2
    assert abs(exact - Fraction("330.00")) < Fraction("0.005")
    assert str(tier.horizon_cost) == "330.00"


@pytest.mark.parametrize(
    ("job", "cost"),
    [
        ({"years_to_compare": 2}, "110.00"),
        ({"years_to_compare": 3}, "220.00"),
        ({"years_it_could_last": "4"}, "220.00"),
        ({"years_it_could_last": "4.5"}, "330.00"),
    ],
)
def test_the_jobs_years_count(job: dict[str, Any], cost: str) -> None:
    """The patch alone, 110 now, again in year 2 and year 4 where those lie before the horizon."""
    assert str(first_tier(shop(), build.a_finding_on("WORN"), **job).horizon_cost) == cost


def test_stand_alone_work_has_always_work_minimum_and_fees_by_operation() -> None:
    """Alone: 1.1 hours + 0.3 of test = 1.4, to the minimum of 2: 200 and a fee of 4.

    The tier also holds an asked extra, a one-off charge and the job's own fee, which are not repeated:
    1.1 + 0.3 + 0.4 = 1.8 to 2: 200 + 4 + 10 + 6 = 220 now, and twice 204: 628.
    """
    book = shop(
        settings=build.settings(minimum_labour_hours=2),
        operations=[*shop().operations.values(), build.an_operation("TEST", "0.3")],
        machines=[build.a_machine(always=["TEST"])],
        extras=[build.an_extra("SPARE", ["BELT"])],
        fees=[build.a_fee("WASTE", 4, applies_to=["PATCH"]), build.a_fee("PICKUP", 2)],
    )
    tier = first_tier(
        book,
        build.a_finding_on("WORN"),
        extras=(build.a_job_extra("SPARE", asked=True),),
        one_off=[build.a_one_off(1, "charge", 1, unit_price=10)],
        fees="PICKUP x 3",
    )
    assert (str(tier.work), str(tier.horizon_cost)) == ("220.00", "628.00")


def test_stand_alone_work_has_no_bundle_and_no_discount() -> None:
    """Now 110 less 10 less 10 % of 100 = 90; again 110 twice."""
    book = shop(bundles=[build.a_bundle("GIFT", ["PATCHED"], "labour amount off", 10)])
    tier = first_tier(book, build.a_finding_on("WORN"), discount_percent="0.1", discount_reason="Club")
    assert (str(tier.work), str(tier.horizon_cost)) == ("90.00", "310.00")


def test_extras_and_operations_of_a_plan_are_not_repeated() -> None:
    plan = [build.a_plan_item("good", "PATCHED"), build.a_plan_item("good", "BELT")]
    tier = first_tier(shop(), build.a_finding_on("WORN"), plan=plan)
    assert str(tier.horizon_cost) == "370.00"
