"""Which sets are left to compare after pruning, and that a quote of random jobs never changes by it.

Set QUOTEKIT_PRUNE_JOBS for a longer run.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import Remedy, ShopBook, Tier
from quotekit.pricing import build_quote, prune
from quotekit.pricing.covers import groups_and_tangles
from quotekit.pricing.setup import set_up
from tests import build
from tests.random_jobs import a_random_case

JOBS = int(os.environ.get("QUOTEKIT_PRUNE_JOBS", "150"))
NEVER = 10**12


def quote_with(monkeypatch: pytest.MonkeyPatch, worth: int, book: ShopBook, job: Job) -> Quote:
    """The quote where more than `worth` choices are pruned, apart from how many were priced."""
    monkeypatch.setattr(prune, "WORTH_PRUNING", worth)
    quote = build_quote(book, job)
    tiers = [replace(tier, proof=replace(tier.proof, priced=0) if tier.proof else None) for tier in quote.tiers]
    return replace(quote, tiers=tuple(tiers))


@pytest.mark.parametrize("first", range(0, JOBS, 50))
def test_random_jobs_get_the_same_quote_with_and_without(first: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every figure, list and warning, also how many choices are said to be compared."""
    differ = []
    for seed in range(first, first + 50):
        case = a_random_case(seed)
        if quote_with(monkeypatch, 0, *case) != quote_with(monkeypatch, NEVER, *case):
            differ.append(seed)
    assert differ == []


def a_book_of(remedies: Sequence[Remedy], **values: Any) -> ShopBook:
    """Operations ONE-H and TWO-H of one and two hours, OPEN of an hour behind a cover, and a belt."""
    return build.a_book(
        **{
            "access": [build.a_step("COVER", 1, 1)],
            "operations": [
                build.an_operation("ONE-H", 1),
                build.an_operation("TWO-H", 2),
                build.an_operation("OPEN", 1, access=["COVER"]),
                build.an_operation("BELT", 1, access=["COVER"]),
            ],
            "parts": [build.a_part("DEAR", 200)],
            "findings": [build.a_finding("WORN"), build.a_finding("FRAYED")],
            "remedies": list(remedies),
            "tiers": [build.a_tier("good")],
        }
        | values
    )


def kept(book: ShopBook, findings: str = "WORN", aim: Any = "lowest price") -> list[list[str]]:
    """The sets that are left to compare, by group."""
    setup = set_up(book, build.a_job(*(build.a_finding_on(code) for code in findings.split())))
    tier: Tier = build.a_tier("good", aim=aim)
    groups, _ = groups_and_tangles(setup.candidates, findings.split(), frozenset(), [], 10_000)
    sets = prune.keep_undominated(setup, tier, [group.covers for group in groups])
    return sorted(sorted("+".join(cover.codes) for cover in covers) for covers in sets)


@pytest.fixture(autouse=True)
def _always_prune(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(prune, "WORTH_PRUNING", 0)


def test_more_of_the_same_is_left_out() -> None:
    """Two hours against one, and one hour with a dear part against one."""
    remedies = [
        build.a_remedy("A", ["WORN"], ["ONE-H"]),
        build.a_remedy("B", ["WORN"], ["TWO-H"]),
        build.a_remedy("C", ["WORN"], ["OPEN"], parts="DEAR"),
    ]
    assert kept(a_book_of(remedies)) == [["A"]]


def test_access_that_another_group_may_open_is_kept() -> None:
    """Two hours without the cover, or one behind a cover that the belt opens anyway: only prices tell."""
    remedies = [
        build.a_remedy("A", ["WORN"], ["TWO-H"]),
        build.a_remedy("B", ["WORN"], ["OPEN"]),
        build.a_remedy("C", ["FRAYED"], ["BELT"]),
    ]
    assert kept(a_book_of(remedies), "WORN FRAYED") == [["A", "B"], ["C"]]


def test_a_longer_life_is_kept_where_years_are_compared() -> None:
    """REPLACE takes longer and lasts longer: it may be least to own, and cannot be the lowest price."""
    remedies = [
        build.a_remedy("REPLACE", ["WORN"], ["TWO-H"], life_years="9"),
        build.a_remedy("PATCH", ["WORN"], ["ONE-H"], life_years="1"),
    ]
    book = a_book_of(remedies)
    assert kept(book) == [["PATCH"]]
    assert kept(book, aim="least to own") == [["PATCH", "REPLACE"]]


def test_nothing_is_left_out_where_the_minimum_may_bind() -> None:
    """Below four hours all cost the same in labour: ties decide, and they look at every set."""
    remedies = [build.a_remedy("A", ["WORN"], ["TWO-H"]), build.a_remedy("B", ["WORN"], ["ONE-H"])]
    book = a_book_of(remedies, settings=build.settings(minimum_labour_hours=4))
    assert kept(book) == [["A", "B"]]


def test_nothing_is_left_out_where_freight_has_a_threshold() -> None:
    """A dear part may bring an order over the free-freight value."""
    remedies = [build.a_remedy("A", ["WORN"], ["ONE-H"], parts="DEAR"), build.a_remedy("B", ["WORN"], ["ONE-H"])]
    suppliers = [build.a_supplier(freight=30, free_freight_from=150)]
    book = a_book_of(remedies, suppliers=suppliers, settings=build.settings(freight_to_customer="this job alone"))
    assert kept(book) == [["A", "B"]]


def test_few_choices_are_simply_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """Looking for what cannot win costs more than pricing two sets."""
    monkeypatch.setattr(prune, "WORTH_PRUNING", 2)
    remedies = [build.a_remedy("A", ["WORN"], ["TWO-H"]), build.a_remedy("B", ["WORN"], ["ONE-H"])]
    assert kept(a_book_of(remedies)) == [["A", "B"]]


def test_what_would_win_a_tie_is_kept() -> None:
    """A, of more hours, comes first by its code: where rounding up makes both equal it wins."""
    remedies = [build.a_remedy("A", ["WORN"], ["TWO-H"]), build.a_remedy("B", ["WORN"], ["ONE-H"])]
    assert kept(a_book_of(remedies)) == [["A", "B"]]
