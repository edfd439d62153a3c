"""The engine against a second, plain implementation: every figure of random jobs.

Set QUOTEKIT_ORACLE_JOBS for a longer run, QUOTEKIT_ORACLE_START for other seeds.
"""

from __future__ import annotations

import os
from random import Random

import pytest

from quotekit.pricing import build_quote, price_combination
from quotekit.problems import has_errors
from tests.oracle.compare import comparable, differences, quote_figures, tier_figures
from tests.oracle.quote import answer, combination
from tests.oracle.tiers import PlanError
from tests.random_jobs import a_random_case

JOBS = int(os.environ.get("QUOTEKIT_ORACLE_JOBS", "300"))
START = int(os.environ.get("QUOTEKIT_ORACLE_START", "0"))
BATCH = 25


@pytest.mark.parametrize("first", range(START, START + JOBS, BATCH))
def test_every_figure_of_the_quote(first: int) -> None:
    """Tiers, hours, money, shares, offers and lists, seed by seed."""
    wrong = [f"seed {seed} {line}" for seed in range(first, first + BATCH) for line in quote_differences(seed)]
    assert wrong == []


@pytest.mark.parametrize("first", range(START, START + JOBS, BATCH))
def test_every_figure_of_a_combination(first: int) -> None:
    """A tier with a random choice of what is offered beside it."""
    wrong = [f"seed {seed} {line}" for seed in range(first, first + BATCH) for line in combination_differences(seed)]
    assert wrong == []


def quote_differences(seed: int) -> list[str]:
    """Where engine and oracle differ on one case."""
    book, job = a_random_case(seed)
    quote = build_quote(book, job)
    try:
        expected = comparable(answer(book, job))
    except PlanError as refused:
        return [] if has_errors(quote.problems) and not quote.tiers else [f"should be refused: {refused}"]
    if has_errors(quote.problems):
        return [f"refused: {problem.message}" for problem in quote.problems if problem.severity == "error"]
    actual = quote_figures(quote)
    for one, other in zip(expected["tiers"], actual["tiers"], strict=True):
        if "items" not in one:
            for name in set(other) - set(one):
                del other[name]
    return differences(expected, actual)


def combination_differences(seed: int) -> list[str]:
    """Where they differ on a tier with some of what is offered taken."""
    book, job = a_random_case(seed)
    quote = build_quote(book, job)
    random = Random(seed)
    found = []
    for tier in quote.tiers:
        keys = sorted(random.sample([one.extra for one in tier.extras], random.randint(0, len(tier.extras))))
        if keys:
            expected = comparable({"tiers": [combination(book, job, tier.code, keys)]})["tiers"][0]
            actual = tier_figures(price_combination(book, job, tier.code, keys))
            found += differences(expected, actual, f"{tier.code}+{'+'.join(keys)}")
    return found
