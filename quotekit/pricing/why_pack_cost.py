"""The pack cost that brings a selling price to a wanted one, where nothing else hangs on it (DESIGN.md 5.4).

The selling price follows from the pack cost by the markup of its band, up to the list price; a fixed price does not.
A cent of pack cost may move the price by several cents, or not at all, and where amounts are rounded the choice may
turn to and fro around the break-even. So the cost is followed in whole cents until the choice turns there too.
The pack cost also counts towards a supplier's free freight and minimum order: where any order of a choice, or of a
repeat over the years, would pass such a threshold, no pack cost is given.
Units: money in the currency's minor unit.

Worked example: two seals in a pack at 10.00 with 50 % on cost sell at 7.50 each. At a pack cost of 8.00 they sell at
6.00; at 8.01 it is 6.01. For a price of 6.00 the pack cost is 8.00.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.why import BreakEven
from quotekit.money import whole_units
from quotekit.pricing.basis import Basis
from quotekit.pricing.freight import order_value, ordered
from quotekit.pricing.part_price import unit_price
from quotekit.pricing.parts import PartAmount
from quotekit.pricing.why_boundary import around, boundary
from quotekit.pricing.why_field import Field, Option

Order = Sequence[PartAmount]

MOST_FOLLOWED = 100
"""Cents that a pack cost is followed to where the choice turns."""


def with_pack_cost(
    field: Field, options: Sequence[Option], found: BreakEven, turns: Callable[[Decimal], bool]
) -> BreakEven:
    """A break-even price with its pack cost, where the price follows from it in each of these choices.

    `turns` says whether the remedy is left out at a selling price.
    """
    basis, code = field.setup.basis, found.of.key
    if found.wins_at is None:
        return found
    near = pack_cost_for(basis, code, found.wins_at)
    cost = None if near is None else _followed(basis, code, near, turns)
    if cost is None or not all(_freight_stays(basis, code, cost, order) for order in _orders(field, options)):
        return found
    return replace(found, pack_cost=cost, pack_cost_now=basis.part(code).pack_cost)


def _followed(basis: Basis, code: str, cost: Decimal, turns: Callable[[Decimal], bool]) -> Decimal | None:
    """The cost at which the choice turns: nearer to the present one while it has turned there, else further from it.

    None where it does not turn, or does not stop turning, within so many cents.
    """
    now, step = basis.part(code).pack_cost, Decimal(1).scaleb(-basis.digits)
    nearer = step if cost < now else -step

    def turned(at: Decimal) -> bool:
        """False past the present cost, where nothing has turned."""
        price = _price_at(basis, code, at)
        return price is not None and (now - at) * nearer > 0 and turns(price)

    if not turned(cost):
        return next((at for at in _steps(cost, -nearer) if turned(at)), None)
    kept = next((at for at in _steps(cost, nearer) if not turned(at)), None)
    return None if kept is None else kept - nearer


def _steps(start: Decimal, step: Decimal) -> Iterator[Decimal]:
    return (start + count * step for count in range(1, MOST_FOLLOWED + 1))


def _price_at(basis: Basis, code: str, cost: Decimal) -> Decimal | None:
    """The selling price at a pack cost; None where no markup band holds the cost."""
    try:
        return unit_price(replace(basis.part(code), pack_cost=cost), basis.book.markup, basis.digits).price
    except ValueError:
        return None


def pack_cost_for(basis: Basis, code: str, price: Decimal) -> Decimal | None:
    """The pack cost, in whole minor units, nearest to the present one that brings a price down or up to a wanted one.

    None where the price is fixed, where no cost does it, or where no markup band holds a cost on the way.
    """
    part, now = basis.part(code), basis.price(code).price
    if part.fixed_price_each is not None or not now or price == now:
        return None
    step = Decimal(1).scaleb(-basis.digits)
    down = price < now

    def holds(units: int) -> bool:
        sold = _price_at(basis, code, units * step)
        return sold is not None and (sold <= price if down else sold >= price)

    packs = Fraction(part.pack_cost) / Fraction(step)
    guess = int(packs * Fraction(price) / Fraction(now))
    start = whole_units(part.pack_cost, step) if down else int(packs)
    end = 1 if down else 2 * guess + 10
    return step * boundary(start, end, holds, around(guess)) if holds(end) else None


def _orders(field: Field, options: Iterable[Option]) -> list[Order]:
    """What each choice orders, and each remedy by itself where it may come round again."""
    if field.setup.basis.book.settings.freight_to_customer == "none":
        return []
    orders: list[Order] = [option.charges.parts for option in options]
    if field.aim == "least to own":
        items = {item.key: item for option in options for item in option.remedies}
        orders += [field.alone(item).parts for item in items.values()]
    return orders


def _freight_stays(basis: Basis, code: str, cost: Decimal, order: Order) -> bool:
    """The order is on the same side of every threshold of the part's supplier at either pack cost."""
    part = basis.part(code)
    terms = basis.supplier(part.supplier)
    lines = [line for line in ordered(basis, order) if line.supplier == part.supplier]
    packs = sum(line.packs for line in lines if line.code == code)
    if terms is None or not packs:
        return True
    before = order_value(lines)
    after = before + packs * (cost - part.pack_cost)
    thresholds = [limit for limit in (terms.free_freight_from, terms.minimum_order) if limit]
    return all((before >= limit) == (after >= limit) for limit in thresholds)
