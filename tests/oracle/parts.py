"""Parts of a tier (DESIGN.md 5.2 step 6, 5.4): quantities by source, kits, prices, packs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from quotekit.model.shop_book import MarkupBand, Part, Quantity
from tests.oracle.exact import fraction, half_up
from tests.oracle.work import ALWAYS, Item, Key, Work, World

Quantities = Counter[str]


@dataclass
class PartLine:
    """A part of a tier as sold and as bought."""

    part: str
    quantity: Fraction
    packs: int
    unit_price: Fraction
    amount: Fraction
    core: Fraction
    cost: Fraction | None
    supplier: str | None
    ordered: bool
    own: bool
    pack_cost: Fraction
    extra_freight: Fraction
    returnable: bool
    lead: int | None
    taxed_as: str


def final_code(world: World, code: str) -> str:
    """The end of a supersession."""
    replaced = world.parts[code].replaced_by
    return code if replaced is None else final_code(world, replaced)


def with_companions(world: World, listed: list[tuple[str, Fraction]]) -> dict[str, Fraction]:
    """Final parts and what they also need, per unit, until nothing more is added."""
    found: dict[str, Fraction] = {}
    waiting = list(listed)
    while waiting:
        code, quantity = waiting.pop()
        part = world.parts[final_code(world, code)]
        found[part.code] = found.get(part.code, Fraction(0)) + quantity
        waiting += [(entry.code, quantity * fraction(entry.quantity)) for entry in part.also_needs]
    return found


def parts_at(world: World, code: str, listed: tuple[Quantity, ...], side: str | None) -> dict[str, Fraction]:
    """What one operation, step or item uses on one side."""
    rows = [(entry.code, fraction(entry.quantity)) for entry in listed]
    for row in world.book.parts_used:
        if row.used_by == code and _row_counts(world, row.sides, row.machines, side):
            rows.append((row.part, fraction(row.quantity)))
    return with_companions(world, rows)


def _row_counts(world: World, sides: tuple[str, ...], machines: tuple[str, ...], side: str | None) -> bool:
    if machines and world.job.machine_class not in machines:
        return False
    everywhere = not sides or "all" in sides or "both" in sides
    return everywhere or any(side is not None and side.lower().startswith(entry) for entry in sides)


def parts_of_operation(world: World, key: Key) -> dict[str, Fraction]:
    """Per instance."""
    return parts_at(world, key[0], world.book.operations[key[0]].parts, key[1])


def parts_of_step(world: World, key: Key) -> dict[str, Fraction]:
    """Per instance."""
    return parts_at(world, key[0], world.book.access[key[0]].parts, key[1])


def parts_of_item(world: World, item: Item) -> dict[str, Fraction]:
    """The item's own list; an operation in a plan brings its parts as an operation."""
    if item.kind not in ("remedy", "extra"):
        return {}
    return parts_at(world, item.code, item.record.parts, item.side)


def raw_by_item(world: World, items: list[Item], work: Work) -> dict[str, dict[str, Fraction]]:
    """For each item, the quantity it brings: shared sources in equal parts, Always work by all active items."""
    raw: dict[str, dict[str, Fraction]] = {key: {} for key in work.payers}
    for operation in work.operations:
        _deal(raw, users(work, work.brings, operation), parts_of_operation(world, operation))
    for step in work.steps:
        _deal(raw, users(work, work.opens, step), parts_of_step(world, step))
    for item in items:
        if item.key in work.active:
            _deal(raw, [item.key], parts_of_item(world, item))
    return raw


def users(work: Work, having: dict[str, set[Key]], key: Key) -> list[str]:
    """Who shares an operation or step: all active items where Always work has it."""
    if key in having[ALWAYS]:
        return work.payers
    return sorted(name for name, keys in having.items() if name != ALWAYS and key in keys)


def _deal(raw: dict[str, dict[str, Fraction]], names: list[str], quantities: dict[str, Fraction]) -> None:
    for name in names:
        for code, quantity in quantities.items():
            raw[name][code] = raw[name].get(code, Fraction(0)) + quantity / len(names)


def raw_total(world: World, items: list[Item], work: Work) -> dict[str, Fraction]:
    """All quantities before kits."""
    sources = [parts_of_operation(world, key) for key in work.operations]
    sources += [parts_of_step(world, key) for key in work.steps]
    sources += [parts_of_item(world, item) for item in items if item.key in work.active]
    return add_up(sources)


def add_up(sources: list[dict[str, Fraction]]) -> dict[str, Fraction]:
    """Sum of quantities by part."""
    total: dict[str, Fraction] = {}
    for source in sources:
        for code, quantity in source.items():
            total[code] = total.get(code, Fraction(0)) + quantity
    return total


