"""Codes as typed, found in quotes of random jobs: each is a key or a problem that says what to do."""

from __future__ import annotations

from random import Random

import pytest

from quotekit.cli.chosen import chosen_extras, chosen_tier
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from tests.recalculation.combinations import a_case

SEEDS = range(0, 40, 10)
ODD = ("", "@", "@left", "a@b@c", "ΩΣ", "=1+1", "x" * 300, "\u202eEXTRA", "EXTRA-0@", " , ", ",,", "tier-0")


def quotes(first: int) -> list[Quote]:
    """Quotes of ten random jobs that have tiers."""
    return [quote for seed in range(first, first + 10) if (quote := build_quote(*a_case(seed))).tiers]


def priced(quote: Quote) -> list[PricedTier]:
    return [tier for tier in quote.tiers if tier.priced]


def in_any_case(text: str, random: Random) -> str:
    return "".join(random.choice([letter.upper(), letter.lower()]) for letter in text)


@pytest.mark.parametrize("first", SEEDS)
def test_what_is_offered_is_found_in_any_case(first: int) -> None:
    """All the keys at once, and in another order twice."""
    random = Random(first)
    for quote in quotes(first):
        for tier in priced(quote):
            keys = [one.extra for one in tier.extras]
            if len(set(keys)) == len(keys):
                typed = [in_any_case(key, random) for key in [*keys, *random.sample(keys, len(keys))]]
                assert chosen_extras(quote, tier, typed) == (keys, [])
            assert chosen_tier(quote, in_any_case(tier.code, random))[0] is tier


@pytest.mark.parametrize("first", SEEDS)
def test_anything_typed_is_a_key_or_a_problem(first: int) -> None:
    """Every code of the shop book alone and on each side, and what nobody should type."""
    for quote in quotes(first):
        codes = [*quote.book.extras, *quote.book.remedies]
        words = [*ODD, *codes, *(f"{code}@{side}" for code in codes for side in quote.job.positions)]
        for tier in priced(quote):
            for word in words:
                check_answer(quote, tier, word)


def check_answer(quote: Quote, tier: PricedTier, word: str) -> None:
    """One key that is offered, or one problem with something to do."""
    keys, problems = chosen_extras(quote, tier, [word])
    assert len(keys) + len(problems) == 1, word
    assert set(keys) <= {one.extra for one in tier.extras}
    for problem in problems:
        assert problem.text == word and problem.message.endswith(".") and problem.remedy.endswith((".", "?"))


@pytest.mark.parametrize("word", ["tier", "tier-99", "", "=1", "tier-0 "])
def test_a_tier_is_found_or_the_options_are_named(word: str) -> None:
    (quote, *_) = quotes(0)
    tier, problems = chosen_tier(quote, word)
    if tier is None:
        assert [problem.code for problem in problems] == ["unknown-option"]
        assert all(each.code in problems[0].message for each in quote.tiers)
    else:
        assert tier.code == word.strip()
