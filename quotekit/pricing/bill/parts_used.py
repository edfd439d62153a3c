"""Parts really fitted against those agreed: fewer are charged as used, more only within consent.

A part the work order says nothing of was used as agreed; one it gives as zero was not used. The customer's own parts
are free whatever their number. What the frozen book has no price for is not charged, and is told.
Units: the part's own unit, money. Source: shop policy.

Worked example: two seals at 3.85 and a belt were agreed; one seal and two belts were fitted. One seal is charged, and
one belt: the second belt costs the customer something only where consent leaves room for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.model.entries import UsedPart
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bill.lines import part_name
from quotekit.pricing.parts import PartAmount, one_off_amount, part_amount
from quotekit.record import record


@record
class PartsUsed:
    """Part lines of a bill, both ways."""

    at_most_agreed: tuple[PartAmount, ...]
    as_used: tuple[PartAmount, ...]
    more: tuple[tuple[str, Decimal], ...] = ()
    """Charged parts used beyond what was agreed: name and quantity."""
    fewer: bool = False
    """True where fewer of a part were used than agreed."""
    unknown: tuple[str, ...] = ()
    """Codes that the frozen book does not hold."""


def parts_used(basis: Basis, agreed: Sequence[PartAmount], used: Iterable[UsedPart]) -> PartsUsed:
    """The lines of the parts used, at most as agreed and as used, in text order of their codes."""
    counted, unknown = _counted(basis, agreed, used)
    least: dict[str, PartAmount] = {}
    real: dict[str, PartAmount] = {}
    more: list[tuple[str, Decimal]] = []
    for line in agreed:
        quantity = counted.pop(line.code, line.quantity)
        _keep(least, _with_quantity(basis, line, quantity if line.own else min(quantity, line.quantity)))
        _keep(real, _with_quantity(basis, line, quantity))
        if quantity > line.quantity and not line.own:
            more.append((part_name(line), quantity - line.quantity))
    for code, quantity in counted.items():
        line = part_amount(basis, code, quantity)
        _keep(real, line)
        if line.own:
            _keep(least, line)
        elif quantity:
            more.append((part_name(line), quantity))
    fewer = any(line.code not in least or least[line.code].quantity < line.quantity for line in agreed)
    return PartsUsed(
        at_most_agreed=_in_order(least),
        as_used=_in_order(real),
        more=tuple(more),
        fewer=fewer,
        unknown=tuple(sorted(unknown)),
    )


def _counted(
    basis: Basis, agreed: Sequence[PartAmount], used: Iterable[UsedPart]
) -> tuple[dict[str, Decimal], list[str]]:
    """Quantities by the final code of each part, and the codes that are not known."""
    lines, unknown = {line.code for line in agreed}, []
    counted: dict[str, Decimal] = {}
    for one in used:
        code = one.part
        if code not in lines:
            if code not in basis.job.parts and code not in basis.book.parts:
                unknown.append(code)
                continue
            code = basis.final_part(code).code
        counted[code] = counted.get(code, ZERO) + one.quantity
    return counted, unknown


def _with_quantity(basis: Basis, line: PartAmount, quantity: Decimal) -> PartAmount:
    if quantity == line.quantity:
        return line
    if line.one_off is not None:
        return one_off_amount(basis, replace(line.one_off, quantity=quantity))
    return part_amount(basis, line.code, quantity, line.from_kits)


def _keep(lines: dict[str, PartAmount], line: PartAmount) -> None:
    if line.quantity:
        lines[line.code] = line


def _in_order(lines: Mapping[str, PartAmount]) -> tuple[PartAmount, ...]:
    return tuple(lines[code] for code in sorted(lines))
