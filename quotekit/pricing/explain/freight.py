"""Freight as trees: this job's packs ordered alone, and what is added beside a tier (5.5 item 7 and 5.8)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.model.shop_book import Supplier
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import parts
from quotekit.pricing.explain.told import Told, count, leaf, of_row
from quotekit.pricing.freight import extra_freight, freight_of_order, order_value, ordered
from quotekit.pricing.parts import PartAmount


def freight(told: Told) -> Explanation:
    """`amounts.freight`: what each supplier's freight adds."""
    return told.once("amounts.freight", lambda: _freight(told))


def lines(told: Told) -> list[Explanation]:
    """Freight charged for each supplier, in the engine's order."""
    if told.basis.book.settings.freight_to_customer == "none":
        return []
    return [_charged(told, supplier) for supplier in told.charges.freight]


def freight_cost(told: Told) -> Explanation:
    """`cost.freight`: what the packs would cost ordered alone, charged or not."""
    return told.once("cost.freight", lambda: _cost(told))


def _freight(told: Told) -> Explanation:
    name, cells = told.name("amounts.freight"), told.setting_cells("Freight to customer")
    if told.basis.book.settings.freight_to_customer == "none":
        return told.money.settled(name, ZERO, "The shop charges no freight (rules 3.1).", cells)
    total = sum(told.charges.freight.values(), ZERO)
    rule = "Freight of each supplier, this job's packs ordered alone (rules 5.5 item 7)."
    return told.money.node(name, total, "sum", lines(told), rule, cells=cells)


def _cost(told: Told) -> Explanation:
    alone = freight_of_order(told.basis, told.charges.parts)
    found = [_alone(told, supplier, amount) for supplier, amount in alone.items()]
    rule = "What this job's packs would cost to ship ordered alone, charged or not (rules 5.9, Cost)."
    return told.money.sum_of(told.name("cost.freight"), sum(alone.values(), ZERO), found, rule)


def _charged(told: Told, supplier: str) -> Explanation:
    amount = told.charges.freight[supplier]
    if told.beside is not None:
        return told.once(f"freight {supplier} beside", lambda: _with_added(told, supplier, amount))
    return _alone(told, supplier, amount)


def _alone(told: Told, supplier: str, amount: Decimal) -> Explanation:
    return told.once(f"freight {supplier}", lambda: _of_supplier(told, supplier, amount))


def _of_supplier(told: Told, supplier: str, amount: Decimal) -> Explanation:
    terms, name = told.basis.supplier(supplier), told.name(f"freight of {supplier}")
    if terms is None:
        return told.money.settled(name, amount, f"The book has no terms of {supplier}, so no freight (rules 3).")
    lines = [line for line in ordered(told.basis, told.charges.parts) if line.supplier == supplier]
    value = parts.order_value(told, lines, f"order value at {supplier}")
    inputs = [_flat(told, terms, lines, value), _small_order(told, terms, lines, value)]
    inputs += [_per_pack(told, line, line.packs) for line in lines if extra_freight(line)]
    rule = "Flat freight, the small order fee and extra freight of each pack (rules 5.5 item 7)."
    return told.money.rounded(name, amount, "sum", inputs, rule)


def _flat(told: Told, terms: Supplier, lines: list[PartAmount], value: Explanation) -> Explanation:
    flat = of_row(f"Freight of {terms.code}", terms.freight, terms.source, "Freight", form="money")
    free = terms.free_freight_from
    threshold = of_row("Free freight from", free, terms.source, "Free freight from", form="money")
    amount = ZERO if free and order_value(lines) >= free else terms.freight or ZERO
    rule = "Flat freight, free from the supplier's value on (rules 5.5 item 7)."
    return told.money.node(f"flat freight of {terms.code}", amount, "unless at least", (flat, threshold, value), rule)


def _small_order(told: Told, terms: Supplier, lines: list[PartAmount], value: Explanation) -> Explanation:
    fee = of_row(
        f"Small order fee of {terms.code}", terms.small_order_fee, terms.source, "Small order fee", form="money"
    )
    least = of_row("Minimum order", terms.minimum_order, terms.source, "Minimum order", form="money")
    below = terms.minimum_order and order_value(lines) < terms.minimum_order
    amount = (terms.small_order_fee or ZERO) if below else ZERO
    rule = "The small order fee, below the supplier's minimum (rules 5.5 item 7)."
    return told.money.node(f"small order at {terms.code}", amount, "if below", (fee, least, value), rule)


def _per_pack(told: Told, line: PartAmount, packs: int) -> Explanation:
    assert line.part is not None
    each = of_row(
        f"Extra freight of {line.code}", line.part.extra_freight, line.part.source, "Extra freight", form="money"
    )
    many = parts.packs(told, line)
    if packs != line.packs:
        many = _added_packs(told, line, packs)
    amount = packs * extra_freight(line)
    return told.money.node(f"extra freight of {line.code}", amount, "product", (many, each), "Packs x extra freight.")


def _added_packs(told: Told, line: PartAmount, added: int) -> Explanation:
    assert told.beside is not None
    before = next((one for one in told.beside.charges.parts if one.code == line.code), None)
    own = parts.packs(told.beside, before) if before else leaf("none before", 0, cells=(), rule="The tier has none.")
    more = count(f"packs of {line.code} more", line.packs - (before.packs if before else 0), "difference",
                 (parts.packs(told, line), own), "Packs beside those of the tier.")  # fmt: skip
    none = leaf("none", 0, cells=(), rule="Never below zero.")
    return count(f"packs of {line.code} added", added, "most", (none, more), "Packs that are added (rules 5.8).")


def _with_added(told: Told, supplier: str, amount: Decimal) -> Explanation:
    """The tier's own freight, and what the added parts pay on top."""
    assert told.beside is not None
    before, money = told.beside.charges, told.money
    terms, inputs = told.basis.supplier(supplier), []
    if supplier in before.freight:
        inputs.append(_charged(told.beside, supplier))
    elif terms is not None:
        flat = of_row(f"Freight of {supplier}", terms.freight, terms.source, "Freight", form="money")
        rounded = round_to(terms.freight or ZERO, money.digits)
        rule = "The tier orders nothing there, so flat freight is paid once (rules 5.8)."
        inputs.append(money.rounded(f"flat freight of {supplier}", rounded, "same", (flat,), rule))
    for line in ordered(told.basis, told.charges.parts):
        added = max(0, line.packs - before.packs.get(line.code, 0))
        if line.supplier == supplier and terms is not None and extra_freight(line):
            node = _per_pack(told, line, added)
            each = round_to(added * extra_freight(line), money.digits)
            inputs.append(
                money.rounded(node.figure, each, "same", (node,), "Extra freight of packs that are added (rules 5.8).")
            )
    rule = "The tier's own freight, and what the added parts pay on top (rules 5.8)."
    return money.sum_of(told.name(f"freight of {supplier}"), amount, inputs, rule)
