"""The whole way from a shop book and a job to a quote, one case worked by hand, and in other currencies."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal, localcontext
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build
from tests.pricing.priced import keys_of, plain, quantities_of, texts


def a_thrower_book(**settings: Any) -> ShopBook:
    """Bushings of two qualities on each side, a belt and a lamp, behind one cover."""
    return build.a_book(
        settings=build.settings(
            **{
                "minimum_labour_hours": 1,
                "supplies_percent_of_labour": Decimal("0.05"),
                "inspection_fee": 30,
                "inspection_fee_credited": "when work goes ahead",
                "freight_to_customer": "this job alone",
                "deposit_on_ordered_parts": Decimal("0.5"),
                "queue_days": 2,
            }
            | settings
        ),
        access=[build.a_step("COVER", "0.2", "0.3")],
        operations=[
            build.an_operation(
                "BUSHING", "0.8", second_side_hours="0.5", each_side=True, access=["COVER"], slowed_by_rust=True
            ),
            build.an_operation("BELT", "0.4", access=["COVER"], parts="BELT"),
            build.an_operation("LAMP", "0.5"),
        ],
        parts=[build.a_part("BUSH", 12, 4), build.a_part("IRON", 20), build.a_part("BELT", 20)],
        findings=[build.a_finding("WORN", "safety"), build.a_finding("FRAYED"), build.a_finding("DARK", "advised")],
        remedies=[
            build.a_remedy("BRONZE", ["WORN"], ["BUSHING"], parts="BUSH x 2", life_years=2),
            build.a_remedy("IRONS", ["WORN"], ["BUSHING"], parts="IRON", life_years=5),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"]),
            build.a_remedy("NEW-LAMP", ["DARK"], ["LAMP"]),
        ],
        conditions=[build.a_condition("RUSTY", "0.25")],
        suppliers=[build.a_supplier(freight=8, lead_days=4)],
        extras=[build.an_extra("SPARE", ["BELT"])],
        taxes=[build.a_tax("STATE", "0.06", ["parts"])],
        tiers=[
            build.a_tier("good", ["safety"]),
            build.a_tier("better"),
            build.a_tier("lasting", aim="longest life"),
        ],
    )


def a_thrower_job(**values: Any) -> Job:
    """Both bushings worn, the belt frayed, the lamp dark, and rust."""
    sides = [build.a_finding_on("WORN", side, severity="safety") for side in ("left", "right")]
    others = [build.a_finding_on("FRAYED"), build.a_finding_on("DARK", severity="advised")]
    return build.a_job(*sides, *others, **({"condition": "RUSTY", "paid_so_far": 30} | values))


@pytest.fixture(scope="module")
def quote() -> Quote:
    """The quote of that job."""
    return build_quote(a_thrower_book(), a_thrower_job())


def tier_named(quote: Quote, code: str) -> PricedTier:
    """A tier by its code."""
    return next(tier for tier in quote.tiers if tier.code == code)


def test_what_each_tier_takes(quote: Quote) -> None:
    """Safety at the lowest price; then the belt; then the bushings that last."""
    assert {tier.code: keys_of(tier) for tier in quote.tiers} == {
        "good": ["BRONZE@left", "BRONZE@right"],
        "better": ["BRONZE@left", "BRONZE@right", "NEW-BELT"],
        "lasting": ["IRONS@left", "IRONS@right", "NEW-BELT"],
    }
    assert [tier.offered for tier in quote.tiers] == [True, True, True]


def test_hours_step_by_step(quote: Quote) -> None:
    """0.5 for the cover once; 0.8 + 0.5 + 0.4 net; a quarter of 1.3 for rust: 2.525, billed 2.6."""
    hours = tier_named(quote, "better").hours
    assert [plain(value) for value in (hours.access, hours.net, hours.allowance, hours.minimum_added)] == [
        "0.5",
        "1.7",
        "0.325",
        "0",
    ]
    assert hours.billed == {"MAIN": Decimal("2.6")}


def test_money_in_its_order(quote: Quote) -> None:
    """Labour 260; 4 x 4.50 and 30 for parts; 5 % supplies; freight 8; the inspection given back; 6 % on 48."""
    tier = tier_named(quote, "better")
    amounts = tier.amounts
    assert texts(amounts.labour, amounts.parts, amounts.supplies, amounts.freight) == [
        "260.00",
        "48.00",
        "13.00",
        "8.00",
    ]
    assert texts(amounts.inspection, amounts.inspection_credit) == ["30.00", "-30.00"]
    assert texts(tier.work, tier.subtotal, tier.tax, tier.total, tier.due) == [
        "329.00",
        "329.00",
        "2.88",
        "331.88",
        "301.88",
    ]
    assert quantities_of(tier) == {"BELT": "1", "BUSH": "4"}


def test_what_stands_beside_the_subtotal(quote: Quote) -> None:
    """Half of the parts as deposit; four days and two; three units of cost."""
    tier = tier_named(quote, "better")
    assert (str(tier.deposit), tier.ready_days) == ("24.00", 6)
    # 2.525 h at 40; 4 x 3 and 20; freight 8
    assert texts(tier.cost.labour, tier.cost.parts_used, tier.cost.total, tier.margin) == [
        "101.00",
        "32.00",
        "141.00",
        "188.00",
    ]
    assert str(tier.cash_for_parts) == "32.00"


def test_shares_of_the_work(quote: Quote) -> None:
    """The cover is three times a sixth of an hour; each pays its parts, and all pay the labour billed."""
    shares = {share.item: share for share in tier_named(quote, "better").shares}
    assert {key: str(share.hours) for key, share in shares.items()} == {
        "BRONZE@left": "1.1667",
        "BRONZE@right": "0.7917",
        "NEW-BELT": "0.5667",
    }
    assert {key: str(share.parts) for key, share in shares.items()} == {
        "BRONZE@left": "9.00",
        "BRONZE@right": "9.00",
        "NEW-BELT": "30.00",
    }
    assert sum(share.labour for share in shares.values()) == Decimal(260)


def test_what_is_found_and_not_in_an_option(quote: Quote) -> None:
    """The lamp beside every tier; the belt beside the first, where it goes as a remedy and not as the extra SPARE."""
    assert {tier.code: [offer.extra for offer in tier.extras] for tier in quote.tiers} == {
        "good": ["NEW-BELT", "NEW-LAMP"],
        "better": ["NEW-LAMP"],
        "lasting": ["NEW-LAMP"],
    }
    good = tier_named(quote, "good")
    # 2.125 h are billed as 2.2, with 0.4 more as 2.6: 40, 30 and 2; and half an hour and its supplies
    assert {offer.extra: texts(offer.price, offer.at_most) for offer in good.extras} == {
        "NEW-BELT": ["72.00", "72.00"],
        "NEW-LAMP": ["52.50", "52.50"],
    }


def test_a_combination_is_the_tier_with_what_was_taken(quote: Quote) -> None:
    """The first tier with its belt is the second, to the cent."""
    taken = price_combination(a_thrower_book(), a_thrower_job(), "good", ["NEW-BELT"])
    better = tier_named(quote, "better")
    assert (taken.work, taken.total, taken.fixed) == (better.work, better.total, better.fixed)


def test_a_combination_of_nothing_is_the_tier(quote: Quote) -> None:
    """Apart from what is offered beside it."""
    alone = price_combination(a_thrower_book(), a_thrower_job(), "good", [])
    assert alone == replace(tier_named(quote, "good"), extras=())


def test_the_head_of_the_quote(quote: Quote) -> None:
    """Valid for thirty days from the day of the job, in the shop's currency."""
    assert (quote.valid_until, quote.currency) == (date(2026, 4, 1), "USD")
    assert quote.problems == ()


