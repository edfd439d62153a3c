"""A choice as one JSON object: a tier as in the quote's, and the problems; a shop document, it holds costs."""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.documents.quote_json import JsonObject, problem_json, tier_json
from quotekit.model.quote import PricedTier
from quotekit.money import minor_digits
from quotekit.problems import Problem

_FIELDS = (
    "code", "name", "offered", "reason", "items", "operations", "access", "dropped", "fixed", "left", "safety_left",
    "hours", "parts", "amounts", "bundles", "work", "subtotal", "taxes", "tax", "total", "deposit", "due", "ready_days",
    "horizon_cost", "shares", "cost", "cash_for_parts", "margin", "compared", "proof", "extras",
    "repair_or_replace", "over_years", "why",
)  # fmt: skip
_LISTS = frozenset({
    "items", "operations", "access", "dropped", "fixed", "left", "safety_left", "parts", "bundles", "taxes", "shares",
    "extras",
})  # fmt: skip


def lay_out_choice_json(tier: PricedTier, currency: str, problems: Iterable[Problem]) -> JsonObject:
    """What a choice comes to, with what could still be added to it in `extras`."""
    return {**tier_json(tier, minor_digits(currency)), "problems": [problem_json(problem) for problem in problems]}


def lay_out_refused_choice_json(tier: PricedTier | None, problems: Iterable[Problem]) -> JsonObject:
    """The same fields where nothing could be priced: null or empty, but for the tier that was meant."""
    known = {"code": tier.code, "name": tier.name, "offered": tier.offered, "reason": tier.reason} if tier else {}
    nothing: JsonObject = {name: [] if name in _LISTS else None for name in _FIELDS}
    return {**nothing, **known, "problems": [problem_json(problem) for problem in problems]}
