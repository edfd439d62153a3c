"""What packs from several suppliers land for: goods, freight, small order fees.

For each supplier that gets an order: goods = packs x pack cost; the flat freight, none from the free-freight value (a
blank or zero value never makes it free); the small order fee where goods are below the minimum; extra freight for each
pack. Goods are rounded once a supplier, freight and extra freight together once, the fee once: as `pricing/freight`
reads the same terms for a quote. A blank small order fee charges nothing, as in a quote;
whether the supplier takes such an order the shop must ask.
Units: money. Source: common practice, no source.

Worked example: two packs at 18.00 from a supplier with freight 9.00, free from 50.00, minimum 40.00, fee 6.00: goods
36.00, freight 9.00, fee 6.00, 51.00 in all. Three packs are 54.00, free of freight and fee.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from quotekit.model.landed import OrderTask, Packs, SupplierCost
from quotekit.model.shop_book import Supplier
from quotekit.money import round_to

ZERO = Decimal(0)
NO_TERMS = Supplier(code="", supplier="")


def landed_cost(task: OrderTask, packs: Iterable[Packs]) -> Decimal:
    """What an order lands for in all."""
    return sum((cost.total for cost in supplier_costs(task, packs)), ZERO)


def supplier_costs(task: OrderTask, packs: Iterable[Packs]) -> list[SupplierCost]:
    """Goods, freight and fee of each supplier that gets an order, in text order."""
    found = []
    for supplier, lines in by_supplier(packs).items():
        terms, goods = terms_of(task, supplier), goods_of(lines)
        extra = sum((line.packs * line.offer.extra_freight for line in lines), ZERO)
        found.append(
            SupplierCost(
                supplier=supplier,
                goods=round_to(goods, task.digits),
                freight=round_to(flat_freight(terms, goods) + extra, task.digits),
                fee=round_to(small_order_fee(terms, goods), task.digits),
            )
        )
    return found


def by_supplier(packs: Iterable[Packs]) -> Mapping[str, list[Packs]]:
    """Packs by supplier, in text order of suppliers."""
    found: dict[str, list[Packs]] = {}
    for line in packs:
        found.setdefault(line.offer.supplier, []).append(line)
    return {supplier: found[supplier] for supplier in sorted(found)}


def goods_of(lines: Iterable[Packs]) -> Decimal:
    """Packs x pack cost, not rounded."""
    return sum((line.packs * line.offer.pack_cost for line in lines), ZERO)


def terms_of(task: OrderTask, supplier: str) -> Supplier:
    """A supplier's terms; free text without a row has none."""
    return task.terms.get(supplier, NO_TERMS)


def flat_freight(terms: Supplier, goods: Decimal) -> Decimal:
    """The flat freight of an order of goods."""
    if terms.free_freight_from and goods >= terms.free_freight_from:
        return ZERO
    return terms.freight or ZERO


def small_order_fee(terms: Supplier, goods: Decimal) -> Decimal:
    """The fee of an order below the minimum."""
    return (terms.small_order_fee or ZERO) if is_below_minimum(terms, goods) else ZERO


def is_below_minimum(terms: Supplier, goods: Decimal) -> bool:
    """True where the supplier has a minimum that the goods do not reach."""
    return bool(terms.minimum_order) and goods < (terms.minimum_order or ZERO)
