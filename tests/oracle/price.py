"""The order of money (DESIGN.md 5.5) for a list of items."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quotekit.model.shop_book import Bundle, Supplier
from tests.oracle.exact import fraction, half_up
from tests.oracle.labour import Labour, labour_of
from tests.oracle.parts import (
    PartLine,
    add_up,
    is_shelf,
    own_parts,
    part_lines,
    parts_of_item,
    parts_of_operation,
    parts_of_step,
    unit_price,
)
from tests.oracle.work import ALWAYS, Item, Work, World, work_of, written

ZERO = Fraction(0)


@dataclass
class Saving:
    """A bundle or discount that is on, with what it takes off labour or parts."""

    key: str
    kind: str
    amount: Fraction


@dataclass
class Priced:
    """Work and money of a list of items, steps 1 to 7."""

    items: list[Item]
    doing: Work
    labour: Labour
    parts: list[PartLine]
    sublet: dict[str, Fraction]
    savings: list[Saving]
    supplies: Fraction
    fees: dict[str, Fraction]
    freight: dict[str, Fraction]
    own_freight: dict[str, Fraction]
    """What the packs would cost to ship ordered alone, charged or not."""

    @property
    def labour_amount(self) -> Fraction:
        """Labour lines and the minimum line."""
        return sum(self.labour.amounts.values(), ZERO)

    @property
    def parts_amount(self) -> Fraction:
        """Parts lines."""
        return sum((line.amount for line in self.parts), ZERO)

    @property
    def cores(self) -> Fraction:
        """Core charges."""
        return sum((line.core for line in self.parts), ZERO)

    @property
    def saved(self) -> Fraction:
        """Bundles and discount, positive."""
        return sum((saving.amount for saving in self.savings), ZERO)

    @property
    def work(self) -> Fraction:
        """1 to 7."""
        lines = [self.labour_amount, self.parts_amount, self.cores, *self.sublet.values(), -self.saved, self.supplies]
        return sum([*lines, *self.fees.values(), *self.freight.values()], ZERO)


def price(world: World, items: list[Item], *, alone: bool = False, beside: Priced | None = None) -> Priced:
    """Price a set of items; alone: without bundles, discount and the job's own fees; beside: added to that tier."""
    items = sorted(items, key=lambda item: item.key)
    work = work_of(world, items)
    on = [] if alone else bundles_on(world, items)
    hours_off = sum((fraction(bundle.value) for bundle in on if bundle.saving == "hours off"), ZERO)
    labour = labour_of(world, items, work, hours_off)
    lines = part_lines(world, items, work)
    own = freight_of(world, lines)
    charged = world.book.settings.freight_to_customer == "this job alone"
    freight = (own if beside is None else freight_beside(world, lines, beside)) if charged else {}
    priced = Priced(items, work, labour, lines, sublet_of(world, items, work), [], ZERO, {}, freight, own)
    if not alone:
        priced.savings = savings_of(world, items, priced, on)
    priced.supplies = supplies_of(world, priced.labour_amount)
    priced.fees = fees_of(world, items, work, alone)
    return priced


def bundles_on(world: World, items: list[Item]) -> list[Bundle]:
    """Bundles in force whose members are all in the tier, on any side."""
    codes = {item.code for item in items if item.kind in ("remedy", "extra")}
    day = world.job.quote_date
    return [
        bundle
        for bundle in world.book.bundles.values()
        if set(bundle.members) <= codes
        and (bundle.from_ is None or bundle.from_ <= day)
        and (bundle.to is None or day <= bundle.to)
    ]


def savings_of(world: World, items: list[Item], priced: Priced, on: list[Bundle]) -> list[Saving]:
    """Each saving at most what is left of its charge, in book order; then the discount."""
    left = {"labour": priced.labour_amount, "parts": priced.parts_amount}
    savings = []
    for bundle in on:
        if bundle.saving == "hours off":
            savings.append(Saving(bundle.code, "hours", ZERO))
            continue
        kind = "labour" if bundle.saving == "labour amount off" else "parts"
        wanted = fraction(bundle.value)
        if bundle.saving == "percent off parts":
            wanted *= brought_by_members(world, items, priced.doing, bundle)
        taken = min(left[kind], half_up(wanted, world.digits))
        left[kind] -= taken
        savings.append(Saving(bundle.code, kind, taken))
    percent = fraction(world.job.discount_percent)
    for kind in ("labour", "parts"):
        savings.append(Saving(f"DISCOUNT-{kind.upper()}", kind, half_up(percent * left[kind], world.digits)))
    return savings


