"""Open quotes under new prices: the same work held at the old price, and what the engine would choose now."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings

from quotekit.model.job import Job
from quotekit.model.open_quotes import OpenQuote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.proposals.open_quotes import OfferedTier, Waiting, price_open, priced_as
from quotekit.pricing.proposals.touched import ALONE, Changed
from quotekit.problems import has_errors
from tests.build import (
    a_finding,
    a_finding_on,
    a_job,
    a_one_off,
    a_plan_item,
    a_rate,
    a_remedy,
    a_step,
    a_tier,
    an_extra,
    an_operation,
)  # fmt: skip
from tests.pricing.proposals.rows import book_of, part
from tests.random_jobs import Case, cases

UNTIL = date(2026, 12, 20)


def shop(seal: str = "40.00", belt: str = "30.00") -> ShopBook:
    """Two ways to put one fault right: a seal or a belt, half an hour each at 100.00 that costs 40.00."""
    return book_of(
        part("SEAL", seal), part("BELT", belt), part("PIN", "1.00"),
        findings=[a_finding("WORN")],
        operations=[
            an_operation("FIT-SEAL", parts="SEAL"), an_operation("FIT-BELT", parts="BELT"), an_operation("OIL"),
        ],
        remedies=[
            a_remedy("SEAL-NEW", ["WORN"], ["FIT-SEAL"], life_years=5),
            a_remedy("BELT-NEW", ["WORN"], ["FIT-BELT"], life_years=5),
        ],
        extras=[an_extra("CLEAN", ["OIL"])],
        tiers=(a_tier("good"),),
        labour_rates=(a_rate("MAIN", 100, 40),),
    )  # fmt: skip


def job(**values: Any) -> Job:
    return a_job(a_finding_on("WORN"), job_number="117", **values)


def waiting(book: ShopBook, of: Job, *, issued: bool = True) -> Waiting:
    """The job as it was issued with a book."""
    offered = {
        tier.code: OfferedTier(
            total=tier.total,
            subtotal=tier.subtotal,
            items=tuple(item.key for item in tier.items),
            extras=tuple(extra.extra for extra in tier.extras),
        )
        for tier in build_quote(book, of).tiers
        if tier.offered
    }  # fmt: skip
    return Waiting(
        number="117", version=1, customer="R. Alder", valid_until=UNTIL, job=of, offered=offered if issued else None
    )


def priced(old: ShopBook, new: ShopBook, of: Job | None = None, *, issued: bool = True) -> OpenQuote:
    return price_open(waiting(old, of or job(), issued=issued), old, new, changed(old, new))


def changed(old: ShopBook, new: ShopBook) -> Changed:
    """Parts that differ: in their lead time alone, or otherwise."""
    other = [code for code in old.parts if old.parts[code] != new.parts[code]]
    leads = {code for code in other if old.parts[code].lead_days != new.parts[code].lead_days}
    amounts = {
        code for code in other if replace(old.parts[code], lead_days=new.parts[code].lead_days) != new.parts[code]
    }
    places = {code for code in other if old.parts[code].replaced_by != new.parts[code].replaced_by}
    return Changed(amounts=frozenset(amounts), places=frozenset(places), leads=frozenset(leads))


def test_held_at_the_old_price_with_the_new_cost() -> None:
    """Belt 30.00, sold at 45.00, half an hour 50.00 that costs 20.00: 95.00 - 50.00 leaves 45.00.

    The belt then costs 36.00: priced again 104.00 - 56.00, held 95.00 - 56.00.
    """
    (tier,) = priced(shop(), shop(belt="36.00")).tiers
    assert (tier.offered_subtotal, tier.margin_now) == (Decimal("95.00"), Decimal("45.00"))
    assert (tier.total_now, tier.total_new) == (Decimal("95.00"), Decimal("104.00"))
    assert (tier.margin_new, tier.margin_held) == (Decimal("48.00"), Decimal("39.00"))
    assert tier.loses is False and tier.same_work


def test_a_quote_that_would_lose_money() -> None:
    """Both parts become dear: 95.00 - (80.00 + 20.00) = -5.00."""
    quote = priced(shop(), shop(seal="90.00", belt="80.00"))
    (tier,) = quote.tiers
    assert tier.margin_held == Decimal("-5.00") and tier.loses is True
    assert tier.margin_new == Decimal("70.00") - Decimal("0.00"), "priced again it would not"
    assert quote.parts == ("BELT",)


def test_exactly_nothing_left_is_no_loss() -> None:
    (tier,) = priced(shop(), shop(seal="90.00", belt="75.00")).tiers
    assert tier.margin_held == 0 and tier.loses is False


def test_the_work_as_offered_is_held_though_other_work_is_chosen() -> None:
    """The belt was the cheaper way; now the seal is. Held, the belt has to be fitted for 95.00."""
    quote = priced(shop(), shop(belt="60.00"))
    (tier,) = quote.tiers
    assert tier.total_new == Decimal("110.00"), "the seal"
    assert tier.margin_held == Decimal("95.00") - Decimal("80.00")
    assert not tier.same_work
    assert quote.parts == ("BELT",)


def test_a_part_that_only_the_new_choice_brings_is_touched_too() -> None:
    """The seal becomes cheaper than the belt."""
    quote = priced(shop(), shop(seal="20.00"))
    assert quote.parts == ("SEAL",)
    assert quote.tiers[0].margin_held == Decimal("45.00"), "the belt costs what it did"


def test_a_quote_that_holds_no_changed_part() -> None:
    old = shop()
    new = replace(old, parts={**old.parts, "PIN": replace(old.parts["PIN"], pack_cost=Decimal(3))})
    assert priced(old, new).parts == ()


def test_a_part_that_another_one_stands_for_touches_no_quote() -> None:
    """The work asks for BELT-OLD, in whose place the book has the belt: nobody asks the old one's price any more."""
    gone = part("BELT-OLD", "28.00", replaced_by="BELT")
    fit = an_operation("FIT-BELT", parts="BELT-OLD")
    old = replace(
        shop(), parts={**shop().parts, "BELT-OLD": gone}, operations={**shop().operations, "FIT-BELT": fit}
    )  # fmt: skip
    new = replace(old, parts={**old.parts, "BELT-OLD": replace(gone, pack_cost=Decimal(35))})
    quote = priced(old, new)
    assert (quote.parts, quote.tiers[0].total_new) == ((), quote.tiers[0].total_now)


