"""Live pricing made by hand for any quote: plain sums of its own figures, so that a page can be tried by itself.

Extras add their price to the parts; one tax of 7 % of all and one of 2.5 % of the parts, each rounded by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.customer_extras import extra_keys
from quotekit.model.expression import Expression, Step, rounded_signed, times, total
from quotekit.model.live import LiveExtra, LiveOption, LivePricing, Place
from quotekit.model.quote import Amounts, PricedTier, Quote
from quotekit.money import minor_digits

AMOUNTS = ("labour", "parts", "cores", "sublet", "savings", "supplies", "fees", "freight", "inspection")


def with_live(quote: Quote) -> Quote:
    """The quote with live pricing by hand."""
    return replace(quote, live=live_by_hand(quote))


def live_by_hand(quote: Quote) -> LivePricing:
    """Sums of what is chosen, in minor units."""
    digits = minor_digits(quote.currency)
    options = tuple(
        LiveOption(code=tier.code, label=tier.name, chosen=Step(f"chosen {tier.code}")) for tier in quote.offered
    )
    extras = tuple(_extra(quote, key) for key in extra_keys(quote))
    steps: list[Step] = [*(option.chosen for option in options), *(extra.ticked for extra in extras)]

    def step(name: str, formula: Expression) -> Step:
        steps.append(Step(name, formula))
        return steps[-1]

    def by_option(amount: Callable[[PricedTier], Decimal]) -> Expression:
        pairs = zip(options, quote.offered, strict=True)
        return total(*(times(option.chosen, _minor(amount(tier), digits)) for option, tier in pairs))

    def of(name: str) -> Callable[[PricedTier], Decimal]:
        return lambda tier: _named(tier.amounts, name)

    figures = {name: step(name, by_option(of(name))) for name in (*AMOUNTS, "inspection_credit")}
    added = [
        times(extra.ticked, times(option.chosen, _minor(price or Decimal(0), digits)))
        for extra in extras
        for option, price in zip(options, extra.price, strict=True)
    ]
    figures["parts"] = step("parts with extras", total(figures["parts"], *added))
    figures["work"] = step("work", total(*(figures[name] for name in AMOUNTS[:-1])))
    figures["subtotal"] = step("subtotal", total(figures["work"], figures["inspection"], figures["inspection_credit"]))
    taxes = (
        ("State", step("State", rounded_signed(times(figures["subtotal"], 70), 1000))),
        ("City, on parts", step("City", rounded_signed(times(figures["parts"], 25), 1000))),
    )
    figures["tax"] = step("tax", total(*(tax for _, tax in taxes)))
    figures["total"] = step("total", total(figures["subtotal"], figures["tax"]))
    figures["due"] = step("due", total(figures["total"], -_minor(quote.job.paid_so_far, digits)))
    figures["deposit"] = step("deposit", by_option(lambda tier: tier.deposit))
    return LivePricing(steps=tuple(steps), options=options, extras=extras, figures=figures, taxes=taxes, digits=digits)


def _extra(quote: Quote, key: str) -> LiveExtra:
    prices = [_price(key, tier) for tier in quote.offered]
    code, _, side = key.partition("@")
    return LiveExtra(
        key=key,
        defined_name=f"extra_{code}_{side}" if side else f"extra_{code}",
        ticked=Step(f"ticked {key}"),
        place=tuple(_place(key, tier) for tier in quote.offered),
        price=tuple(prices),
    )


def _price(key: str, tier: PricedTier) -> Decimal | None:
    return next((extra.price for extra in tier.extras if extra.extra == key), None)


def _place(key: str, tier: PricedTier) -> Place:
    if _price(key, tier) is not None:
        return "offered"
    return "included" if any(item.key == key for item in tier.items) else "none"


def _named(amounts: Amounts, name: str) -> Decimal:
    value = getattr(amounts, name)
    assert isinstance(value, Decimal)
    return value


def _minor(amount: Decimal, digits: int) -> int:
    return int(amount.scaleb(digits))
