"""What must hold for every shop book and job, whatever the figures are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations, pairwise
from random import Random
from typing import Any
from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.model.job import Job, PlanItem
from quotekit.model.quote import PricedTier, WorkLine
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination, prune
from quotekit.pricing.part_price import unit_price
from quotekit.problems import has_errors
from tests import build
from tests.oracle.candidates import all_allowed, faults_of, needed_by
from tests.oracle.choose import Chooser, left_of, valid_sets
from tests.oracle.compare import differences, quote_figures
from tests.oracle.tiers import a_world, standing_items
from tests.oracle.work import Item, World
from tests.random_jobs import Case, JobMaker, a_random_case, cases, seeds


def tiers_of(case: Case) -> tuple[PricedTier, ...]:
    """Tiers that could be worked out."""
    return tuple(tier for tier in build_quote(*case).tiers if tier.priced)


def items_of(world: World, tier: PricedTier) -> list[Item]:
    """A tier's remedies and one-off lines as the plain implementation knows them."""
    lines = {line.code: line for line in world.job.one_off}
    remedies = world.book.remedies
    return [
        Item(item.code, item.side, item.kind, remedies.get(item.code) or lines.get(item.code))
        for item in tier.items
        if item.kind in ("remedy", "one-off")
    ]


@given(cases())
def test_shares_add_up(case: Case) -> None:
    """What the items pay is what the customer pays for labour, parts and sublet, to the minor unit."""
    for tier in tiers_of(case):
        if tier.items:
            paid = sum(share.amount for share in tier.shares)
            assert paid == tier.amounts.labour + tier.amounts.parts + tier.amounts.sublet
            assert all(share.amount >= 0 for share in tier.shares)


@given(cases())
def test_shared_hours_are_those_of_the_lines(case: Case) -> None:
    """Each item pays an equal part of what it uses; a step used by one item is paid by it alone."""
    book, job = case
    for tier in tiers_of((book, replace(job, condition=None))):
        hours = {item.key: Fraction(0) for item in tier.items}
        working = [item.key for item in tier.items if not item.done_by_larger_work] or list(hours)
        for line in [*tier.operations, *tier.access]:
            for user in line.users or working:
                hours[user] += Fraction(line.hours) / len(line.users or working)
        for one_off in job.one_off:
            if one_off.kind == "labour" and one_off.code in hours:
                hours[one_off.code] += Fraction(one_off.quantity)
        for share in tier.shares:
            assert abs(Fraction(share.hours) - hours[share.item]) <= Fraction(1, 20000)


@given(cases())
def test_no_item_pays_more_for_access_than_alone(case: Case) -> None:
    """Sharing never makes opening and closing dearer for anyone."""
    book, job = case
    for tier in tiers_of(case)[:1]:
        working = [item.key for item in tier.items if not item.done_by_larger_work] or [item.key for item in tier.items]
        for item in tier.items:
            alone = alone_in_a_tier(book, job, tier.code, item.code, item.side)
            if item.kind != "one-off" and alone is not None:
                assert access_share(tier.access, item.key, working) <= Fraction(alone.hours.access)


def access_share(steps: tuple[WorkLine, ...], key: str, working: list[str]) -> Fraction:
    """An item's part of the access hours."""
    users = [(line.hours, line.users or working) for line in steps]
    return sum((Fraction(hours) / len(names) for hours, names in users if key in names), Fraction(0))


def alone_in_a_tier(book: ShopBook, job: Job, tier: str, code: str, side: str | None) -> PricedTier | None:
    """The item by itself, where a plan may hold it by itself."""
    plan = (PlanItem(tier=tier, code=code, side=side),)
    if code.startswith("ONEOFF"):
        return None
    quote = build_quote(book, replace(job, plan=plan, extras=(), one_off=()))
    return None if has_errors(quote.problems) else next(one for one in quote.tiers if one.code == tier)


@given(cases())
def test_more_work_takes_no_fewer_hours(case: Case) -> None:
    """Without bundles and inclusions, what is added never lowers the hours."""
    book, job = case
    operations = {code: replace(row, includes=()) for code, row in book.operations.items()}
    plain = replace(book, operations=operations, bundles={})
    for tier in tiers_of((plain, job)):
        for extra in tier.extras:
            together = price_combination(plain, job, tier.code, [extra.extra])
            assert worked(together) >= worked(tier)
            assert sum(together.hours.billed.values()) >= sum(tier.hours.billed.values())


def worked(tier: PricedTier) -> Decimal:
    """Hours before rounding."""
    return tier.hours.access + tier.hours.net + tier.hours.allowance


@given(cases())
def test_the_order_of_rows_changes_nothing(case: Case) -> None:
    """Rows of the sheets without a meaning in their order, and of the job, may be swapped."""
    book, job = case
    sheets = ("operations", "parts", "findings", "remedies", "access", "suppliers", "extras", "fees", "conditions")
    mixed: dict[str, Any] = {
        name: dict(reversed(getattr(book, name).items())) for name in sheets if getattr(book, name)
    }
    mixed |= {"parts_used": book.parts_used[::-1], "fits_only_if": book.fits_only_if[::-1]}
    other = replace(job, findings=job.findings[::-1], extras=job.extras[::-1], plan=job.plan[::-1])
    first, second = build_quote(book, job), build_quote(replace(book, **mixed), other)
    assert differences(quote_figures(first), quote_figures(second)) == []


