"""What an option comes to as the years go by, by hand and against the horizon cost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal, localcontext
from typing import Any

import pytest
from hypothesis import given

from quotekit.money import EXACT
from quotekit.pricing import build_quote
from quotekit.pricing.years import cost_over_years
from tests import build
from tests.pricing.priced import first_tier, items_named, price, texts
from tests.pricing.test_life import shop
from tests.random_jobs import Case, a_random_case, cases


def figures(interest: str = "0", **job: Any) -> list[str]:
    """Both findings of the shop of `test_life`: 150 now; alone the patch is 110 (2 years), the belt 90 (6 years)."""
    book = shop(settings=build.settings(interest_a_year=interest))
    tier = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("FRAYED"), **job)
    return texts(*tier.over_years)


@pytest.mark.parametrize(
    ("job", "expected"),
    [
        ({}, "150.00 150.00 150.00 260.00 260.00 370.00"),
        ({"years_to_compare": 0}, "150.00"),
        ({"years_to_compare": 2}, "150.00 150.00 150.00"),
        ({"years_to_compare": "2.5"}, "150.00 150.00 150.00 260.00"),
        ({"years_to_compare": "0.5"}, "150.00 150.00"),
        ({"years_to_compare": 9, "years_it_could_last": "4.1"}, "150.00 150.00 150.00 260.00 260.00 370.00"),
        ({"years_to_compare": 7}, "150.00 150.00 150.00 260.00 260.00 370.00 370.00 570.00"),
    ],
)
def test_each_renewal_counts_after_the_year_it_falls_on(job: dict[str, Any], expected: str) -> None:
    """The patch again in years 2, 4 and 6, the belt in year 6; what falls on a year is counted in the next figure."""
    assert figures(**job) == expected.split()


def test_the_worked_example() -> None:
    """100.00 now, 60.00 alone every 2 years, at 10 %: + 49.586... at 2 and + 40.980... at 4, rounded as a sum."""
    book = shop(settings=build.settings(interest_a_year="0.1"))
    setup = price(book).setup
    patch = items_named(setup, ["PATCHED"])
    years = cost_over_years(setup.basis, Decimal("100.00"), patch, lambda item: Decimal("60.00"))
    assert years is not None
    assert texts(*years.by_year) == ["100.00", "100.00", "100.00", "149.59", "149.59", "190.57"]


def test_later_work_counts_at_todays_worth() -> None:
    """At 7 %: 150, then + 110/1.07^2 = 96.078... after year 2 and + 110/1.07^4 = 83.918... after year 4."""
    assert figures("0.07") == "150.00 150.00 150.00 246.08 246.08 330.00".split()


def test_no_figures_where_a_life_is_not_stated() -> None:
    """One blank life of two is enough; so is a tier without remedy."""
    remedies = list(shop().remedies.values())
    book = shop(remedies=[remedies[0], replace(remedies[1], life_years=None)])
    both = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("FRAYED"))
    assert len(both.items) == 2 and both.over_years == ()
    assert first_tier(book, build.a_finding_on("WORN")).over_years != ()
    bare = first_tier(shop(), one_off=[build.a_one_off(1, "charge", 1, unit_price=10)])
    assert bare.priced and bare.over_years == ()


@given(cases())
def test_the_last_figure_is_the_horizon_cost_and_none_falls(case: Case) -> None:
    """For any shop book and job, with any interest and horizon."""
    for tier in build_quote(*case).tiers:
        if tier.over_years:
            assert tier.over_years[0] == tier.work
            assert tier.over_years[-1] == tier.horizon_cost
            assert list(tier.over_years) == sorted(tier.over_years)


@given(cases())
def test_each_figure_is_the_horizon_cost_of_a_shorter_comparison(case: Case) -> None:
    """The same remedies, with the year of the figure as the horizon."""
    book, job = case
    for tier in build_quote(book, job).tiers:
        keys = [item.key for item in tier.items if item.kind == "remedy"]
        for year, figure in enumerate(tier.over_years[:-1]):
            setup = price(book, job=replace(job, years_to_compare=Decimal(year))).setup
            with localcontext(EXACT):
                assert setup.cost_over_years(tier.work, items_named(setup, keys)) == figure


def test_random_tiers_have_figures_that_grow() -> None:
    """The two properties above would say nothing of tiers without figures."""
    tiers = [tier for seed in range(30) for tier in build_quote(*a_random_case(seed)).tiers]
    assert sum(tier.over_years[:1] != tier.over_years[-1:] for tier in tiers) > len(tiers) // 5