def test_a_part_whose_place_another_one_takes_now_touches_the_quote() -> None:
    """The work asks for BELT-OLD; in its place the book has the belt and would have the seal: another price."""
    gone = part("BELT-OLD", "28.00", replaced_by="BELT")
    fit = an_operation("FIT-BELT", parts="BELT-OLD")
    old = replace(
        shop(), parts={**shop().parts, "BELT-OLD": gone}, operations={**shop().operations, "FIT-BELT": fit}
    )  # fmt: skip
    new = replace(old, parts={**old.parts, "BELT-OLD": replace(gone, replaced_by="SEAL")})
    quote = priced(old, new)
    assert quote.tiers[0].total_new != quote.tiers[0].total_now
    assert quote.parts == ("BELT-OLD",)


def test_the_part_that_takes_anothers_place_touches_with_it() -> None:
    """The seal takes the belt's place: the quote held the belt, and would hold the seal at its new cost."""
    dearer = shop(seal="41.00")
    new = replace(dearer, parts={**dearer.parts, "BELT": replace(dearer.parts["BELT"], replaced_by="SEAL")})
    assert priced(shop(), new).parts == ("BELT", "SEAL")


@pytest.mark.parametrize(
    "values",
    [{"own_parts": ("BELT",)}, {"parts": {"BELT": part("BELT", "25.00")}}],
    ids=["customer's own", "the job's"],
)
def test_a_part_that_the_shop_book_does_not_price_touches_no_quote(values: dict[str, Any]) -> None:
    quote = priced(shop(), shop(belt="60.00"), job(plan=(a_plan_item("good", "BELT-NEW"),), **values))
    (tier,) = quote.tiers
    assert tier.total_new == tier.total_now and tier.margin_held == tier.margin_now
    assert quote.parts == ()


def offering(oil: str = "8.00", seal: str = "40.00") -> ShopBook:
    """The shop offers an oil change while the cover is open; the seal is the other way to put the fault right."""
    book = shop(seal=seal)
    return replace(
        book,
        parts={**book.parts, "OIL-1": part("OIL-1", oil)},
        access={"COVER": a_step("COVER", "0.05", "0.05")},
        operations={
            **book.operations,
            "FIT-BELT": an_operation("FIT-BELT", parts="BELT", access=("COVER",)),
            "OIL": an_operation("OIL", parts="OIL-1", access=("COVER",)),
        },
    )


