"""What a tier comes to over the years, repair by repair: by hand, and against the horizon cost for any job."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given

from quotekit.model.quote import PricedTier
from quotekit.model.years import CostOverYears
from quotekit.money import round_to
from quotekit.pricing import build_quote, economy, price_combination
from quotekit.pricing.years import cost_over_years
from tests import build
from tests.pricing.priced import first_tier, items_named, price, texts
from tests.pricing.test_life import shop
from tests.random_jobs import Case, a_random_case, cases


def years_of(interest: str = "0", **job: Any) -> CostOverYears:
    """Both findings of the shop of `test_life`: 150 now; alone the patch is 110 (2 years), the belt 90 (6 years)."""
    book = shop(settings=build.settings(interest_a_year=interest))
    found = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("FRAYED"), **job).years
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("horizon", "repeats", "cost", "a_year"),
    [
        ("0", [], "150.00", None),
        ("0.5", [], "150.00", "300.00"),
        ("2", [], "150.00", "75.00"),
        ("3.5", [("PATCHED", "2", "110.00")], "260.00", "74.29"),
        ("5", [("PATCHED", "2 4", "220.00")], "370.00", "74.00"),
        ("6", [("PATCHED", "2 4", "220.00")], "370.00", "61.67"),
        ("7", [("NEW-BELT", "6", "90.00"), ("PATCHED", "2 4 6", "330.00")], "570.00", "81.43"),
    ],
)
def test_what_comes_round_when(horizon: str, repeats: list[Any], cost: str, a_year: str | None) -> None:
    """k x life < horizon; without interest a year is the cost over the years, also over half years."""
    found = years_of(years_to_compare=horizon)
    assert [(r.item, " ".join(map(str, r.years)), str(r.together)) for r in found.repeats] == repeats
    assert str(found.cost) == cost
    assert (None if found.equivalent_a_year is None else str(found.equivalent_a_year)) == a_year
    assert [str(r.each) for r in found.repeats if r.item == "PATCHED"] in ([], ["110.00"])


def test_interest_makes_a_year_dearer_than_its_part_of_the_cost() -> None:
    """At 10 %: 150 + 110 / 1.21 + 110 / 1.4641 = 150 + 90.909 + 75.132 = 316.04; x A/P 0.263797 = 83.37 a year."""
    found = years_of("0.1")
    assert (str(found.cost), str(found.equivalent_a_year)) == ("316.04", "83.37")
    (patch,) = found.repeats
    assert patch.worth == Fraction(110) / Fraction("1.21") + Fraction(110) / Fraction("1.4641")
    assert str(patch.together) == "166.04"


def test_the_worked_example() -> None:
    book = shop(settings=build.settings(interest_a_year="0.1"))
    setup = price(book).setup
    patch = items_named(setup, ["PATCHED"])
    found = cost_over_years(setup.basis, Decimal("100.00"), patch, lambda item: Decimal("60.00"))
    assert found is not None
    assert texts(found.cost, found.equivalent_a_year, found.repeats[0].together) == ["190.57", "50.27", "90.57"]


def test_shown_amounts_add_up_where_cents_do_not() -> None:
    """Two sides of 110.00 each, at 3 % in year 2: 103.685... each; rounded apart they would not give the sum."""
    book = build.a_book(
        settings=build.settings(interest_a_year="0.03", years_to_compare=3),
        operations=[build.an_operation("FIT", "1.1", each_side=True)],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("PAD", ["WORN"], ["FIT"], life_years=2)],
        tiers=[build.a_tier("good")],
    )
    found = first_tier(book, build.a_finding_on("WORN", "left"), build.a_finding_on("WORN", "right")).years
    assert found is not None
    assert [(r.item, str(r.together)) for r in found.repeats] == [("PAD@left", "103.69"), ("PAD@right", "103.68")]
    assert str(found.cost) == "427.37"


def test_nothing_where_a_life_is_not_stated() -> None:
    remedies = list(shop().remedies.values())
    book = shop(remedies=[remedies[0], replace(remedies[1], life_years=None)])
    assert first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("FRAYED")).years is None
    assert first_tier(book, build.a_finding_on("WORN")).years is not None


def test_work_that_no_remedy_does_comes_round_never() -> None:
    """A one-off line has no life, and none is needed: its cost is today's."""
    tier = first_tier(shop(), one_off=[build.a_one_off(1, "charge", 1, unit_price=10)])
    assert tier.years is not None
    assert (str(tier.years.cost), tier.years.repeats) == ("10.00", ())


