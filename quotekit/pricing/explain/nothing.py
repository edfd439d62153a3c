"""Figures of a tier that hold nothing, each with what that means: empty lists, and a tier that was not worked out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from functools import partial

from quotekit.model.explanation import Explanation
from quotekit.model.quote import Amounts, Cost, Hours, PricedTier
from quotekit.pricing.explain.told import words

Figures = dict[str, Callable[[], Explanation]]


def empty_lists(tier: PricedTier) -> Figures:
    """Lists that hold nothing, each with what that means."""
    listed = {
        "parts": (tier.part_lines, "This tier uses no part (rules 5.2 step 6)."),
        "bundles": (tier.bundles, "No bundle in force has all its members in this tier (rules 5.5 item 4)."),
        "taxes": (tier.taxes, "No tax in force has anything it is on here (rules 5.9, Taxes)."),
        "shares": (tier.shares, "There is no item to share the work (rules 5.6)."),
        "extras": (tier.extras, "Nothing is offered beside this tier (rules 5.8)."),
    }
    return {name: partial(words, name, (), rule) for name, (entries, rule) in listed.items() if not entries}


def not_worked_out(tier: PricedTier) -> Figures:
    """Nothing, with the reason, for each figure of a tier that could not be worked out."""
    alone = (
        "work",
        "subtotal",
        "tax",
        "total",
        "deposit",
        "due",
        "ready_days",
        "horizon_cost",
        "cash_for_parts",
        "margin",
    )
    of_groups = {
        "hours": tuple(field.name for field in fields(Hours)),
        "amounts": tuple(field.name for field in fields(Amounts)),
        "cost": tuple(field.name for field in fields(Cost)),
    }
    names = [*alone, *(f"{group}.{name}" for group, known in of_groups.items() for name in known)]
    rule = f"This tier could not be worked out: {tier.reason} (rules 5.7)."
    names += ["over_years", "repair_or_replace", "proof"]
    nothing = {name: partial(words, name, None, rule) for name in names}
    return {**nothing, "compared": lambda: compared(tier)}


def compared(tier: PricedTier) -> Explanation:
    """`compared`: how many choices there were."""
    rule = "How many choices of remedies there were for this tier; a planned tier has one (rules 5.7)."
    return replace(words("compared", tier.compared, rule), number=tier.compared)