def less_kits(world: World, raw: dict[str, Fraction]) -> dict[str, Fraction]:
    """Take off what kits contain, by the quantities before any kit."""
    left = dict(raw)
    for code, quantity in raw.items():
        for entry in world.parts[code].contains:
            inside = final_code(world, entry.code)
            if inside in left:
                left[inside] = max(Fraction(0), left[inside] - quantity * fraction(entry.quantity))
    return left


def own_parts(world: World) -> set[str]:
    """The customer's own, after supersession."""
    return {final_code(world, code) if code in world.parts else code for code in world.job.own_parts}


def unit_cost(part: Part) -> Fraction:
    """Exact."""
    return fraction(part.pack_cost) / fraction(part.pack_quantity)


def marked_up(bands: tuple[MarkupBand, ...], cost: Fraction) -> Fraction:
    """Cost and the markup of its band, not below the price at the top of a lower band."""
    price = None
    floors = []
    for band in bands:
        if cost > fraction(band.cost_over) and (band.cost_up_to is None or cost <= fraction(band.cost_up_to)):
            price = cost * (1 + fraction(band.markup))
        elif band.cost_up_to is not None and fraction(band.cost_up_to) < cost:
            floors.append(fraction(band.cost_up_to) * (1 + fraction(band.markup)))
    assert price is not None, f"no band for {cost}"
    return max([price, *floors])


def price_of_cost(world: World, cost: Fraction, list_price: Fraction | None) -> Fraction:
    """5.4 for a part without a fixed price, before rounding."""
    price = marked_up(world.book.markup, cost)
    if list_price is not None:
        price = min(price, list_price)
    return max(price, cost)


def unit_price(world: World, part: Part) -> Fraction:
    """5.4, rounded."""
    if part.fixed_price_each is not None:
        return half_up(fraction(part.fixed_price_each), world.digits)
    listed = None if part.list_price_each is None else fraction(part.list_price_each)
    return half_up(price_of_cost(world, unit_cost(part), listed), world.digits)


def supplier_lead(world: World, code: str | None) -> int | None:
    """Lead days of a supplier, where known."""
    row = None if world.book.suppliers is None or code is None else world.book.suppliers.get(code)
    return None if row is None else row.lead_days


def is_shelf(world: World, code: str | None) -> bool:
    """The shop's own stock."""
    if code is None:
        return True
    row = None if world.book.suppliers is None else world.book.suppliers.get(code)
    return row is not None and row.shelf


def part_line(world: World, code: str, quantity: Fraction) -> PartLine:
    """A line of a book part."""
    part = world.parts[code]
    own = code in own_parts(world)
    price = Fraction(0) if own else unit_price(world, part)
    keep = world.job.old_parts == "keep" and not own
    ordered = not own and not is_shelf(world, part.supplier)
    lead = part.lead_days if part.lead_days is not None else supplier_lead(world, part.supplier)
    return PartLine(
        part=code,
        quantity=quantity,
        packs=0 if own else ceil(quantity / fraction(part.pack_quantity)),
        unit_price=price,
        amount=half_up(price * quantity, world.digits),
        core=half_up(fraction(part.core_charge) * quantity, world.digits) if keep else Fraction(0),
        cost=Fraction(0) if own else half_up(unit_cost(part) * quantity, world.digits),
        supplier=part.supplier,
        ordered=ordered,
        own=own,
        pack_cost=fraction(part.pack_cost),
        extra_freight=fraction(part.extra_freight),
        returnable=part.returnable,
        lead=lead if ordered else 0,
        taxed_as=part.taxed_as or "parts",
    )


def one_off_line(world: World, item: Item) -> PartLine:
    """A one-off part: a pack of one, from the shelf unless a supplier is named."""
    row = item.record
    quantity = fraction(row.quantity)
    exact = (
        fraction(row.unit_price) if row.unit_price is not None else price_of_cost(world, fraction(row.unit_cost), None)
    )
    price = half_up(exact, world.digits)
    ordered = not is_shelf(world, row.supplier)
    lead = row.lead_days if row.lead_days is not None else supplier_lead(world, row.supplier) if ordered else 0
    return PartLine(
        part=item.key,
        quantity=quantity,
        packs=ceil(quantity),
        unit_price=price,
        amount=half_up(price * quantity, world.digits),
        core=Fraction(0),
        cost=None if row.unit_cost is None else half_up(fraction(row.unit_cost) * quantity, world.digits),
        supplier=row.supplier,
        ordered=ordered,
        own=False,
        pack_cost=fraction(row.unit_cost),
        extra_freight=Fraction(0),
        returnable=True,
        lead=lead,
        taxed_as="parts",
    )


def part_lines(world: World, items: list[Item], work: Work) -> list[PartLine]:
    """Every part of the tier in text order, one-off parts by their code."""
    quantities = less_kits(world, raw_total(world, items, work))
    lines = [part_line(world, code, quantity) for code, quantity in quantities.items() if quantity > 0]
    lines += [one_off_line(world, item) for item in items if item.kind == "one-off" and item.record.kind == "part"]
    return sorted(lines, key=lambda line: line.part)
