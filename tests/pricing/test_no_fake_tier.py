"""No dominated, repeated or unsafe tier is ever offered, and every proof is one: on random jobs, each way of choosing.

The measures are taken from the quote and from tests/oracle, not from the rules that withhold a tier.
Set QUOTEKIT_FAKE_TIER_JOBS for a longer run, QUOTEKIT_FAKE_TIER_START for other seeds.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations, pairwise, permutations

import pytest

from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from tests import build
from tests.oracle.candidates import faults_of
from tests.oracle.choose import Chooser, best_of, lives_of
from tests.oracle.tiers import a_world, standing_items
from tests.oracle.work import Item, World
from tests.random_jobs import a_random_case
from tests.solver.big_jobs import STYLES, a_big_case
from tests.solver.doors import the_engine_with

JOBS = int(os.environ.get("QUOTEKIT_FAKE_TIER_JOBS", "36"))
START = int(os.environ.get("QUOTEKIT_FAKE_TIER_START", "0"))
WAYS = ("", "listed", "tangled")
NEVER = 10**9


@cache
def quote_of(seed: int) -> tuple[World, Quote, str]:
    """A small job's quote, chosen one way after the other."""
    book, job = a_random_case(seed)
    way = WAYS[seed % len(WAYS)]
    with the_engine_with(way):
        return a_world(book, job), build_quote(book, job), way


def quotes() -> Iterator[tuple[int, World, Quote]]:
    """All of them, with their seeds."""
    for seed in range(START, START + JOBS):
        world, quote, _ = quote_of(seed)
        yield seed, world, quote


def lives(world: World, tier: PricedTier) -> dict[str, Fraction]:
    """Years each fixed finding lasts, as the plain implementation reads the shop book."""
    remedies = [
        Item(item.code, item.side, "remedy", world.book.remedies[item.code])
        for item in tier.items
        if item.kind == "remedy"
    ]
    return lives_of(world, remedies)


def is_beaten(world: World, tier: PricedTier, other: PricedTier) -> bool:
    """The other costs no more (work), fixes no less, lasts no less, is ready no later, and is better in one of them."""
    mine, theirs = lives(world, tier), lives(world, other)
    late, early = (NEVER if one.ready_days is None else one.ready_days for one in (tier, other))
    no_worse = (
        other.work <= tier.work
        and set(other.fixed) >= set(tier.fixed)
        and all(theirs.get(key, life) >= life for key, life in mine.items())
        and early <= late
    )
    longer = any(theirs.get(key, life) > life for key, life in mine.items())
    better = other.work < tier.work or set(other.fixed) > set(tier.fixed) or longer or early < late
    return no_worse and better


def work_of(tier: PricedTier) -> tuple[object, ...]:
    """Operations, parts and one-off lines: what makes two tiers the same work."""
    lines = sorted(item.key for item in tier.items if item.kind == "one-off")
    parts = sorted((line.part, line.quantity) for line in tier.part_lines)
    return sorted(line.key for line in tier.operations), parts, lines


def test_no_offered_tier_is_beaten_by_another() -> None:
    """Nothing is shown that costs more and does less."""
    beaten = [
        (seed, one.code, other.code)
        for seed, world, quote in quotes()
        for one, other in permutations(quote.offered, 2)
        if is_beaten(world, one, other)
    ]
    assert beaten == []


def test_no_two_offered_tiers_are_the_same_work() -> None:
    """The same work under two names would be a fake choice."""
    same = [
        (seed, one.code, other.code)
        for seed, _, quote in quotes()
        for one, other in combinations(quote.offered, 2)
        if work_of(one) == work_of(other)
    ]
    assert same == []


def test_every_offered_tier_fixes_every_safety_finding() -> None:
    """Safety is in each of them, whatever it covers else."""
    for seed, world, quote in quotes():
        safety = {key for key, found in faults_of(world).items() if found.severity == "safety"}
        for tier in quote.offered:
            assert safety <= set(tier.fixed), seed
            assert tier.safety_left == (), seed


def test_what_is_fixed_below_is_fixed_above() -> None:
    """Each tier that could be worked out holds all that the nearest earlier one puts right."""
    for seed, _, quote in quotes():
        worked = [tier for tier in quote.tiers if tier.priced]
        for lower, upper in pairwise(worked):
            assert set(lower.fixed) <= set(upper.fixed), seed


def value_of(tier: PricedTier) -> Decimal:
    """What the bound of a tier's proof is a bound of."""
    return tier.horizon_cost if tier.aim == "least to own" else tier.work


