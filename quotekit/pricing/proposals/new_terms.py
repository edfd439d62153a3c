"""What a row of a list says, brought to the pack that the shop book buys.

Cost of one = the list's cost by the quantity it is for, exact. Where the list names a pack, the new pack is that one,
else the book's own; pack cost = cost of one x pack quantity. So pack and cost belong together, always.
A list price is for one. A blank in the list changes nothing. A lead time is new only where it differs from the one in
force: the row's own, else the supplier's.
Cost date: the day on which the list was read, where the cost, the pack or the list price is new, or where the list
still says the same and the book's date is older than quotes take without a warning (`Price age limit days`). Only a
cell that holds a date gets one, and never an earlier one.
Rounding: a pack cost or list price that is no finite decimal of at most fifteen digits is rounded half up to six
decimals, and told. Source: shop policy; fifteen digits are what a spreadsheet keeps.

Worked example: 14.50 for 100, packs of 12: 14.50 x 12 / 100 = 1.74 for a pack of 12.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from quotekit.model.price_list import ListedPrice
from quotekit.model.proposed_prices import Noted, Said, Terms
from quotekit.money import round_to
from quotekit.record import record

MOST_DIGITS = 15
DECIMALS = 6


class TooExact(ValueError):
    """An amount that no cell can hold."""


@record
class Stated:
    """New terms without a selling price, and what to know of them."""

    terms: Terms
    notes: tuple[Said[Noted], ...] = ()


def stated(now: Terms, listed: ListedPrice, supplier_lead: int | None) -> Stated:
    """The terms of a row of a list, dates left as they are. Raises TooExact."""
    notes: list[Said[Noted]] = []
    terms = now
    pack = now.pack_quantity if listed.pack is None else listed.pack
    each = listed.cost_each
    if each is None:
        notes.append(Said(what="list without cost"))
    elif each != now.cost_each or pack != now.pack_quantity:
        cost, rounded = _amount(each * Fraction(pack))
        if cost != now.pack_cost or pack != now.pack_quantity:
            notes += [Said(what="rounded", about="pack cost")] * rounded
            terms = replace(terms, pack_quantity=_tidy(pack), pack_cost=cost)
    if listed.list_each is not None and listed.list_each > 0:
        list_each, rounded = _amount(listed.list_each)
        if list_each != now.list_each:
            notes += [Said(what="rounded", about="list price each")] * rounded
            terms = replace(terms, list_each=list_each)
    in_force = now.lead_days if now.lead_days is not None else supplier_lead
    if listed.lead_days is not None and listed.lead_days != in_force:
        terms = replace(terms, lead_days=listed.lead_days)
    return Stated(terms=terms, notes=tuple(notes))


def dated(now: Terms, new: Terms, day: date, age_limit_days: int) -> Terms:
    """The same terms with their cost date."""
    if now.cost_date is None or day <= now.cost_date:
        return new
    too_old = now.cost_date < day - timedelta(days=age_limit_days)
    return replace(new, cost_date=day) if too_old or other_price(now, new) else new


def other_price(now: Terms, new: Terms) -> bool:
    """True where pack, cost or list price differ."""
    return (now.pack_quantity, now.pack_cost, now.list_each) != (new.pack_quantity, new.pack_cost, new.list_each)


def _amount(exact: Fraction) -> tuple[Decimal, bool]:
    """An amount as a cell can hold it, and whether it was rounded. Raises TooExact."""
    value = finite(exact)
    if value is not None and _digits(value) <= MOST_DIGITS:
        return value, False
    rounded = _tidy(round_to(exact, DECIMALS))
    if _digits(rounded) > MOST_DIGITS or not rounded:
        raise TooExact(f"{rounded:f}")
    return rounded, True


def finite(exact: Fraction) -> Decimal | None:
    """A fraction as a finite decimal; None where it has no end.

    >>> finite(Fraction(87, 50)), finite(Fraction(1, 3)), finite(Fraction(1200))
    (Decimal('1.74'), None, Decimal('1200'))
    """
    rest, twos, fives = exact.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    if rest != 1:
        return None
    places = max(twos, fives)
    return _tidy(round_to(exact, places))


def _tidy(value: Decimal) -> Decimal:
    """Without zeros behind the last digit, and without an exponent."""
    plain = value.normalize()
    return plain.quantize(Decimal(1)) if plain == plain.to_integral_value() else plain


def _digits(value: Decimal) -> int:
    return len(value.normalize().as_tuple().digits)