@pytest.mark.parametrize("issued", [True, False])
def test_a_part_of_an_extra_that_is_offered_touches_as_an_extra(issued: bool) -> None:
    """The quote promises the oil change for a price; the option itself has no oil in it."""
    quote = priced(offering(), offering(oil="12.00"), issued=issued)
    (tier,) = quote.tiers
    assert (quote.parts, quote.extra_parts) == ((), ("OIL-1",)) and quote.touched
    assert tier.total_new == tier.total_now


def test_a_part_of_the_option_is_not_told_as_an_extra_too() -> None:
    old = offering()
    new = replace(old, parts={**old.parts, "BELT": replace(old.parts["BELT"], pack_cost=Decimal(31))})
    assert (priced(old, new).parts, priced(old, new).extra_parts) == (("BELT",), ())


@pytest.mark.parametrize("values", [{"own_parts": ("OIL-1",)}, {"parts": {"OIL-1": part("OIL-1", "9.00")}}])
def test_an_extra_of_a_part_that_the_shop_book_does_not_price(values: dict[str, Any]) -> None:
    assert not priced(offering(), offering(oil="12.00"), job(**values)).touched


def test_an_extra_that_was_not_offered_touches_nothing() -> None:
    """It was handed over without the oil change, which the book of today would offer."""
    alone = replace(waiting(offering(), job()), offered={
        "good": OfferedTier(total=Decimal(95), subtotal=Decimal(95), items=("BELT-NEW",)),
    })  # fmt: skip
    old, new = offering(), offering(oil="12.00")
    assert not price_open(alone, old, new, changed(old, new)).touched


def leads(belt: int | None, pin: int) -> ShopBook:
    """The belt and a pin are fitted together, and each comes after its own days."""
    book = shop()
    both = {"BELT": replace(book.parts["BELT"], lead_days=belt), "PIN": replace(book.parts["PIN"], lead_days=pin)}
    fit = an_operation("FIT-BELT", parts="BELT; PIN")
    return replace(book, parts={**book.parts, **both}, operations={**book.operations, "FIT-BELT": fit})


@pytest.mark.parametrize(
    ("old", "new", "expected", "why"),
    [
        ((5, 2), (5, 3), (), "the belt takes longer all the same"),
        ((5, 2), (7, 2), ("BELT",), "ready later"),
        ((5, 2), (5, 9), ("PIN",), "it becomes the slowest"),
        ((5, 5), (5, 4), (), "the belt still takes five"),
        ((5, 2), (2, 2), ("BELT",), "ready sooner"),
        ((5, 2), (6, 3), ("BELT",), "the pin's days are not what is waited for"),
        ((None, 2), (4, 3), ("BELT",), "when it is ready was not known"),
    ],
)
def test_another_lead_time_touches_where_the_work_is_ready_on_another_day(
    old: tuple[int | None, int], new: tuple[int, int], expected: tuple[str, ...], why: str
) -> None:
    assert priced(leads(*old), leads(*new)).parts == expected, why


@pytest.mark.parametrize(
    ("cost", "expected", "why"),
    [
        ("30.001", (), "45.0015 is 45.00, and 30.001 is 30.00"),
        ("30.004", ("BELT",), "30.00 to spend, but 45.006 is 45.01"),
        ("29.999", (), "44.9985 is 45.00"),
        ("29.99", ("BELT",), "a cent less to spend"),
    ],
)
def test_a_quote_is_touched_to_the_cent(cost: str, expected: tuple[str, ...], why: str) -> None:
    """A price for a hundred brings thousandths of a cent, which no quote shows and no till pays."""
    assert priced(shop(), shop(belt=cost)).parts == expected, why


def test_an_option_that_is_not_offered_touches_nothing() -> None:
    """The seal lasts longer and costs more than `best` may: it is planned for `best`, which the customer never saw."""
    old, new = (replace(shop(seal=seal), tiers=(a_tier("good"), a_tier("best"))) for seal in ("40.00", "44.00"))
    of = job(plan=(a_plan_item("best", "SEAL-NEW"),))
    tiers = {tier.code: tier.offered for tier in build_quote(old, of).tiers}
    assert tiers == {"good": True, "best": False}, "it fixes no more, lasts no longer, and costs more"
    assert not priced(old, new, of).touched


