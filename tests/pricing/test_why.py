"""Reasons beside the figures: nothing of the quote changes, and large jobs say what was left out."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import localcontext
from typing import Any

import pytest
from hypothesis import given, settings

from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote, why
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import work_out_tiers
from quotekit.pricing.why import with_why
from quotekit.problems import has_errors
from tests import build
from tests.pricing.test_why_field import a_shop
from tests.random_jobs import Case, cases


def all_but_why(quote: Quote) -> list[list[Any]]:
    """Every field of the quote and its tiers without the reasons."""
    alone = [[getattr(tier, one.name) for one in fields(tier) if one.name != "why"] for tier in quote.tiers]
    return [*alone, [getattr(quote, one.name) for one in fields(quote) if one.name != "tiers"]]


@given(cases())
@settings(max_examples=30)
def test_nothing_else_of_the_quote_changes(case: Case) -> None:
    """Priced with its reasons and then again: the same figures, whatever was tried in between."""
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    with localcontext(EXACT):
        setup = set_up(*case)
        worked = work_out_tiers(setup)
        bare = replace(quote, tiers=tuple(replace(tier, why=None) for tier in quote.tiers))
        again = with_why(setup, worked, bare)
        assert all_but_why(again) == all_but_why(bare)
        assert [tier.why for tier in again.tiers] == [tier.why for tier in quote.tiers]
        assert [tier.charges for tier in work_out_tiers(setup) if hasattr(tier, "charges")] == [
            tier.charges for tier in worked if hasattr(tier, "charges")
        ]


@given(cases())
@settings(max_examples=30)
def test_the_order_of_rows_changes_no_reason(case: Case) -> None:
    """But for the first tier that is named where several keep one back, which comes by the order of tiers."""
    book, job = case
    turned = replace(
        book,
        remedies=dict(reversed(book.remedies.items())),
        operations=dict(reversed(book.operations.items())),
        parts=dict(reversed(book.parts.items())),
    )
    first, second = build_quote(book, job), build_quote(turned, replace(job, findings=job.findings[::-1]))
    for one, other in zip(first.tiers, second.tiers, strict=True):
        assert one.why is not None and other.why is not None
        assert one.why.remedies == other.why.remedies
        assert one.why.figures == other.why.figures


def reasons(book: ShopBook, job: Any) -> Any:
    found = build_quote(book, job).tiers[0].why
    assert found is not None
    return found


def test_past_twelve_remedies_no_break_even_is_sought() -> None:
    found = reasons(*a_shop("ABCDEFGHIJKLM", 2))
    assert found.notes == ("It takes 13 remedies: past 12 no break-even is sought.",)
    assert {entry.standing for entry in found.remedies} == {"compared"}
    assert all(entry.break_even == () for entry in found.remedies)


def test_past_forty_none_is_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(why, "MOST_REMEDIES", 2)
    found = reasons(*a_shop("ABC", 2))
    assert found.notes == ("It takes 3 remedies: past 2 they are not compared one by one.",)
    assert {entry.standing for entry in found.remedies} == {"not compared"}


def test_swaps_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("quotekit.pricing.why_field.MOST_IN_A_GROUP", 1)
    found = reasons(*a_shop("AB", 2))
    assert found.notes == (
        "Where more than 300 choices hang together, a remedy is compared only with "
        "those that can take its place alone.",
    )
    assert all(entry.swaps_only and entry.alternative is not None for entry in found.remedies)
    assert {one.among for entry in found.remedies for one in entry.break_even} == {"all else as chosen"}


def test_more_than_a_hundred_choices_are_compared_two_by_two() -> None:
    found = reasons(*a_shop("ABCDE", 3))
    assert {one.among for entry in found.remedies for one in entry.break_even} == {"all else as chosen"}


def test_a_planned_tier_says_so() -> None:
    book, job = a_shop("A", 2)
    found = reasons(book, replace(job, plan=(build.a_plan_item("good", "R-A1"),)))
    assert (found.planned, found.notes) == (True, ())
