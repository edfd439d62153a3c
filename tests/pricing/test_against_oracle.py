"""The engine against a second, plain implementation: every figure of random jobs, and of a random choice on each.

`python -m tests.oracle.many 2000 SEED` compares thousands. Set QUOTEKIT_ORACLE_JOBS for a longer run of this one,
QUOTEKIT_ORACLE_START for other seeds.
"""

from __future__ import annotations

import os
from random import Random

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from quotekit.problems import has_errors
from tests.oracle.compare import comparable, differences, quote_figures, tier_figures
from tests.oracle.quote import answer, combination
from tests.oracle.tiers import PlanError
from tests.random_jobs import a_random_case

JOBS = int(os.environ.get("QUOTEKIT_ORACLE_JOBS", "200"))
START = int(os.environ.get("QUOTEKIT_ORACLE_START", "0"))
BATCH = 25


@pytest.mark.parametrize("first", range(START, START + JOBS, BATCH))
def test_every_figure_of_the_quote_and_of_a_combination(first: int) -> None:
    """Tiers, hours, money, shares, offers, lists; then each tier with a random choice of what is offered beside it."""
    wrong, combined = [], 0
    for seed in range(first, first + BATCH):
        case = a_random_case(seed)
        quote = build_quote(*case)
        found = combination_differences(quote, seed)
        combined += len(found)
        lines = [*quote_differences(*case, quote), *(line for lines in found.values() for line in lines)]
        wrong += [f"seed {seed} {line}" for line in lines]
    assert wrong == []
    assert combined > BATCH // 3, "tiers with a choice beside them"


def quote_differences(book: ShopBook, job: Job, quote: Quote) -> list[str]:
    """Where engine and oracle differ on one case."""
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


def combination_differences(quote: Quote, seed: int) -> dict[str, list[str]]:
    """Where they differ on each tier with some of what is offered taken."""
    book, job, random = quote.book, quote.job, Random(seed)
    found = {}
    for tier in quote.tiers:
        keys = sorted(random.sample([one.extra for one in tier.extras], random.randint(0, len(tier.extras))))
        if keys:
            expected = comparable({"tiers": [combination(book, job, tier.code, keys)]})["tiers"][0]
            actual = tier_figures(price_combination(book, job, tier.code, keys))
            found[tier.code] = differences(expected, actual, f"{tier.code}+{'+'.join(keys)}")
    return found
