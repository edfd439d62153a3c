"""A quote with its live pricing, or with the reason why it has none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quotekit.model.expression import evaluate
from quotekit.pricing import build_quote
from quotekit.pricing.build_quote import price_combination
from tests import build
from tests.pricing.live.belt_shop import job, shop


def test_live_pricing_changes_nothing_else_of_a_quote() -> None:
    """Two quotes that differ only in it count as the same."""
    quote = build_quote(shop(), job())
    assert quote.live is not None and quote.not_live == ""
    assert replace(quote, live=None) == quote
    assert "plain-quote" not in [problem.code for problem in quote.problems]


@pytest.mark.parametrize("tier", ["good", "better"])
def test_its_total_without_a_tick_is_the_options_own(tier: str) -> None:
    quote = build_quote(shop(), job())
    assert quote.live is not None
    option = next(option for option in quote.live.options if option.code == tier)
    priced = next(priced for priced in quote.offered if priced.code == tier)
    total = evaluate(quote.live.steps, {option.chosen: 1})[quote.live.figures["total"]]
    assert total == priced.total * 100


def test_what_an_extra_adds_by_itself_is_the_difference_it_makes() -> None:
    """Each price stands for the option's work with that one extra, less the option's work."""
    book, both = shop(), job()
    live = build_quote(book, both).live
    assert live is not None
    for extra in live.extras:
        for option, price in zip(live.options, extra.price, strict=True):
            if price is not None:
                alone, more = (price_combination(book, both, option.code, keys) for keys in ((), (extra.key,)))
                assert price == more.work - alone.work


def test_the_reason_stands_in_the_quote_and_among_its_problems() -> None:
    """The problem is the job's, says what to do, and stops nothing: the options keep their prices."""
    book = shop(extras=[build.an_extra("NEW-BELT", ["TUNE"])])
    quote = build_quote(book, replace(job(extras=(build.a_job_extra("NEW-BELT"),)), file="job.xlsx"))
    problem = next(problem for problem in quote.problems if problem.code == "plain-quote")
    assert problem.place.file == "job.xlsx"
    assert problem.message == (
        "The customer's quote is a plain one, without figures that follow a choice: "
        "a remedy and an extra that are both offered have the same code."
    )
    assert problem.remedy == "Give one of them another code in the shop book."
    assert [str(tier.total) for tier in quote.offered] == ["126.05", "198.15"]


def test_an_option_that_is_not_offered_cannot_be_picked() -> None:
    """Best covers no more than better, so it is not shown, and there are two options to pick."""
    tiers = [
        build.a_tier("good"),
        build.a_tier("better", ["safety", "needed", "advised"]),
        build.a_tier("best", ["safety", "needed", "advised"]),
    ]
    quote = build_quote(shop(tiers=tiers), job())
    assert [tier.code for tier in quote.tiers] == ["good", "better", "best"]
    assert quote.live is not None
    assert [option.code for option in quote.live.options] == ["good", "better"]
