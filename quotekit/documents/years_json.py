"""What a tier comes to over the years, and what the order of the tiers hangs on, as JSON."""

from __future__ import annotations

from quotekit.documents.quote_json import JsonObject, money, plain
from quotekit.documents.years_words import choice_sentences, range_sentence
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.years import OrderRange


def over_years_json(tier: PricedTier, digits: int) -> JsonObject | None:
    """A tier's years; null where a life is not stated."""
    years = tier.years
    if years is None:
        return None
    yearly = years.equivalent_a_year
    return {
        "horizon": plain(years.horizon),
        "cost": money(years.cost, digits),
        "equivalent_a_year": None if yearly is None else money(yearly, digits),
        "by_year": [money(amount, digits) for amount in years.by_year],
        "repeats": [
            {
                "item": repeat.item,
                "years": [plain(year) for year in repeat.years],
                "each": money(repeat.each, digits),
                "together": money(repeat.together, digits),
            }
            for repeat in years.repeats
        ],
    }


def sensitivity_json(quote: Quote) -> JsonObject | None:
    """What the order of the tiers hangs on; null where no tier is offered."""
    told = quote.sensitivity
    if told is None:
        return None
    ranges = {one.setting: _range(one, quote) for one in told.ranges}
    return {
        "order": list(told.order),
        "interest": ranges.get("interest"),
        "horizon": ranges.get("horizon"),
        "lives": ranges.get("lives"),
        "choices": {
            "tried": [{"setting": setting, "value": plain(value)} for setting, value in told.tried],
            "too_many": told.too_many,
            "changes": [
                {
                    "tier": choice.tier,
                    "setting": choice.setting,
                    "value": plain(choice.value),
                    "takes": list(choice.takes),
                    "in_place_of": list(choice.in_place_of),
                }
                for choice in told.choices
            ],
            "words": choice_sentences(told, quote),
        },
    }


def _range(one: OrderRange, quote: Quote) -> JsonObject:
    return {
        "now": plain(one.current),
        "low": plain(one.low),
        "high": plain(one.high),
        "precision": plain(one.precision),
        "order_changes": bool(one.changes),
        "least_changes": one.least_changes,
        "changes": [
            {
                "below": plain(change.below),
                "above": plain(change.above),
                "exactly": None if change.exactly is None else str(change.exactly),
                "before": list(change.before),
                "after": list(change.after),
            }
            for change in one.changes
        ],
        "words": range_sentence(one, quote),
    }
