"""The engine's records as plain figures beside the oracle's, and where the two differ."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from quotekit.model.job import at_side
from quotekit.model.quote import OfferedExtra, PricedTier, Quote
from tests.oracle.exact import half_up

Figures = dict[str, Any]


def plain(value: Any) -> Any:
    """Decimals as Fractions."""
    return Fraction(value) if isinstance(value, Decimal) else value


def quote_figures(quote: Quote) -> Figures:
    """The answer's figures, named as the oracle names them."""
    return {
        "tiers": [offered_tier_figures(tier) for tier in quote.tiers],
        "not_permitted": sorted(at_side(one.remedy, one.side) for one in quote.not_permitted),
        "only_with": {at_side(one.remedy, one.side): one.with_ for one in quote.only_with},
        "measure_next": list(quote.measure_next),
        "look_next": list(quote.look_next),
        "declined": {
            name: plain(getattr(quote.declined, name)) for name in ("inspection", "reassembly", "tax", "total")
        },
    }


def offered_tier_figures(tier: PricedTier) -> Figures:
    """A tier with what is offered beside it."""
    return (
        {"code": tier.code, "offered": tier.offered, "horizon_cost": plain(tier.horizon_cost)}
        | tier_figures(tier)
        | {"extras": [offer_figures(one) for one in tier.extras]}
    )


def tier_figures(tier: PricedTier) -> Figures:
    """Work, hours, money, shares and cost."""
    lists = {name: list(getattr(tier, name)) for name in ("dropped", "fixed", "left", "safety_left")}
    money = ("work", "subtotal", "tax", "total", "deposit", "due", "ready_days", "cash_for_parts", "margin")
    return {
        "items": [one.key for one in tier.items],
        "operations": [one.key for one in tier.operations],
        "access": [one.key for one in tier.access],
        **lists,
        "hours": _hours(tier),
        "parts": {
            line.part: tuple(plain(value) for value in (line.quantity, line.packs, line.unit_price, line.amount))
            for line in tier.part_lines
        },
        "amounts": {name: plain(value) for name, value in vars(tier.amounts).items()},
        "bundles": {code: plain(amount) for code, amount in tier.bundles},
        "taxes": {one.tax: (plain(one.base), plain(one.amount)) for one in tier.taxes},
        "shares": {
            one.item: {name: plain(getattr(one, name)) for name in ("hours", "labour", "parts", "sublet", "amount")}
            for one in tier.shares
        },
        "cost": {name: plain(value) for name, value in vars(tier.cost).items()},
        **{name: plain(getattr(tier, name)) for name in money},
    }


def _hours(tier: PricedTier) -> Figures:
    hours = {name: plain(getattr(tier.hours, name)) for name in ("access", "net", "allowance", "off", "minimum_added")}
    hours["allowance"] = half_up(hours["allowance"], 4)
    return hours | {"billed": {rate: plain(count) for rate, count in tier.hours.billed.items() if count}}


def offer_figures(one: OfferedExtra) -> Figures:
    """An offer beside a tier."""
    names = ("extra", "kind", "why", "price", "at_most", "work", "subtotal", "tax", "total")
    return {name: plain(getattr(one, name)) for name in names}


def differences(expected: Any, actual: Any, where: str = "") -> list[str]:
    """Every figure that is not the same, with its path."""
    if isinstance(expected, dict) and isinstance(actual, dict):
        keys = list(dict.fromkeys([*expected, *actual]))
        nothing = "(absent)"
        found = [differences(expected.get(key, nothing), actual.get(key, nothing), f"{where}/{key}") for key in keys]
        return [line for lines in found for line in lines]
    if isinstance(expected, list) and isinstance(actual, list) and len(expected) == len(actual):
        pairs = enumerate(zip(expected, actual, strict=True))
        return [line for i, (one, other) in pairs for line in differences(one, other, f"{where}[{i}]")]
    if expected == actual:
        return []
    return [f"{where}: oracle {readable(expected)}, engine {readable(actual)}"]


def readable(value: Any) -> str:
    """Fractions as decimals where they end."""
    if isinstance(value, Fraction):
        return str(float(value))
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(readable(one) for one in value) + "]"
    return str(value)


def comparable(answer: Figures) -> Figures:
    """The oracle's figures as far as the engine reports them: rounded shares, no count of choices or reasons."""
    return answer | {"tiers": [_comparable_tier(tier) for tier in answer["tiers"]]}


def _comparable_tier(tier: Figures) -> Figures:
    kept = {name: value for name, value in tier.items() if name not in ("reason", "compared")}
    if "hours" in kept:
        kept["hours"] = kept["hours"] | {"allowance": half_up(kept["hours"]["allowance"], 4)}
    return kept
