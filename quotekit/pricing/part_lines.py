"""Part lines laid open: price, sides, packs, supplier, what is left over and what it costs (DESIGN.md 5.4 and 7)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.quote import PartLine
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.part_price import unit_cost
from quotekit.pricing.parts import PartAmount, cost_of_part
from quotekit.pricing.totals import lead_days


def part_lines(basis: Basis, charges: Charges) -> tuple[PartLine, ...]:
    """Part lines with what the shop must know to buy them."""
    sides = _sides_of_parts(basis, charges)
    return tuple(_part_line(basis, line, sides.get(line.code, ())) for line in charges.parts)


def _part_line(basis: Basis, line: PartAmount, sides: tuple[str, ...]) -> PartLine:
    part, one_off = line.part, line.one_off
    pack_quantity = part.pack_quantity if part else Decimal(1)
    cost = unit_cost(part) if part else None if line.pack_cost is None else Fraction(line.pack_cost)
    shelf = basis.is_shelf(line.supplier)
    return PartLine(
        part=line.code,
        name=part.part if part else one_off.line if one_off else line.code,
        unit=part.unit if part else "",
        new_or_used=part.new_or_used if part else "",
        quantity=line.quantity,
        packs=line.packs,
        unit_price=line.unit_price,
        amount=line.amount,
        sides=sides,
        own=line.own,
        supplier=supplier_name(basis, line.supplier),
        suppliers_number=part.suppliers_number if part else "",
        pack_quantity=pack_quantity,
        pack_cost=line.pack_cost,
        unit_cost=None if cost is None else round_to(cost, 6),
        cost=cost_of_part(line, basis.digits),
        left_over=ZERO if line.own else line.packs * pack_quantity - line.quantity,
        core_charge=line.core,
        ordered=not line.own and not shelf,
        returnable=part.returnable if part else True,
        lead_days=lead_days(basis, line),
        replaces=tuple(sorted(basis.replaced.get(line.code, ()))),
        why_price="the customer's own" if line.own else _why_price(basis, line),
        taken_from_kits=line.from_kits,
    )


def _why_price(basis: Basis, line: PartAmount) -> str:
    if line.one_off is not None:
        return "price given on the job" if line.one_off.unit_price is not None else "markup"
    return basis.price(line.code).why


def _sides_of_parts(basis: Basis, charges: Charges) -> dict[str, tuple[str, ...]]:
    """Positions that use each part, in the machine's order."""
    found: dict[str, set[str]] = {}
    sided = [(basis.op_named(key).side, basis.op_named(key).parts) for key in charges.work.present]
    sided += [(basis.step_named(key).side, basis.step_named(key).parts) for key in charges.work.steps]
    sided += [(item.side, item.parts) for item in charges.work.items]
    for side, parts in sided:
        for code, _ in parts:
            if side is not None:
                found.setdefault(code, set()).add(side)
    return {code: tuple(side for side in basis.job.positions if side in sides) for code, sides in found.items()}


def supplier_name(basis: Basis, code: str) -> str:
    """The supplier's name, else its code or free text."""
    terms = basis.supplier(code)
    return terms.supplier if terms else code