def test_a_job_that_was_not_issued() -> None:
    """Nothing was promised: today's price stands for the offered one."""
    quote = priced(shop(), shop(belt="36.00"), issued=False)
    (tier,) = quote.tiers
    assert not quote.issued and tier.offered_total is None
    assert tier.margin_held == Decimal("39.00")


def test_the_book_may_have_changed_since_it_was_issued() -> None:
    """Offered at 90.00 with an older book; today's book asks 95.00."""
    held = replace(
        waiting(shop(), job()),
        offered={"good": OfferedTier(total=Decimal(90), subtotal=Decimal(90), items=("BELT-NEW",))},
    )
    (tier,) = price_open(held, shop(), shop(belt="36.00"), Changed(amounts=frozenset({"BELT"}))).tiers
    assert (tier.offered_total, tier.total_now) == (Decimal(90), Decimal("95.00"))
    assert tier.margin_held == Decimal("90.00") - Decimal("56.00")


@pytest.mark.parametrize(
    "values",
    [
        {"extras": (), "one_off": (a_one_off(1, "part", 2, unit_cost="3.00"),)},
        {"one_off": (a_one_off(1, "labour", "0.5"),)},
        {"discount_percent": Decimal("0.1"), "discount_reason": "friend"},
    ],
)
def test_what_a_job_brings_itself_is_counted_once(values: dict[str, Any]) -> None:
    """Held with no price changed is what the quote leaves today, one-off lines and discounts with it."""
    of = job(**values)
    (tier,) = priced(shop(), shop(), of).tiers
    assert tier.margin_held == tier.margin_now


def test_a_cost_of_labour_that_is_not_known() -> None:
    book = replace(shop(), labour_rates=(a_rate("MAIN", 100, None),))
    (tier,) = priced(book, book).tiers
    assert tier.margin_held is None and tier.loses is None


def test_a_job_that_can_not_be_read() -> None:
    quote = price_open(
        replace(waiting(shop(), job()), job=None, trouble="there is no remedy X"), shop(), shop(), Changed()
    )
    assert quote.trouble == "there is no remedy X" and quote.tiers == ()


def three_tiers() -> ShopBook:
    """`good` is the same work as nothing more than `better` does, so that it is not offered."""
    return replace(
        shop(), tiers=(a_tier("good"), a_tier("better", aim="longest life"), a_tier("best", aim="least to own"))
    )


def test_an_option_is_held_by_itself() -> None:
    """The option before it may hold other work under the new prices: that is no matter for what was promised."""
    old = three_tiers()
    new = replace(old, parts={**old.parts, "BELT": replace(old.parts["BELT"], pack_cost=Decimal(60))})
    quote = price_open(waiting(old, job()), old, new, Changed(amounts=frozenset({"BELT"})))
    assert quote.tiers and all(tier.margin_held == Decimal("15.00") for tier in quote.tiers)


def test_work_that_the_book_no_longer_has() -> None:
    """It is told as not known, and the rest is priced."""
    held = replace(waiting(shop(), job()), offered={
        "good": OfferedTier(total=Decimal(90), subtotal=Decimal(90), items=("GONE-NEW",)),
    })  # fmt: skip
    (tier,) = price_open(held, shop(), shop(belt="36.00"), Changed(amounts=frozenset({"BELT"}))).tiers
    assert tier.margin_held is None and tier.loses is None and tier.total_new == Decimal("104.00")


@settings(max_examples=30, deadline=None)
@given(cases())
def test_held_with_nothing_changed_is_what_the_quote_leaves(case: Case) -> None:
    """Random jobs: pricing an option as the work it holds gives the option again, to the last figure."""
    book, random_job = case
    quote = build_quote(book, random_job)
    if has_errors(quote.problems):
        return
    for tier in quote.offered:
        again = priced_as(book, random_job, tier.code, [item.key for item in tier.items])[ALONE]
        assert (again.subtotal, again.total, again.cost, again.margin) == (
            tier.subtotal, tier.total, tier.cost, tier.margin,
        )  # fmt: skip
        assert again.part_lines == tier.part_lines
