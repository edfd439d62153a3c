"""Why a tier is what it is, as part of its JSON: every amount, life and hour a decimal string; shop only."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.documents.quote_json import JsonObject, money, plain
from quotekit.documents.why_words import reason, turns
from quotekit.model.why import Alternative, BreakEven, Figures, Missing, Named, RemedyWhy, TierWhy


def why_json(why: TierWhy, digits: int) -> JsonObject:
    """What a tier goes by, each remedy with its nearest alternative, and why the tier is missing."""
    return {
        "aim": why.aim,
        "planned": why.planned,
        "horizon": plain(why.horizon),
        "figures": None if why.figures is None else _figures(why.figures, digits),
        "remedies": [_remedy(entry, why, digits) for entry in why.remedies],
        "missing": None if why.missing is None else _missing(why.missing, digits),
        "notes": list(why.notes),
    }


def _figures(figures: Figures, digits: int) -> JsonObject:
    return {
        "work": money(figures.work, digits),
        "over_years": money(figures.over_years, digits),
        "shortest_life": plain(figures.shortest_life),
        "lives_together": plain(figures.lives_together),
        "operations": figures.operations,
    }


def _remedy(entry: RemedyWhy, why: TierWhy, digits: int) -> JsonObject:
    return {
        "remedy": entry.remedy.key,
        "fixes": list(entry.fixes),
        "standing": entry.standing,
        "reason": reason([entry], why),
        "only_for": list(entry.only_for),
        "refused": [{"remedy": one.remedy.key, "why": one.why} for one in entry.refused],
        "done_by_larger_work": entry.done_by_larger_work,
        "choices": entry.choices,
        "swaps_only": entry.swaps_only,
        "alternative": None if entry.alternative is None else _alternative(entry.alternative, digits),
        "break_even": [_break_even(one, digits) for one in entry.break_even],
        "would_change": turns([entry]),
    }


def _alternative(other: Alternative, digits: int) -> JsonObject:
    return {
        "takes": _keys(other.takes),
        "drops": _keys(other.drops),
        "leaves": list(other.leaves),
        "today": money(other.difference, digits),
        "over_years": None if other.over_years is None else money(other.over_years, digits),
        "no_life": _keys(other.no_life),
        "decided_by": other.decided_by,
        "figures": _figures(other.figures, digits),
    }


def _break_even(found: BreakEven, digits: int) -> JsonObject:
    def shown(value: Decimal | None) -> str | None:
        if value is None:
            return None
        return money(value, digits) if "price" in found.figure else plain(value)

    place = found.source.place(found.column)
    return {
        "figure": found.figure,
        "of": found.of.key,
        "now": shown(found.present),
        "wins_at": shown(found.wins_at),
        "step": plain(found.step),
        "tried": shown(found.tried),
        "then": _keys(found.then),
        "among": found.among,
        "pack_cost": shown(found.pack_cost),
        "pack_cost_now": None if found.pack_cost_now is None else plain(found.pack_cost_now),
        "cell": str(place) if place.cell else None,
    }


def _missing(missing: Missing, digits: int) -> JsonObject:
    return {
        "kind": missing.kind,
        "against": missing.against or None,
        "comparisons": [{"what": line.what, "this": line.this, "other": line.other} for line in missing.comparisons],
        "details": list(missing.details),
        "would_change": list(missing.would_change),
        "cheaper_by": None if missing.cheaper_by is None else money(missing.cheaper_by, digits),
    }


def _keys(named: Iterable[Named]) -> list[str]:
    return [one.key for one in named]
