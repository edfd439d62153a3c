"""Today's figures held against a quote that was given: which price stands, what is left, what loses money."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.holding import first_losses, hold, hold_tier, mark_same, sums
from quotekit.model.batch import BatchedJob, Given, TierGiven, TierNow

CENTS = st.decimals(0, 10_000, places=2)


def money(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def now(
    total: str | None = "342.40",
    subtotal: str | None = "320.00",
    cost: str | None = "210.00",
    *,
    code: str = "good",
    offered: bool = True,
    items: tuple[str, ...] = ("NEWBUSH@left",),
) -> TierNow:
    return TierNow(
        code=code,
        name=code.title(),
        offered=offered,
        items=items,
        total=money(total),
        subtotal=money(subtotal),
        cost=money(cost),
    )


def before(
    total: str | None = "214.00", subtotal: str | None = "200.00", items: tuple[str, ...] | None = ("NEWBUSH@left",)
) -> TierGiven:
    return TierGiven(total=money(total), subtotal=money(subtotal), items=None if items is None else frozenset(items))


def quote(*codes: str, open_: bool = True) -> Given:
    return Given(origin="the ledger", tiers={code: before() for code in codes}, open=open_)


def batched(file: str, tiers: list[TierNow], given_: Given | None = None) -> BatchedJob:
    return BatchedJob(
        file=file,
        job=file,
        version=1,
        customer="",
        machine="",
        valid_until="",
        day=None,
        tiers=hold(tiers, given_),
        problems=(),
        given=given_,
    )


def test_the_worked_example() -> None:
    """As in the docstring: at today's price it would leave 110.00, at the quote's price it loses 10.00."""
    held = hold_tier(now(), before())
    assert (held.difference, held.left, held.left_now) == (Decimal("128.40"), Decimal("-10.00"), Decimal("110.00"))
    assert (held.loses, held.stands, held.other_work) == ("yes", True, False)


@pytest.mark.parametrize(
    ("tier", "given_", "open_", "left", "loses", "why"),
    [
        (now(), None, True, "110.00", "no", "without a quote today's price stands"),
        (now(), before(), False, "110.00", "no", "a quote that was answered stands no more"),
        (now(), before(items=("OTHER",)), True, "110.00", "no", "another work's price is held against no cost"),
        (now(), before(items=None), True, "-10.00", "yes", "what it does is not known, so it is taken for the same"),
        (now(cost=None), before(), True, None, "not known", "an hour's cost is not known"),
        (now(), before(subtotal=None), True, "110.00", "no", "a quote of unknown price before tax does not stand"),
        (now(subtotal="200.00", cost="200.00"), None, True, "0.00", "no", "nothing left is no loss"),
        (now(subtotal="200.00", cost="200.01"), None, True, "-0.01", "yes", "a cent is"),
        (now(offered=False, cost="400"), None, True, "-80.00", "", "what is not offered loses nothing"),
        (now(offered=False), before(), True, "-10.00", "yes", "a quote stands though it would not be offered today"),
        (now(total=None, subtotal=None, cost=None, offered=False), None, True, None, "", "no figures at all"),
    ],
)
def test_which_price_stands(
    tier: TierNow, given_: TierGiven | None, open_: bool, left: str | None, loses: str, why: str
) -> None:
    held = hold_tier(tier, given_, open_=open_)
    assert (held.left, held.loses) == (money(left), loses), why


def test_options_are_held_against_the_same_option() -> None:
    held = hold([now(code="good"), now(code="best")], quote("best"))
    assert [tier.given is not None for tier in held] == [False, True]
    assert [tier.difference for tier in held] == [None, Decimal("128.40")]


def test_no_difference_of_what_would_not_be_offered_today() -> None:
    assert hold_tier(now(offered=False), before()).difference is None


@given(CENTS, CENTS, CENTS, st.booleans())
def test_a_loss_is_what_costs_more_than_the_price_that_stands(
    price: Decimal, given_price: Decimal, cost: Decimal, open_: bool
) -> None:
    tier = now(subtotal=f"{price}", cost=f"{cost}")
    held = hold_tier(tier, before(subtotal=f"{given_price}"), open_=open_)
    stands = given_price if open_ else price
    assert held.left == stands - cost
    assert (held.loses == "yes") == (cost > stands)


def test_sums_are_of_open_quotes_by_option() -> None:
    """A customer takes one option, so options are never added up with each other."""
    jobs = [
        batched("a", [now(code="good"), now(code="best")], quote("good", "best")),
        batched("b", [now(code="good")], quote("good")),
        batched("c", [now(code="good")], quote("good", open_=False)),
        batched("d", [now(code="good")]),
    ]
    assert [(each.name, each.quotes, each.given, each.new, each.difference) for each in sums(jobs)] == [
        ("Good", 2, Decimal("428.00"), Decimal("684.80"), Decimal("256.80")),
        ("Best", 1, Decimal("214.00"), Decimal("342.40"), Decimal("128.40")),
    ]


def test_sums_stand_in_the_order_of_the_tiers() -> None:
    """Also where the first open quote did not offer the first of them."""
    jobs = [
        batched("a", [now(code="good"), now(code="best")], quote("best")),
        batched("b", [now(code="good"), now(code="best")], quote("good")),
    ]
    assert [each.name for each in sums(jobs)] == ["Good", "Best"]


def test_a_quote_that_several_files_tell_of_counts_once() -> None:
    """A kept copy of a job has its number and version, so the same quote was given for both."""
    first, copy, other = (batched(file, [now()], quote("good")) for file in ("a", "a - Copy", "b"))
    copy = replace(copy, job="a")
    marked = mark_same([first, copy, other, replace(copy, file="a, version 2", version=2)])
    assert [job.same_as for job in marked] == ["", "a", "", ""]
    assert [(each.quotes, each.given) for each in sums(marked[:3])] == [(2, Decimal("428.00"))]


def test_a_copy_counts_where_the_first_can_not_be_priced() -> None:
    refused, copy = batched("a", []), replace(batched("a - Copy", [now()], quote("good")), job="a")
    assert [job.same_as for job in mark_same([refused, copy])] == ["", ""]


def test_losses_of_open_quotes_come_first_the_largest_at_the_top() -> None:
    jobs = [
        batched("today", [now(subtotal="10.00", cost="500.00")]),
        batched("small", [now(cost="201.00")], quote("good")),
        batched("large", [now(cost="260.00")], quote("good")),
        batched("none", [now()]),
    ]
    assert [job.file for job, _ in first_losses(jobs)] == ["large", "small", "today"]
    assert [job.loses for job in jobs] == [True, True, True, False]
