"""Which proposals need a second tick: changes that are more often a slip than a price.

The cost of one, its selling price or its list price changes by more than the limit, either way; the cost was or becomes
zero; the selling price would be below the cost of one, or the cost above the list price; what one leaves changes its
sign; another number or another part takes its place; the list's row is older than what the shop book says.
Cost and selling price are compared in the currency's digits, so that half a cent of rounding is no loss.
Units: shares of the old amount, exact. Source: shop policy.

Worked example: limit 20 %, cost of one 10.00 before: 12.00 needs one tick, 12.01 and 7.99 need two.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from quotekit.model.price_list import ListedPrice
from quotekit.model.proposed_prices import BookRow, Over, Said, Terms, share_of
from quotekit.money import round_to
from quotekit.pricing.proposals.new_terms import other_price


def over_limit(row: BookRow, new: Terms, listed: ListedPrice | None, limit: Decimal, digits: int) -> tuple[Over, ...]:
    """Every reason for a second tick, in a fixed order."""
    return tuple(_reasons(row.terms, new, listed, Fraction(limit), digits))


def said(reasons: tuple[Over, ...], about: str) -> tuple[Said[Over], ...]:
    """The reasons, with the number or part that takes the place."""
    return tuple(Said(what=one, about=about if one in ("other number", "replaced") else "") for one in reasons)


def _reasons(now: Terms, new: Terms, listed: ListedPrice | None, limit: Fraction, digits: int) -> Iterator[Over]:
    if _beyond(now.cost_each, new.cost_each, limit):
        yield "cost change"
    if _beyond(now.price, new.price, limit):
        yield "price change"
    if _beyond(now.list_each, new.list_each, limit):
        yield "list change"
    if new.cost_each != now.cost_each and not (new.cost_each and now.cost_each):
        yield "zero cost"
    if other_price(now, new):
        yield from _losses(now, new, digits)
    if new.number != now.number:
        yield "other number"
    if new.replaced_by != now.replaced_by:
        yield "replaced"
    if listed is not None and _older(now, new, listed):
        yield "older"


def _beyond(old: Fraction | Decimal | None, new: Fraction | Decimal | None, limit: Fraction) -> bool:
    """True for a change of more than the limit; a zero before is told for itself."""
    if old is None or new is None:
        return False
    share = share_of(Fraction(old), Fraction(new))
    return share is not None and abs(share) > limit


def _losses(now: Terms, new: Terms, digits: int) -> Iterator[Over]:
    old_margin, margin = _margin(now, digits), _margin(new, digits)
    if margin is not None and margin < 0:
        yield "below cost"
    if old_margin is not None and margin is not None and (old_margin < 0) != (margin < 0):
        yield "margin turns"
    if new.list_each is not None and new.cost_each > Fraction(new.list_each):
        yield "above list"


def _margin(terms: Terms, digits: int) -> Decimal | None:
    return None if terms.price is None else terms.price - round_to(terms.cost_each, digits)


def _older(now: Terms, new: Terms, listed: ListedPrice) -> bool:
    """True where the list speaks of an earlier day than the book, and says something else."""
    if now.cost_date is None or listed.dated is None:
        return False
    return other_price(now, new) and listed.dated < now.cost_date