def test_a_tier_that_could_not_be_worked_out_has_no_years() -> None:
    remedies = [
        build.a_remedy("ONE", ["WORN"], ["PATCH"], life_years=None),
        build.a_remedy("TWO", ["WORN"], ["BELT"], life_years=2),
    ]
    book = shop(remedies=remedies, tiers=[build.a_tier("good", aim="least to own")])
    tier = first_tier(book, build.a_finding_on("WORN"))
    assert (tier.priced, tier.years) == (False, None)


def test_a_choice_with_an_extra_has_its_own_years() -> None:
    """The work of the extra is paid once; what comes round is the same."""
    book = shop(extras=[build.an_extra("SPARE", ["BELT"])])
    job = build.a_job(build.a_finding_on("WORN"), extras=(build.a_job_extra("SPARE"),))
    plain = price_combination(book, job, "good", [])
    taken = price_combination(book, job, "good", ["SPARE"])
    assert plain.years is not None and taken.years is not None
    assert taken.years.cost - plain.years.cost == taken.work - plain.work > 0
    assert taken.years.repeats == plain.years.repeats


def known(case: Case) -> list[tuple[PricedTier, CostOverYears]]:
    """Tiers of a quote with their years."""
    return [(tier, tier.years) for tier in build_quote(*case).tiers if tier.years is not None]


@given(cases())
def test_work_and_repeats_give_the_horizon_cost_rounded_once(case: Case) -> None:
    """Exactly before rounding, and to the cent as shown, for any shop book and job."""
    for tier, years in known(case):
        digits = -int(tier.work.as_tuple().exponent)
        exact = Fraction(tier.work) + sum((repeat.worth for repeat in years.repeats), Fraction(0))
        assert round_to(exact, digits) == years.cost == tier.horizon_cost == years.by_year[-1]
        assert tier.work + sum(repeat.together for repeat in years.repeats) == years.cost
        for repeat in years.repeats:
            assert abs(Fraction(repeat.together) - repeat.worth) < Fraction(1, 10**digits)


@given(cases())
def test_repeats_are_every_life_before_the_horizon(case: Case) -> None:
    """Years are whole numbers of lives, the last but one life before the horizon; today's worth by the P/F of each."""
    for tier, years in known(case):
        lives = {item.key: item.life_years for item in tier.items if item.kind == "remedy"}
        again = {repeat.item for repeat in years.repeats}
        assert again == {key for key, life in lives.items() if life is not None and 0 < life < years.horizon}
        for repeat in years.repeats:
            life = lives[repeat.item]
            assert life is not None
            assert [year / life for year in repeat.years] == list(range(1, len(repeat.years) + 1))
            assert repeat.years[-1] < years.horizon <= repeat.years[-1] + life
            due = [(year, repeat.each) for year in repeat.years]
            assert economy.present_value(due, years.interest) == repeat.worth


@given(cases())
def test_the_level_amount_is_worth_the_cost(case: Case) -> None:
    """Paid at the end of each year it comes to the cost, within half a cent a year."""
    for tier, years in known(case):
        if years.equivalent_a_year is None:
            assert years.horizon == 0
            continue
        half_a_cent = Fraction(1, 2 * 10 ** -int(tier.work.as_tuple().exponent))
        factor = economy.uniform_series_present_worth(years.interest, years.horizon)
        assert abs(Fraction(years.equivalent_a_year) * factor - Fraction(years.cost)) <= factor * half_a_cent


def test_random_tiers_have_repeats() -> None:
    """The properties above would say nothing of tiers in which nothing comes round."""
    found = [years for seed in range(30) for _, years in known(a_random_case(seed))]
    assert sum(bool(years.repeats) for years in found) > len(found) // 5
