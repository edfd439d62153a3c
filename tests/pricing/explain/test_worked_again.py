"""The tiers of a priced quote found again from what they hold: the engine's own, and nothing is chosen anew."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any
from unittest import mock

import pytest
from hypothesis import given, settings

from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, choose, tiers
from quotekit.pricing.explain.tier_items import items_of, offered_item
from quotekit.pricing.explain.worked_again import Again, worked_again
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, set_up
from quotekit.pricing.tiers import Unworked, WorkedTier, work_out_tiers
from quotekit.problems import has_errors
from tests import build
from tests.random_jobs import Case, cases

OF_A_TIER = ("tier", "planned", "covered", "fixed", "left", "safety_left", "lives", "ready", "proof", "compared")


def said(item: Item) -> dict[str, Any]:
    """An item by its fields; planned operations and extras are made anew."""
    return {each.name: getattr(item, each.name) for each in fields(item)}


def facts(one: WorkedTier | Unworked) -> dict[str, Any]:
    """All that a tier is, its items in any order, its charges by what they come to."""
    if isinstance(one, Unworked):
        return {"tier": one.tier, "reason": one.reason}
    items, remedies = ({(item.kind, item.key): said(item) for item in some} for some in (one.items, one.remedies))
    named = {name: getattr(one, name) for name in OF_A_TIER}
    return named | {"items": items, "remedies": remedies, "work": one.charges.total}


@settings(max_examples=30)
@given(cases())
def test_every_tier_of_a_random_job_is_the_engines(case: Case) -> None:
    """Field by field, also of tiers that could not be worked out and of plans."""
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    setup = set_up(*case)
    assert [facts(one) for one in worked_again(setup, quote)] == [facts(one) for one in work_out_tiers(setup)]


def shop(**values: Any) -> ShopBook:
    """BRAKE is a safety fault, BELT a needed one, LEAK advised; three tiers, and an extra for the asking."""
    named: dict[str, Any] = {
        "operations": [build.an_operation(code) for code in ("FIT-BRAKE", "FIT-BELT", "FIT-SEAL", "WIPE")],
        "findings": [build.a_finding("BRAKE", "safety"), build.a_finding("BELT"), build.a_finding("LEAK", "advised")],
        "remedies": [
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
            build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
            build.a_remedy("NEW-SEAL", ["LEAK"], ["FIT-SEAL"]),
        ],
        "extras": [build.an_extra("CLEAN", ["WIPE"])],
        "tiers": [
            build.a_tier("good", ["safety"]),
            build.a_tier("better", ["safety", "needed"]),
            build.a_tier("best", ["safety", "needed", "recommended"]),
        ],
    }
    return build.a_book(**(named | values))


def quoted(book: ShopBook, **job: Any) -> tuple[Setup, Quote]:
    found = build.a_job(
        build.a_finding_on("BRAKE", severity="safety"),
        build.a_finding_on("BELT"),
        build.a_finding_on("LEAK", severity="advised"),
        **job,
    )
    quote = build_quote(book, found)
    assert not has_errors(quote.problems), quote.problems
    return set_up(book, found), quote


def keys(quote: tuple[Setup, Quote], code: str) -> list[tuple[str, str]]:
    setup, made = quote
    return [(item.kind, item.key) for item in items_of(setup, tier_of(made, code))]


def tier_of(quote: Quote, code: str) -> PricedTier:
    return next(tier for tier in quote.tiers if tier.code == code)


def test_items_are_those_of_the_tier_in_its_order() -> None:
    """Remedies, one-off lines and an extra that was asked for."""
    line = build.a_one_off(1, "labour", "0.2")
    quote = quoted(shop(), one_off=(line,), extras=(build.a_job_extra("CLEAN", asked=True),))
    found = keys(quote, "better")
    assert found == [(item.kind, item.key) for item in tier_of(quote[1], "better").items]
    assert set(found) == {
        ("remedy", "NEW-BELT"), ("remedy", "NEW-BRAKE"), ("one-off", line.code), ("extra", "CLEAN"),
    }  # fmt: skip


@pytest.mark.parametrize(("item", "kind"), [("NEW-SEAL", "remedy"), ("CLEAN", "extra")])
def test_a_planned_item_is_found(item: str, kind: str) -> None:
    """Also an extra that only the plan holds, and a remedy that the tier would not take."""
    plan = (build.a_plan_item("good", "NEW-BRAKE"), build.a_plan_item("good", item))
    assert (kind, item) in keys(quoted(shop(), plan=plan), "good")


def test_a_remedy_and_an_extra_of_one_code_are_told_apart() -> None:
    """CLEAN is a remedy here too; each is found by what kind it is."""
    remedies = [build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]), build.a_remedy("CLEAN", ["BELT"], ["FIT-BELT"])]
    quote = quoted(shop(remedies=remedies), extras=(build.a_job_extra("CLEAN", asked=True),))
    found = items_of(quote[0], tier_of(quote[1], "better"))
    found_as = {item.kind: set(item.direct) for item in found if item.key == "CLEAN"}
    assert found_as == {"remedy": {"FIT-BELT"}, "extra": {"WIPE"}}


def test_what_is_offered_is_the_item_that_was_priced() -> None:
    """NEW-BELT beside good is a remedy of the job, CLEAN an extra of the book."""
    setup, quote = quoted(shop(), extras=(build.a_job_extra("CLEAN"),))
    offered = {one.extra: offered_item(setup, one) for one in tier_of(quote, "good").extras}
    assert {key: (item.kind, item.key) for key, item in offered.items()} == {
        "CLEAN": ("extra", "CLEAN"), "NEW-BELT": ("remedy", "NEW-BELT"), "NEW-SEAL": ("remedy", "NEW-SEAL"),
    }  # fmt: skip


def test_what_the_tier_before_fixes_is_kept() -> None:
    """The first keeps nothing; each later one what the one before it puts right."""
    again = Again(*quoted(shop()))
    assert [again.kept(code) for code in ("good", "better", "best")] == [
        frozenset(),
        {"BRAKE"},
        {"BRAKE", "BELT"},
    ]
    assert [again.place(code) for code in ("good", "better", "best")] == [0, 1, 2]
    assert again.of("better").fixed == {"BRAKE", "BELT"}


def test_a_tier_that_was_not_worked_out_stands_in_its_place() -> None:
    """It has its reason, and the one after it keeps what the one before it fixes."""
    setup, quote = quoted(shop())
    tiers_now = (quote.tiers[0], replace(quote.tiers[1], priced=False, reason="a test"), quote.tiers[2])
    again = Again(setup, replace(quote, tiers=tiers_now))
    assert [facts(one).get("reason") for one in again.tiers] == [None, "a test", None]
    assert [one.tier.code for one in again.worked] == ["good", "best"]
    assert again.kept("best") == {"BRAKE"}


def test_nothing_is_chosen_again() -> None:
    """A choice takes seconds on a large job: to explain a figure must not."""
    setup, quote = quoted(shop())
    with mock.patch.object(choose, "that_can_win") as pruned, mock.patch.object(tiers, "work_out_tiers") as worked:
        again = Again(setup, quote)
        assert again.tiers is again.tiers and len(again.worked) == 3
    assert not pruned.called and not worked.called
