"""Price proposals as JSON: amounts are exact decimal texts, shares and effects rounded as shown, lists in fixed order.

`cost_each` is exact where it ends within six decimals, else rounded to them; pack cost and pack quantity are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from quotekit.documents.price_list_json import price_json
from quotekit.documents.price_proposals_effect import cost_sum, price_sum
from quotekit.documents.price_proposals_words import figure, note_words, over_words
from quotekit.documents.quote_json import problem_json
from quotekit.model.open_quotes import OpenQuote
from quotekit.model.price_list import FATES
from quotekit.model.proposed_prices import (
    FIELDS,
    BookRow,
    ListUsed,
    NotProposed,
    PriceProposal,
    ProposedChange,
    ProposedPrices,
    Terms,
)
from quotekit.money import minor_digits, round_to
from quotekit.problems import Problem

JsonObject = dict[str, Any]


def lay_out_proposals_json(
    found: ProposedPrices | None, problems: Iterable[Problem], files: Sequence[str]
) -> JsonObject:
    """All that is proposed; without figures where something was in the way."""
    told = [problem_json(problem) for problem in problems]
    if found is None:
        return {"book": None, "proposals": [], "not_proposed": [], "open_quotes": [], "problems": told, "files": []}
    return {
        "book": found.book_file,
        "book_sha256": found.book_sha256,
        "day": found.day.isoformat(),
        "currency": found.currency,
        "limit": _plain(found.limit),
        "lists": [_list(one) for one in found.lists],
        "used_from": found.used_from and found.used_from.isoformat(),
        "cost_effect": _money(cost_sum(found), found),
        "price_effect": _money(price_sum(found), found),
        "same": found.same,
        "proposals": [_proposal(one, found) for one in found.proposals],
        "not_proposed": [_left(one) for one in found.left],
        "open_quotes": [_quote(one) for one in found.quotes],
        "open_quotes_not_touched": found.quotes_untouched,
        "problems": told,
        "files": list(files),
    }


def _list(one: ListUsed) -> JsonObject:
    report = one.report
    return {
        "supplier": one.supplier,
        "file": report.file,
        "sha256": report.sha256,
        "rows": report.rows,
        "fates": {fate: report.fates[fate] for fate in FATES if fate in report.fates},
        "asked": one.asked,
        "not_in_book": one.not_in_book,
    }


def _proposal(one: PriceProposal, found: ProposedPrices) -> JsonObject:
    return {
        **_row(one.row),
        "list_number": one.list_number,
        "list_row": one.list_row or None,
        "now": _terms(one.row.terms),
        "new": _terms(one.new),
        "instead": _instead(one),
        "cost_change": _share(one.cost_change),
        "price_change": _share(one.price_change),
        "used": None if one.used is None else _plain(figure(one.used)),
        "cost_effect": _money(one.cost_effect, found),
        "price_effect": _money(one.price_effect, found),
        "second_tick": [{"code": said.what, "says": over_words(said, found)} for said in one.over],
        "notes": [{"code": said.what, "says": note_words(said)} for said in one.notes],
        "open_quotes": list(one.quotes),
        "open_quotes_as_extra": list(one.extra_quotes),
        "remedies": list(one.remedies),
        "changes": [_change(change, one.row.sheet) for change in one.changes],
    }


def _instead(one: PriceProposal) -> JsonObject | None:
    """The part that takes the place, as a quote would hold it."""
    if one.instead is None:
        return None
    terms = one.instead.terms
    return {
        "part": one.instead.code, "cost_each": _plain(figure(terms.cost_each)), "price": _value(terms.price),
    }  # fmt: skip


def _row(row: BookRow) -> JsonObject:
    return {
        "sheet": row.sheet,
        "row": row.source.row,
        "part": row.code,
        "name": row.name,
        "supplier": row.supplier,
        "number": row.terms.number,
    }


def _terms(terms: Terms) -> JsonObject:
    margin = terms.margin_each
    return {
        "pack_quantity": _plain(terms.pack_quantity),
        "pack_cost": _plain(terms.pack_cost),
        "cost_each": _plain(figure(terms.cost_each)),
        "list_price_each": _value(terms.list_each),
        "lead_days": terms.lead_days,
        "number": terms.number,
        "replaced_by": terms.replaced_by,
        "cost_date": _value(terms.cost_date),
        "price": _value(terms.price),
        "margin": None if margin is None else _plain(figure(margin)),
        "margin_share": _share(terms.margin_share),
    }


def _change(change: ProposedChange, sheet: str) -> JsonObject:
    return {
        "cell": f"{change.sheet}!{change.cell}",
        "column": FIELDS[change.field][sheet],
        "old": _value(change.old),
        "new": _value(change.new),
    }


def _left(one: NotProposed) -> JsonObject:
    return {
        **_row(one.row),
        "why": one.why,
        "about": one.about or None,
        "nearest": list(one.nearest),
        "listed": [price_json(row) for row in one.listed],
    }


def _quote(quote: OpenQuote) -> JsonObject:
    return {
        "quote": quote.name,
        "job": quote.job,
        "version": quote.version,
        "customer": quote.customer,
        "valid_until": quote.valid_until.isoformat(),
        "issued": quote.issued,
        "parts": list(quote.parts),
        "parts_as_extra": list(quote.extra_parts),
        "trouble": quote.trouble or None,
        "tiers": [
            {
                "code": tier.code,
                "name": tier.name,
                "offered_total": _value(tier.offered_total),
                "total_now": _value(tier.total_now),
                "total_new": _value(tier.total_new),
                "margin_now": _value(tier.margin_now),
                "margin_new": _value(tier.margin_new),
                "margin_held": _value(tier.margin_held),
                "would_lose_money": tier.loses,
                "same_work": tier.same_work,
            }
            for tier in quote.tiers
        ],
    }


def _money(value: Fraction | None, found: ProposedPrices) -> str | None:
    return None if value is None else f"{round_to(value, minor_digits(found.currency)):f}"


def _share(value: Fraction | None) -> str | None:
    return None if value is None else f"{round_to(value, 4):f}"


def _plain(value: Decimal) -> str:
    return f"{value:f}"


def _value(value: Decimal | str | date | None) -> str | None:
    if value is None or isinstance(value, str):
        return value
    return value.isoformat() if isinstance(value, date) else f"{value:f}"