def test_the_same_again(quote: Quote) -> None:
    """Same inputs, same quote; whatever decimal context the caller has."""
    with localcontext() as context:
        context.prec = 5
        assert build_quote(a_thrower_book(), a_thrower_job()) == quote


@pytest.mark.parametrize(
    ("currency", "labour", "parts", "supplies", "tax", "total", "deposit"),
    [
        ("USD", "26.00", "48.00", "1.30", "2.88", "86.18", "24.00"),
        ("JPY", "26", "50", "1", "3", "88", "25"),
        ("KWD", "26.000", "48.000", "1.300", "2.880", "86.180", "24.000"),
    ],
)
def test_amounts_have_the_currencys_digits(
    currency: str, labour: str, parts: str, supplies: str, tax: str, total: str, deposit: str
) -> None:
    """At ten an hour. In yen a bush of 4.5 is 5, supplies of 1.3 are 1 and 6 % of 50 is 3."""
    book = replace(a_thrower_book(currency=currency), labour_rates=(build.a_rate(rate=10),))
    tier = tier_named(build_quote(book, a_thrower_job()), "better")
    amounts = tier.amounts
    assert texts(amounts.labour, amounts.parts, amounts.supplies, tier.tax, tier.total, tier.deposit) == [
        labour,
        parts,
        supplies,
        tax,
        total,
        deposit,
    ]


