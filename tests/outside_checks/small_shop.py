"""The smallest shop books that let a published number run through the whole engine.

Every check here ends in `build_quote`, so a check that passes has passed through shop book, job and order of money.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, TaxLine
from quotekit.model.shop_book import ShopBook, Tax
from quotekit.pricing import build_quote
from tests.build import (
    a_band,
    a_book,
    a_finding,
    a_finding_on,
    a_job,
    a_one_off,
    a_part,
    a_plan_item,
    a_rate,
    a_remedy,
    a_step,
    a_tax,
    a_tier,
    an_operation,
    fits_only_if,
    found,
    settings,
)


def only_tier(book: Any, job: Any) -> PricedTier:
    """The one tier of a quote that has one tier and no error."""
    quote = build_quote(book, job)
    assert [problem for problem in quote.problems if problem.severity == "error"] == []
    assert len(quote.tiers) == 1
    return quote.tiers[0]


def bill(charges: Sequence[str], taxes: list[Tax], rounding: str = "invoice", **job: Any) -> PricedTier:
    """A job of one-off charges and nothing else, taxed by these rows."""
    return only_tier(*a_bill(charges, taxes, rounding, **job))


def a_bill(charges: Sequence[str], taxes: list[Tax], rounding: str = "invoice", **job: Any) -> tuple[ShopBook, Job]:
    """The book and the job of such a bill."""
    book = a_book(tiers=[a_tier("good")], taxes=taxes, settings=settings(tax_rounding=rounding))
    lines = [a_one_off(n, "charge", unit_price=price) for n, price in enumerate(charges, start=1)]
    return book, a_job(one_off=tuple(lines), **job)


def tax_of(price: str, rate: str) -> Decimal:
    """The tax the engine puts on one price."""
    return bill([price], [a_tax(rate=rate)]).tax


def repair(**values: Any) -> PricedTier:
    """One finding, one remedy, as `a_repair` makes it."""
    return only_tier(*a_repair(**values))


def a_repair(
    *,
    labour: Mapping[str, tuple[str, str, str]],
    parts: Sequence[tuple[str, str, str]] = (),
    taxes: Sequence[Tax] = (),
    fees: Sequence[Any] = (),
    job: Mapping[str, Any] | None = None,
    **shop: Any,
) -> tuple[ShopBook, Job]:
    """The book and the job of one finding with one remedy.

    `labour` gives hours, selling rate and cost per hour by rate code; `parts` give quantity, unit cost and unit price.
    """
    used = [a_part(f"PART-{n}", cost, fixed_price_each=price) for n, (_, cost, price) in enumerate(parts, start=1)]
    needed = "; ".join(f"PART-{n} x {count}" for n, (count, _, _) in enumerate(parts, start=1))
    book = a_book(
        settings=settings(**shop),
        labour_rates=[a_rate(code, rate, cost) for code, (_, rate, cost) in labour.items()],
        operations=[an_operation(f"DO-{code}", hours, labour=code) for code, (hours, _, _) in labour.items()],
        parts=used,
        findings=[a_finding("BROKEN")],
        remedies=[a_remedy("MEND", ["BROKEN"], [f"DO-{code}" for code in labour], parts=needed)],
        tiers=[a_tier("good")],
        taxes=list(taxes),
        fees=list(fees),
    )
    return book, a_job(a_finding_on("BROKEN"), **(job or {}))


def price_of(cost: str, markup: str) -> PricedTier:
    """A tier that sells one part of this cost at this markup, with no labour."""
    book = a_book(
        markup=[a_band(markup=markup)],
        operations=[an_operation("SWAP", "0")],
        parts=[a_part("PART", cost)],
        findings=[a_finding("BROKEN")],
        remedies=[a_remedy("MEND", ["BROKEN"], ["SWAP"], parts="PART")],
        tiers=[a_tier("good")],
    )
    return only_tier(book, a_job(a_finding_on("BROKEN")))


def shared_access(steps: Mapping[str, str], users: Mapping[str, Sequence[str]]) -> PricedTier:
    """Operations without work of their own that open these steps; the plan takes them all. Steps take hours to open."""
    book = a_book(
        settings=settings(hours_step="0.01"),
        access=[a_step(code, hours, 0) for code, hours in steps.items()],
        operations=[an_operation(code, 0, access=list(needed)) for code, needed in users.items()],
        tiers=[a_tier("good")],
    )
    plan = tuple(a_plan_item("good", code) for code in users)
    return only_tier(book, a_job(plan=plan))


def hours_shared(tier: PricedTier) -> dict[str, Decimal]:
    """Hours of each item's share."""
    return {share.item: share.hours for share in tier.shares}


def tax_line(tier: PricedTier) -> TaxLine:
    """The one tax of a tier."""
    (line,) = tier.taxes
    return line


Limits = tuple[str, str]
"""A lowest and a highest value, ends included."""


def fitting(candidates: Mapping[str, Mapping[str, Limits]], measured: Mapping[str, str]) -> set[str]:
    """Which remedies for one worn part the engine permits, by what was measured.

    `candidates` gives for each remedy the limits of each measured finding, as rows of Fits only if.
    """
    book = a_book(
        operations=[an_operation("SWAP")],
        findings=[a_finding("WORN"), *(a_finding(code, "watch") for code in measured)],
        remedies=[a_remedy(code, ["WORN"], ["SWAP"]) for code in candidates],
        fits_only_if=[
            fits_only_if(remedy, finding, low, high)
            for remedy, rows in candidates.items()
            for finding, (low, high) in rows.items()
        ],
        tiers=[a_tier("good")],
    )
    readings = [found(book, code, measured=value) for code, value in measured.items()]
    quote = build_quote(book, a_job(found(book, "WORN"), *readings))
    refused = {row.remedy for row in quote.not_permitted}
    taken = {item.code for tier in quote.tiers for item in tier.items}
    assert not taken & refused
    return set(candidates) - refused


def fits(low: Decimal | str, high: Decimal | str, measured: Decimal | str) -> bool:
    """True when a remedy with these limits is permitted at this measurement."""
    return bool(fitting({"REMEDY": {"SIZE": (str(low), str(high))}}, {"SIZE": str(measured)}))


def within_exactly(low: Decimal, high: Decimal, step: Decimal) -> None:
    """Both ends fit, one step outside does not."""
    assert [fits(low, high, value) for value in (low - step, low, high, high + step)] == [False, True, True, False]
