"""Repair or replace as part of a tier's JSON; what is not known is null."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.quote_json import JsonObject, money, plain
from quotekit.model.repair_or_replace import COULD_LAST, RepairOrReplace, WouldDecide


def repair_or_replace_json(found: RepairOrReplace, digits: int) -> JsonObject:
    """The years, both costs, the limit, the word, and what it waits for."""
    return {
        "horizon": None if found.horizon is None else plain(found.horizon),
        "keep": _money(found.keep, digits),
        "replace": _money(found.replace, digits),
        "limit": _money(found.limit, digits),
        "difference": _money(found.difference, digits),
        "word": found.word,
        "missing": list(found.missing),
        "would_decide": None if found.would_decide is None else _would_decide(found.would_decide, digits),
    }


def _would_decide(decides: WouldDecide, digits: int) -> JsonObject:
    """Names in the order of their effect; years are plain numbers, every other value is money."""

    def shown(value: Decimal | None) -> str | None:
        if value is not None and decides.names == (COULD_LAST,):
            return plain(value)
        return _money(value, digits)

    return {
        "values": list(decides.names),
        "even": shown(decides.even),
        "words": [{"word": part.word, "from": shown(part.from_), "to": shown(part.to)} for part in decides.words],
    }


def _money(value: Decimal | None, digits: int) -> str | None:
    return None if value is None else money(value, digits)
