"""Freight of a choice's packs ordered alone, as a sum (DESIGN.md 5.5 item 7; `pricing/freight` in numbers).

Per supplier: the flat freight, none from the free-freight value, plus the small order fee below the minimum, plus
extra freight per pack. Money in minor units.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from quotekit.model.shop_book import Supplier
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.exact.flags import Flag, add_flag
from quotekit.pricing.exact.goods import Goods, Quantity, is_bought, packs_of
from quotekit.pricing.exact.labour import minor
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.present import Present
from quotekit.pricing.exact.program import Program
from quotekit.pricing.parts import one_off_amount


class Order(NamedTuple):
    """What a choice orders from one supplier."""

    bought: list[Flag]
    value: Line
    """Whole packs at pack cost, in minor units; counted only where the supplier's terms look at it."""
    extra: Line


def freight_money(program: Program, basis: Basis, present: Present, goods: Goods) -> Line:
    """Freight charged to the customer."""
    money = Line()
    if basis.book.settings.freight_to_customer == "none":
        return money
    for supplier, order in sorted(_orders(program, basis, present, goods).items()):
        terms = basis.supplier(supplier)
        if terms is not None:
            money.plus(program.rounded(_freight(program, basis, terms, order)))
    return money


def _orders(program: Program, basis: Basis, present: Present, goods: Goods) -> dict[str, Order]:
    orders: dict[str, Order] = {}
    for code, quantity in goods.quantities.items():
        part = basis.part(code)
        if code not in basis.own_parts and not basis.is_shelf(part.supplier):
            order = orders.setdefault(part.supplier, Order([], Line(), Line()))
            _add_part(program, basis, order, code, quantity)
    for one in present.taken:
        line = one.item.one_off
        if line is not None and line.kind == "part" and not basis.is_shelf(line.supplier or ""):
            order = orders.setdefault(line.supplier or "", Order([], Line(), Line()))
            order.bought.append(one.flag)
            packs = one_off_amount(basis, line).packs
            add_flag(order.value, one.flag, packs * minor(basis, line.unit_cost or ZERO))
    return orders


def _add_part(program: Program, basis: Basis, order: Order, code: str, quantity: Quantity) -> None:
    part = basis.part(code)
    order.bought.append(is_bought(program, quantity))
    terms = basis.supplier(part.supplier)
    if part.extra_freight or (terms is not None and (terms.free_freight_from or terms.minimum_order)):
        packs = packs_of(program, quantity.line, part.pack_quantity)
        order.value.plus(packs, minor(basis, part.pack_cost))
        order.extra.plus(packs, minor(basis, part.extra_freight or ZERO))


def _freight(program: Program, basis: Basis, terms: Supplier, order: Order) -> Line:
    any_bought = program.either(order.bought)
    money = Line().plus(order.extra)
    flat = any_bought
    if terms.free_freight_from:
        flat = program.both(any_bought, -_reaches(program, basis, order.value, terms.free_freight_from))
    add_flag(money, flat, minor(basis, terms.freight or ZERO))
    if terms.minimum_order and terms.small_order_fee:
        small = program.both(any_bought, -_reaches(program, basis, order.value, terms.minimum_order))
        add_flag(money, small, minor(basis, terms.small_order_fee))
    return money


def _reaches(program: Program, basis: Basis, value: Line, limit: Decimal) -> Flag:
    return program.at_least(value, minor(basis, limit))