@pytest.mark.parametrize("currency", ["USD", "JPY", "KWD"])
def test_every_amount_is_in_whole_minor_units(currency: str) -> None:
    """Also nothing, as 0.00: a column of figures lines up."""
    tier = build_quote(a_thrower_book(currency=currency), a_thrower_job()).tiers[0]
    digits = {"USD": 2, "JPY": 0, "KWD": 3}[currency]
    amounts = [tier.work, tier.subtotal, tier.tax, tier.total, tier.deposit, tier.due, tier.minimum_amount]
    amounts += [tier.amounts.cores, tier.amounts.sublet, tier.amounts.savings, tier.amounts.fees, tier.opening_amount]
    amounts += [tier.cash_for_parts, tier.cost.freight, tier.horizon_cost]
    amounts += [amount for share in tier.shares for amount in (share.labour, share.parts, share.amount)]
    amounts += [amount for offer in tier.extras for amount in (offer.price, offer.at_most, offer.total)]
    assert {amount.as_tuple().exponent for amount in amounts} == {-digits}


def test_a_share_of_nothing_is_in_whole_minor_units_too() -> None:
    """A lamp alone brings neither parts nor sublet work: 0.00 of both, as every amount has the currency's digits."""
    job = build.a_job(build.a_finding_on("DARK", severity="needed"))
    (share,) = tier_named(build_quote(a_thrower_book(), job), "better").shares
    assert texts(share.parts, share.sublet) == ["0.00", "0.00"]


def test_an_error_gives_no_tiers() -> None:
    """A plan that leaves what the tier before fixes: nothing half right is handed on, but what a no costs is known."""
    refused = build_quote(a_thrower_book(), a_thrower_job(plan=[build.a_plan_item("better", "NEW-BELT")]))
    assert (refused.tiers, refused.offered) == ((), ())
    assert [(problem.code, problem.severity) for problem in refused.problems] == [("plan-leaves-fixed", "error")]
    assert str(refused.declined.total) == "30.00"


def test_a_tier_that_could_not_be_worked_out_has_no_figures() -> None:
    """Only its reason."""
    book = a_thrower_book()
    lives = {code: replace(remedy, life_years=None) for code, remedy in book.remedies.items()}
    tier = tier_named(build_quote(replace(book, remedies=lives), a_thrower_job()), "lasting")
    assert (tier.priced, tier.offered, tier.items, str(tier.total), tier.compared) == (False, False, (), "0.00", 0)
    assert "Life years" in (tier.reason or "")


def test_a_quote_of_nothing_found() -> None:
    """No finding at all: no option, the inspection to pay."""
    quote = build_quote(a_thrower_book(), build.a_job())
    assert [tier.reason for tier in quote.tiers] == ["there is nothing to do in it"] * 3
    assert [problem.code for problem in quote.problems] == ["no-tier-offered"]