def faults_of_proof(tier: PricedTier, way: str) -> list[str]:
    """Figures of a proof that do not agree with each other or with the tier; nothing for a proof.

    The integer model, made to settle a single choice, prices it again at each stage: that one count is not held here.
    """
    proof = tier.proof
    if proof is None:
        return ["there is none"]
    wanted = "plan" if tier.planned else "integer model" if way else proof.method
    counted = int(proof.choices) if proof.choices.isdigit() else None
    checks = {
        f"method {proof.method}, not {wanted}": proof.method == wanted,
        "a choice was priced": proof.priced >= 1,
        f"gap {proof.gap}, bound {proof.bound}, value {value_of(tier)}": proof.gap == value_of(tier) - proof.bound == 0,
        "settled": proof.settled,
        f"priced {proof.priced} of {proof.choices}": counted is None or proof.priced <= counted,
        f"compared {tier.compared} of {proof.choices}": counted is None or tier.compared == counted,
        "counted where choices are listed": counted is not None or way != "listed",
    }
    return [said for said, holds in checks.items() if not holds]


def test_every_proof_is_one() -> None:
    """The bound is reached, a choice was priced and no more than there were; small jobs leave no gap."""
    wrong = [
        f"seed {seed} {quote_of(seed)[2]} {tier.code}: {line}"
        for seed, _, quote in quotes()
        for tier in quote.tiers
        if tier.priced and not tier.planned
        for line in faults_of_proof(tier, quote_of(seed)[2])
    ]
    assert wrong == []


def test_compared_is_the_number_of_choices() -> None:
    """All permitted sets that leave least, counted by trying every subset; what pruning leaves out is counted too."""
    for seed, world, quote in quotes():
        chooser, before = Chooser(world), set[str]()
        for tier, priced in zip(world.book.tiers, quote.tiers, strict=bool(quote.tiers)):
            if priced.priced and not priced.planned and quote_of(seed)[2] != "tangled":
                counted = best_of(chooser, tier, before, standing_items(world, tier)).compared
                assert priced.compared == counted, seed
            if priced.priced:
                before = set(priced.fixed)


@pytest.mark.parametrize("style", STYLES)
def test_a_large_job_offers_no_fake_tier(style: str) -> None:
    """All of it once more where the integer model has to choose."""
    case = a_big_case(6, style, 4)
    world, quote = a_world(*case), build_quote(*case)
    assert quote.offered
    assert not [(one.code, two.code) for one, two in permutations(quote.offered, 2) if is_beaten(world, one, two)]
    for one, two in combinations(quote.offered, 2):
        assert work_of(one) != work_of(two)
        assert set(one.fixed) <= set(two.fixed)
    assert [line for tier in quote.tiers for line in faults_of_proof(tier, "")] == []


def test_the_measure_of_beaten_can_say_yes() -> None:
    """A tier beside a copy that costs a cent less, or is ready a day sooner, is beaten; beside itself it is not."""
    book = build.a_book(
        operations=[build.an_operation("FIT")],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("BUSH", ["WORN"], ["FIT"])],
        tiers=[build.a_tier("good")],
    )
    case = book, build.a_job(build.a_finding_on("WORN"))
    world, (tier,) = a_world(*case), build_quote(*case).tiers
    assert not is_beaten(world, tier, tier)
    assert is_beaten(world, tier, replace(tier, work=tier.work - Decimal("0.01")))
    assert is_beaten(world, replace(tier, ready_days=None), tier)
    assert is_beaten(world, replace(tier, fixed=()), tier)
    assert not is_beaten(world, tier, replace(tier, work=tier.work - 1, fixed=()))
    assert work_of(tier) != work_of(replace(tier, operations=()))


def test_the_measure_of_a_proof_can_say_no() -> None:
    """A bound that is not reached, choices not counted and ties left open are no proof."""
    _, quote, way = quote_of(0)
    tier = quote.tiers[0]
    assert tier.proof is not None
    assert faults_of_proof(tier, way) == []
    cheaper = replace(tier.proof, bound=tier.proof.bound - 1)
    two = replace(tier, compared=2, proof=replace(tier.proof, choices="2", priced=3))
    for proof in (None, cheaper, replace(tier.proof, settled=False), replace(tier.proof, priced=0)):
        assert len(faults_of_proof(replace(tier, proof=proof), way)) == 1
    assert faults_of_proof(two, way) == ["priced 3 of 2"]