def brought_by_members(world: World, items: list[Item], work: Work, bundle: Bundle) -> Fraction:
    """Parts, whole and before kits, of every operation, step and item that a member brings, but not of Always work."""
    members = [item for item in items if item.code in bundle.members and item.key in work.active]
    operations = set().union(*(work.brings[item.key] for item in members)) - work.brings[ALWAYS]
    steps = set().union(*(work.opens[item.key] for item in members)) - work.opens[ALWAYS]
    sources = [parts_of_operation(world, key) for key in operations] + [parts_of_step(world, key) for key in steps]
    total = add_up(sources + [parts_of_item(world, item) for item in members])
    own = own_parts(world)
    amounts = (
        half_up(unit_price(world, world.parts[code]) * count, world.digits)
        for code, count in total.items()
        if code not in own
    )
    return sum(amounts, ZERO)


def supplies_of(world: World, labour: Fraction) -> Fraction:
    """Percent of labour lines, at most the cap."""
    settings = world.book.settings
    if settings.supplies_shown_as == "off":
        return ZERO
    amount = half_up(fraction(settings.supplies_percent_of_labour) * labour, world.digits)
    return amount if settings.supplies_cap is None else min(amount, fraction(settings.supplies_cap))


def sublet_of(world: World, items: list[Item], work: Work) -> dict[str, Fraction]:
    """Each operation's sublet with markup, and one-off sublet."""
    factor = 1 + fraction(world.book.settings.sublet_markup)
    lines = {}
    for key in sorted(work.operations, key=written):
        cost = world.book.operations[key[0]].sublet_cost
        if cost is not None:
            lines[written(key)] = half_up(fraction(cost) * factor, world.digits)
    for item in items:
        if item.kind == "one-off" and item.record.kind == "sublet":
            each = item.record.unit_price
            charged = fraction(item.record.unit_cost) * factor if each is None else fraction(each)
            lines[item.key] = half_up(charged * fraction(item.record.quantity), world.digits)
    return lines


def fees_of(world: World, items: list[Item], work: Work, alone: bool) -> dict[str, Fraction]:
    """Each fee once; a quantity the job gives replaces the fee's own trigger; one-off charges last."""
    asked = {} if alone else {entry.code: fraction(entry.quantity) for entry in world.job.fees}
    codes = {key[0] for key in work.operations}
    lines = {}
    for fee in world.book.fees.values():
        triggered = fee.always or bool(codes & set(fee.applies_to))
        count = asked.get(fee.code, Fraction(1 if triggered else 0))
        if count:
            lines[fee.code] = half_up(fraction(fee.amount) * count, world.digits)
    for item in items:
        if item.kind == "one-off" and item.record.kind == "charge":
            lines[item.key] = half_up(fraction(item.record.unit_price) * fraction(item.record.quantity), world.digits)
    return lines


def _terms(world: World, code: str) -> Supplier | None:
    return None if world.book.suppliers is None else world.book.suppliers.get(code)


def ordered_at(lines: list[PartLine]) -> dict[str, list[PartLine]]:
    """Lines ordered, by supplier."""
    found: dict[str, list[PartLine]] = {}
    for line in lines:
        if line.ordered and line.supplier is not None:
            found.setdefault(line.supplier, []).append(line)
    return found


def freight_of(world: World, lines: list[PartLine]) -> dict[str, Fraction]:
    """Per supplier, this job's packs ordered alone."""
    freight = {}
    for code, mine in sorted(ordered_at(lines).items()):
        terms = _terms(world, code)
        if terms is None or is_shelf(world, code):
            continue
        goods = sum((line.packs * line.pack_cost for line in mine), ZERO)
        amount = sum((line.packs * line.extra_freight for line in mine), ZERO)
        free = terms.free_freight_from
        if not (free and goods >= fraction(free)):
            amount += fraction(terms.freight)
        if terms.minimum_order is not None and goods < fraction(terms.minimum_order):
            amount += fraction(terms.small_order_fee)
        freight[code] = half_up(amount, world.digits)
    return freight


def freight_beside(world: World, lines: list[PartLine], tier: Priced) -> dict[str, Fraction]:
    """Judged on the tier; a supplier it does not use pays flat freight once; extra freight by packs."""
    before = {line.part: line.packs for line in tier.parts}
    freight = dict(tier.own_freight)
    for code, mine in sorted(ordered_at(lines).items()):
        terms = _terms(world, code)
        if terms is None:
            continue
        if code not in freight:
            freight[code] = fraction(terms.freight)
        more = sum((max(0, line.packs - before.get(line.part, 0)) * line.extra_freight for line in mine), ZERO)
        freight[code] = half_up(freight[code] + more, world.digits)
    return freight
