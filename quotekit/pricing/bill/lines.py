"""A set of charges as the lines of a bill, each with the charge by which it is taxed.

The key of a line tells what it is: `labour:MAIN`, `part:SEAL`, `core:STARTER`, `sublet:RECORE`, `saving:SPRING`,
`fee:PICKUP`, `charge:ONEOFF-1`, `freight:NORTH`, `supplies`, `inspection`, `inspection-credit`. A line that takes
something off another carries its key: `comeback:labour:MAIN`. The lines add up to the subtotal.
Units: money. Source: invoices over 50 dollars list labour and parts apart (Minnesota Stat. 325F.60, as read in 2026).

Worked example: labour 110.50, two seals 7.70, inspection 45.00 credited: lines 110.50, 7.70, 45.00, -45.00; subtotal
118.20.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from quotekit.model.entries import BillLine
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bundles import Saving
from quotekit.pricing.charges import Charges
from quotekit.pricing.fees import FeeAmount
from quotekit.pricing.parts import PartAmount
from quotekit.pricing.taxes import ChargeLine

INSPECTION, CREDIT, REASSEMBLY = "inspection", "inspection-credit", "reassembly"
HELD, COMEBACK, CORE_BACK = "held:", "comeback:", "core-back:"


def lines_of(basis: Basis, charges: Charges) -> tuple[BillLine, ...]:
    """Everything but the inspection, in the order of money; lines of nothing are left out, own parts stay."""
    sublet, freight = charges.sublet, charges.freight
    lines = [
        *_labour(basis, charges),
        *_parts(charges.parts),
        *(_line(f"sublet:{key}", _sublet_words(basis, charges, key), sublet[key], "sublet") for key in sublet),
        *(_line(f"saving:{one.key}", _saving_words(one), -one.amount, one.charge) for one in charges.savings),
        _line("supplies", "Shop supplies", charges.supplies, "supplies"),
        *map(_fee, charges.fees),
        *(_line(f"freight:{key}", "Freight for parts", freight[key], "freight") for key in freight),
    ]
    return tuple(line for line in lines if line.amount or line.each is not None)


def inspection_lines(fee: Decimal, credit: Decimal) -> tuple[BillLine, ...]:
    """The inspection and what is credited of it (negative)."""
    lines = (
        _line(INSPECTION, "Inspection", fee, "inspection"),
        _line(CREDIT, "Inspection credited", credit, "inspection"),
    )
    return tuple(line for line in lines if line.amount)


def total_of(lines: Iterable[BillLine]) -> Decimal:
    """What lines add up to."""
    return sum((line.amount for line in lines), ZERO)


def charge_key(line: BillLine) -> str:
    """The key of the charge a line belongs to: its own, or that of the line it takes something off."""
    return line.key.removeprefix(COMEBACK).removeprefix(HELD)


def as_taxed(line: BillLine) -> ChargeLine:
    """The line as a tax sees it."""
    what = charge_key(line)
    fee = what.removeprefix("fee:") if what.startswith("fee:") else ""
    of_labour = line.kind == "labour" and what.startswith(("labour:", "saving:"))
    return ChargeLine(line.kind, line.amount, fee, of_labour)


def _line(key: str, text: str, amount: Decimal, kind: str) -> BillLine:
    return BillLine(key=key, text=text, amount=amount, kind=kind)


def _labour(basis: Basis, charges: Charges) -> Iterator[BillLine]:
    shown = basis.book.settings.show_hours
    for rate, amount in charges.labour.items():
        row = basis.rates[rate]
        several = f", {row.name or rate}" if len(charges.labour) > 1 else ""
        yield BillLine(
            key=f"labour:{rate}",
            text=f"Labour{several}",
            amount=amount,
            kind="labour",
            quantity=charges.hours.by_rate[rate].billed if shown else None,
            unit="h" if shown else "",
            each=row.rate_per_hour if shown else None,
        )
    yield _line("labour:", "Labour, to the minimum charge", charges.minimum, "labour")


def _parts(parts: Iterable[PartAmount]) -> Iterator[BillLine]:
    """Parts, each with its core charge."""
    for one in parts:
        name = part_name(one)
        yield BillLine(
            key=f"part:{one.code}",
            text=name,
            amount=one.amount,
            kind=one.taxed_as,
            detail="your own" if one.own else one.part.new_or_used if one.part else "",
            quantity=one.quantity,
            unit=one.part.unit if one.part else "",
            each=one.unit_price,
        )
        yield _line(f"core:{one.code}", f"Core charge, {name}", one.core, "cores")


def part_name(line: PartAmount) -> str:
    """What a part is called."""
    return line.part.part if line.part else line.one_off.line if line.one_off else line.code


def _sublet_words(basis: Basis, charges: Charges, key: str) -> str:
    line = next((item.one_off for item in charges.work.items if item.one_off and item.key == key), None)
    if line is not None:
        return f"Outside work: {line.line}"
    op = basis.op_named(key)
    name = op.operation.customer_wording or op.operation.operation if op.operation else key
    return f"Outside work: {at_side_words(name, op.side)}"


def at_side_words(name: str, side: str | None) -> str:
    """A name with its side.

    >>> at_side_words("New bushing", "left"), at_side_words("New belt", None)
    ('New bushing, left', 'New belt')
    """
    return f"{name}, {side}" if side else name


def _saving_words(saving: Saving) -> str:
    if saving.key.startswith("DISCOUNT-"):
        return f"{saving.name}, on {saving.charge}"
    return f"Together: less, {saving.name}"


def _fee(fee: FeeAmount) -> BillLine:
    many = fee.quantity != 1
    return BillLine(
        key=f"fee:{fee.key}" if fee.fee else f"charge:{fee.key}",
        text=fee.name,
        amount=fee.amount,
        kind="fees",
        detail=fee.wording if fee.wording != fee.name else "",
        quantity=fee.quantity if many else None,
        unit=fee.unit if many else "",
        each=fee.fee.amount if fee.fee and many else None,
    )