@given(st.data())
def test_a_price_never_falls_when_the_cost_rises(data: st.DataObject) -> None:
    """Bands whose markup falls with cost do not make a dearer part cheaper."""
    cents = st.integers(1, 20_000)
    low, high = sorted([data.draw(cents), data.draw(cents)])
    tops = sorted(data.draw(st.sets(cents, max_size=3)))
    markups = data.draw(st.lists(st.integers(0, 300), min_size=4, max_size=4))
    edges = [0, *tops, None]
    bands = tuple(
        build.a_band(
            Decimal(edges[i] or 0) / 100,
            None if (top := edges[i + 1]) is None else Decimal(top) / 100,
            Decimal(markups[i]) / 100,
        )
        for i in range(len(edges) - 1)
    )
    listed = data.draw(st.none() | cents.map(lambda value: Decimal(value) / 100))
    pack = data.draw(st.integers(1, 12))
    prices = [
        unit_price(build.a_part("P", Decimal(cost) / 100, pack, list_price_each=listed), bands, 2).price
        for cost in (low, high)
    ]
    assert prices[0] <= prices[1]
    assert prices[0] * pack >= Decimal(low) / 100 - Decimal("0.005") * pack


@given(cases())
def test_each_tier_fixes_what_the_one_before_fixes(case: Case) -> None:
    """From least to most."""
    tiers = [tier for tier in tiers_of(case) if not tier.planned]
    if not case[1].plan and not any(line.tiers for line in case[1].one_off):
        for one, other in pairwise(tiers):
            assert set(one.fixed) <= set(other.fixed)


@given(cases())
def test_offered_tiers_are_safe_and_complete(case: Case) -> None:
    """Every safety finding is put right, and what the remedies need; every remedy fits."""
    world = a_world(*case)
    faults = faults_of(world)
    for tier in tiers_of(case):
        items = items_of(world, tier)
        assert all_allowed(world, items)
        assert set().union(*(needed_by(world, item) for item in items)) <= set(tier.fixed)
        if tier.offered:
            assert not [key for key in tier.left if faults[key].severity == "safety"]
        assert sorted([*tier.fixed, *tier.left]) == sorted(faults)


@given(cases())
def test_what_an_offer_brings_is_allowed_too(case: Case) -> None:
    """A found remedy fits, and has what it needs, in the tier with it."""
    world = a_world(*case)
    for tier in tiers_of(case):
        for offer in tier.extras:
            if offer.kind == "remedy":
                remedy = Item(offer.code, offer.side, "remedy", world.book.remedies[offer.code])
                assert all_allowed(world, [*items_of(world, tier), remedy])


@given(cases(), st.randoms(use_true_random=False))
def test_extras_together_cost_no_more_than_their_limits(case: Case, random: Random) -> None:
    """Any set of extras: the work is at most the tier's plus the sum of `at_most`."""
    for tier in tiers_of(case):
        limit = {extra.extra: extra.at_most for extra in tier.extras}
        for taken in some_sets(sorted(limit), random):
            together = price_combination(*case, tier.code, list(taken))
            assert together.work <= tier.work + sum(limit[key] for key in taken)


def some_sets(keys: list[str], random: Random) -> Iterator[tuple[str, ...]]:
    """Each one, some pairs, and all."""
    yield from combinations(keys, 1)
    pairs = list(combinations(keys, 2))
    yield from random.sample(pairs, min(3, len(pairs)))
    if len(keys) > 2:
        yield tuple(keys)


@given(cases())
def test_nothing_permitted_is_cheaper(case: Case) -> None:
    """The first tier by lowest price against every other permitted set that leaves no more."""
    world = a_world(*case)
    tier = world.book.tiers[0]
    quote = build_quote(*case)
    if tier.aim != "lowest price" or not quote.tiers or quote.tiers[0].planned:
        return
    others = standing_items(world, tier)
    lines = [item for item in others if item.kind == "one-off"]
    base = {key for key, fault in faults_of(world).items() if fault.severity in tier.covers}
    chooser = Chooser(world)
    taken = [item for item in items_of(world, quote.tiers[0]) if item.kind == "remedy"]
    least = left_of(world, taken + lines, base, set())
    for subset in valid_sets(world, chooser.candidates, base, lines):
        left = left_of(world, subset + lines, base, set())
        assert left >= least
        if left == least:
            assert Fraction(quote.tiers[0].work) <= chooser.choice(subset, others).priced.work


@given(seeds())
def test_leaving_out_choices_changes_nothing(seed: int) -> None:
    """Choices that cannot win are left out only where that is exact."""
    maker = JobMaker(Random(seed), wide=True)
    book = maker.book()
    job = maker.job(book)
    terms = replace(book.settings, freight_to_customer="none", minimum_labour_hours=Decimal(0))
    book = replace(book, settings=terms)
    with mock.patch.object(prune, "WORTH_PRUNING", 0):
        pruned = quote_figures(build_quote(book, job))
    assert differences(quote_figures(build_quote(book, job)), pruned) == []


@settings(max_examples=20, deadline=None, derandomize=True)
@given(seeds())
def test_the_same_inputs_give_the_same_quote(seed: int) -> None:
    """Nothing outside book and job counts."""
    assert build_quote(*a_random_case(seed)) == build_quote(*a_random_case(seed))
