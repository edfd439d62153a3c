"""What a quote says its order hangs on: which tiers are compared, and where nothing is said."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given

from quotekit.documents.years_words import choice_sentences
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build
from tests.random_jobs import Case, cases


def two_tiers(**values: Any) -> ShopBook:
    """Good takes a patch of 100 that lasts 2 years, better one of 260 that lasts."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("PATCH", "1"), build.an_operation("RENEW", "2.6")],
        "findings": [build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("SHORT", ["WORN"], ["PATCH"], life_years=2),
            build.a_remedy("LONG", ["WORN"], ["RENEW"], life_years=20),
        ],
        "tiers": [build.a_tier("good"), build.a_tier("better", aim="longest life")],
    }
    return build.a_book(**(named | values))


def quoted(book: ShopBook, **job: Any) -> Quote:
    return build_quote(book, build.a_job(build.a_finding_on("WORN"), **job))


def test_the_order_and_three_ranges() -> None:
    """300 against 260 over 5 years: better first, and good up to 4 years."""
    found = quoted(two_tiers()).sensitivity
    assert found is not None and found.order == ("better", "good")
    assert [one.setting for one in found.ranges] == ["interest", "horizon", "lives"]
    assert [(change.below, change.after) for change in found.ranges[1].changes] == [(4, ("better", "good"))]
    assert [one.least_changes for one in found.ranges] == [True, True, True]


def test_one_tier_has_no_order() -> None:
    found = quoted(two_tiers(tiers=[build.a_tier("good")])).sensitivity
    assert found is not None and (found.order, found.ranges) == (("good",), ())


def test_a_tier_without_a_life_is_left_out() -> None:
    remedies = dict(two_tiers().remedies)
    remedies["SHORT"] = replace(remedies["SHORT"], life_years=None)
    book = two_tiers(remedies=list(remedies.values()), tiers=[build.a_tier("good"), build.a_tier("better")])
    found = quoted(book).sensitivity
    assert found is not None and (found.order, found.ranges) == ((), ())


def test_over_no_years_there_is_no_range() -> None:
    found = quoted(two_tiers(), years_to_compare=0).sensitivity
    assert found is not None and found.ranges == ()


def test_a_quote_without_an_offered_tier_says_nothing() -> None:
    assert build_quote(two_tiers(), build.a_job()).sensitivity is None


@given(cases())
def test_the_order_is_that_of_the_quotes_own_costs(case: Case) -> None:
    """By cost over the years, then by work, of offered tiers; one not offered may be told to choose otherwise."""
    quote = build_quote(*case)
    if quote.sensitivity is None:
        assert not quote.offered
        return
    compared = {tier.code: (tier.horizon_cost, tier.work) for tier in quote.offered if tier.years is not None}
    assert set(quote.sensitivity.order) == set(compared)
    values = [compared[code] for code in quote.sensitivity.order]
    assert values == sorted(values)
    assert {choice.tier for choice in quote.sensitivity.choices} <= {tier.code for tier in quote.tiers if tier.priced}


def test_a_tier_not_offered_now_tells_what_it_would_take() -> None:
    """Over 3 years the patch is least to own too; over 6 it is not: the owner hears of the option that is lost."""
    quote = quoted(
        two_tiers(tiers=[build.a_tier("good"), build.a_tier("better", aim="least to own")]), years_to_compare=3
    )
    assert [tier.code for tier in quote.offered] == ["good"]
    assert quote.sensitivity is not None
    told = [(one.tier, one.setting, str(one.value), one.takes) for one in quote.sensitivity.choices]
    assert told == [("better", "horizon", "6", ("LONG",)), ("better", "lives", "0.5", ("LONG",))]
    sentences = choice_sentences(quote.sensitivity, quote)
    assert [sentence.split(" would ")[0] for sentence in sentences] == [
        "Chosen again over 6 years, or if all lives were half as long, Better (not offered now)",
        "Good",
    ]
