"""The sums of a choice against the engine's own price of it: every figure, random jobs, random choices."""

from __future__ import annotations

import os
from decimal import Decimal
from itertools import chain, combinations
from random import Random

import pytest

from quotekit.model.expression import evaluate, spans
from quotekit.model.live import LivePricing
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote, price_combination
from tests.random_jobs import a_random_case

JOBS = int(os.environ.get("QUOTEKIT_LIVE_JOBS", "300"))
START = int(os.environ.get("QUOTEKIT_LIVE_START", "0"))
BATCH = 25
CHOICES = 4


@pytest.mark.parametrize("first", range(START, START + JOBS, BATCH))
def test_every_figure_of_a_choice(first: int) -> None:
    """Random jobs, each option with none, all and some of what is offered beside it."""
    wrong = [line for seed in range(first, first + BATCH) for line in differences_of(seed)]
    assert wrong == []


def differences_of(seed: int) -> list[str]:
    """Where the sums and the engine differ on one case."""
    book, job = a_random_case(seed)
    quote = build_quote(book, job)
    assert quote.live is not None or not quote.offered, f"seed {seed}: {quote.not_live}"
    found = []
    for tier in quote.offered:
        for keys in choices(tier, Random(seed)):
            expected = figures_of(price_combination(book, job, tier.code, keys))
            assert quote.live is not None
            actual = figures_by_sums(quote.live, tier.code, keys)
            found += [
                f"seed {seed} {tier.code}+{'+'.join(keys)} {name}: {expected.get(name)} by the engine, {amount} by sums"
                for name, amount in actual.items()
                if expected.get(name, Decimal(0)) != amount
            ]
    return found


def choices(tier: PricedTier, random: Random) -> list[tuple[str, ...]]:
    """Nothing, everything, and a few in between."""
    keys = [extra.extra for extra in tier.extras]
    if len(keys) <= 2:
        return list(chain.from_iterable(combinations(keys, size) for size in range(len(keys) + 1)))
    some = [tuple(sorted(random.sample(keys, random.randint(1, len(keys) - 1)))) for _ in range(CHOICES)]
    return [(), tuple(keys), *some]


def figures_by_sums(live: LivePricing, code: str, keys: tuple[str, ...]) -> dict[str, Decimal]:
    """Every figure of a choice in money."""
    inputs = {option.chosen: int(option.code == code) for option in live.options}
    inputs |= {extra.ticked: int(extra.key in keys) for extra in live.extras}
    values = evaluate(live.steps, inputs)
    known, _ = spans(live.steps)
    outside = [
        f"{step.name} is {values[step]}, not in {known[step]}"
        for step in live.steps
        if not within(values[step], known[step])
    ]
    assert outside == []
    figures = {name: values[step] for name, step in live.figures.items()}
    figures |= {f"tax {name}": values[step] for name, step in live.taxes}
    return {name: Decimal(value).scaleb(-live.digits) for name, value in figures.items()}


def within(value: int, span: tuple[int, int]) -> bool:
    """True for a number that is as large as was foreseen."""
    return span[0] <= value <= span[1]


def figures_of(tier: PricedTier) -> dict[str, Decimal]:
    """The same figures as the engine gives them."""
    amounts = {name: getattr(tier.amounts, name) for name in tier.amounts.__dataclass_fields__}
    taxes = {f"tax {line.tax}": line.amount for line in tier.taxes}
    others = {name: getattr(tier, name) for name in ("work", "subtotal", "tax", "total", "due", "deposit")}
    return {**amounts, **taxes, **others}


def a_quote(seed: int) -> Quote:
    """The quote of a seed."""
    return build_quote(*a_random_case(seed))
