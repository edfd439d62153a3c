"""Parts of a set of work: quantities, kits, packs and amounts (DESIGN.md 5.2 step 6 and 5.4).

What every operation, step and item brings is added up per final part; then what kits contain is taken off,
`quantity of the kit x content`, all kits by the quantities before any kit, never below zero.
amount = round(unit price x quantity); packs are rounded up per part over the whole job.
The customer's own parts are fitted, not charged and not ordered.
Units: the part's own unit, money. Source: shop policy; packs per part over the whole job: common practice, no source.

Worked example: two operations bring 2 seals each and one kit that contains 3 seals: 4 - 1 x 3 = 1 seal is charged;
at 3.85 that is 3.85. Seals come in packs of 4: one pack is bought and 3 are left over.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from quotekit.model.job import OneOff
from quotekit.model.shop_book import Part
from quotekit.money import round_to, whole_units
from quotekit.pricing.basis import ZERO, Basis, PartUse
from quotekit.pricing.items import Item
from quotekit.pricing.part_price import marked_up, unit_cost
from quotekit.pricing.work import Work


@dataclass(slots=True)
class PartAmount:
    """One part line before it is laid out. `part` is None for a one-off line."""

    code: str
    quantity: Decimal
    packs: int
    unit_price: Decimal
    amount: Decimal
    core: Decimal
    supplier: str
    part: Part | None = None
    one_off: OneOff | None = None
    own: bool = False
    from_kits: Decimal = ZERO

    @property
    def pack_cost(self) -> Decimal | None:
        """What one pack costs; None where a one-off line gives only its price."""
        return self.part.pack_cost if self.part else self.one_off.unit_cost if self.one_off else None

    @property
    def taxed_as(self) -> str:
        """The charge word that taxes it."""
        return (self.part.taxed_as if self.part else None) or "parts"


def uses_of_work(
    basis: Basis, present: Iterable[str], steps: Iterable[str], items: Iterable[Item]
) -> dict[str, Decimal]:
    """Final parts brought by operations, steps and items, before kits."""
    totals: dict[str, Decimal] = {}
    for key in present:
        _add(totals, basis.op_named(key).parts)
    for key in steps:
        _add(totals, basis.step_named(key).parts)
    for item in items:
        _add(totals, item.parts)
    return totals


def parts_of(basis: Basis, work: Work) -> tuple[dict[str, Decimal], list[PartAmount]]:
    """Quantities before kits, and the part lines in text order of their codes."""
    active = [item for item in work.items if item.parts and not work.is_done_by_larger(item)]
    raw = uses_of_work(basis, work.present, work.steps, active)
    lines = _lines(basis, raw, raw)
    lines += [
        one_off_amount(basis, item.one_off) for item in work.items if item.one_off and item.one_off.kind == "part"
    ]
    return raw, sorted(lines, key=lambda line: line.code)


def parts_with(
    basis: Basis, before: Mapping[str, Decimal], lines: Iterable[PartAmount], more: Mapping[str, Decimal]
) -> tuple[dict[str, Decimal], list[PartAmount]]:
    """`parts_of` where a work brings more, none of it a kit: only the lines of what it brings are made again."""
    raw = dict(before)
    _add(raw, more.items())
    kept = (line for line in lines if line.one_off is not None or line.code not in more)
    return raw, sorted([*_lines(basis, raw, more), *kept], key=lambda line: line.code)


def _lines(basis: Basis, raw: Mapping[str, Decimal], codes: Iterable[str]) -> list[PartAmount]:
    """The lines of these parts, less what the kits of the whole contain."""
    taken = _contents_of_kits(basis, raw)
    found = []
    for code in codes:
        from_kits = min(raw[code], taken.get(code, ZERO))
        if raw[code] > from_kits:
            found.append(part_amount(basis, code, raw[code] - from_kits, from_kits))
    return found


def not_brought(basis: Basis, uses: Mapping[str, Decimal], wanted: Iterable[PartUse]) -> list[str]:
    """Parts wanted that are not among a work's own, kits and the customer's own parts counted: `SEAL x 2`."""
    inside = _contents_of_kits(basis, uses)
    return [
        f"{code} x {quantity.normalize():f}"
        for code, quantity in wanted
        if code not in basis.own_parts and uses.get(code, ZERO) + inside.get(code, ZERO) < quantity
    ]


def part_amount(basis: Basis, code: str, quantity: Decimal, from_kits: Decimal = ZERO) -> PartAmount:
    """One part line of the shop book."""
    part = basis.part(code)
    if code in basis.own_parts:
        zero = round_to(ZERO, basis.digits)
        return PartAmount(code, quantity, 0, zero, zero, zero, "", part=part, own=True, from_kits=from_kits)
    price = basis.price(code).price
    return PartAmount(
        code,
        quantity,
        whole_units(quantity, part.pack_quantity),
        price,
        round_to(price * quantity, basis.digits),
        core_charge(basis, part, quantity),
        part.supplier,
        part=part,
        from_kits=from_kits,
    )


def one_off_amount(basis: Basis, line: OneOff) -> PartAmount:
    """A one-off part: a pack of one, at its price or at its cost with the markup of its band."""
    price = one_off_unit_price(basis, line)
    return PartAmount(
        line.code,
        line.quantity,
        whole_units(line.quantity, Decimal(1)),
        price,
        round_to(price * line.quantity, basis.digits),
        round_to(ZERO, basis.digits),
        line.supplier or "",
        one_off=line,
    )


def one_off_unit_price(basis: Basis, line: OneOff) -> Decimal:
    """The rounded unit price of a one-off part."""
    if line.unit_price is not None:
        return round_to(line.unit_price, basis.digits)
    return round_to(marked_up(Fraction(line.unit_cost or 0), basis.book.markup), basis.digits)


def core_charge(basis: Basis, part: Part, quantity: Decimal) -> Decimal:
    """Charged for the units used where the customer keeps the old parts."""
    keeps = basis.job.old_parts == "keep" and part.core_charge is not None
    return round_to((part.core_charge or ZERO) * quantity if keeps else ZERO, basis.digits)


def amount_before_kits(basis: Basis, uses: dict[str, Decimal]) -> Decimal:
    """What quantities come to, each part rounded: the base of a percentage off parts."""
    return sum(
        (
            round_to(basis.price(code).price * quantity, basis.digits)
            for code, quantity in uses.items()
            if code not in basis.own_parts
        ),
        ZERO,
    )


def cost_of_part(line: PartAmount, digits: int) -> Decimal | None:
    """round(unit cost x quantity used); zero for the customer's own; None where it is not known."""
    if line.own:
        return round_to(ZERO, digits)
    if line.pack_cost is None:
        return None
    unit = unit_cost(line.part) if line.part else Fraction(line.pack_cost)
    return round_to(unit * Fraction(line.quantity), digits)


def _contents_of_kits(basis: Basis, raw: Mapping[str, Decimal]) -> dict[str, Decimal]:
    taken: dict[str, Decimal] = {}
    for code, quantity in raw.items():
        for content in basis.part(code).contains:
            _add(taken, ((basis.final_part(content.code).code, quantity * content.quantity),))
    return taken


def _add(totals: dict[str, Decimal], uses: Iterable[PartUse]) -> None:
    for code, quantity in uses:
        totals[code] = totals.get(code, ZERO) + quantity
