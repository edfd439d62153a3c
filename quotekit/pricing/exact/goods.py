"""Parts of a choice as sums: quantities, kits, money, packs (DESIGN.md 5.2 and 5.4; `pricing/parts` in numbers).

What present operations, open steps and active items bring is added up; what kits contain is taken off, never below
zero. Money in minor units; packs are whole numbers, stated only where freight looks at them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from quotekit.pricing.basis import Basis, PartUse
from quotekit.pricing.exact.flags import Flag, add_flag
from quotekit.pricing.exact.labour import minor
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.present import Present
from quotekit.pricing.exact.program import Program
from quotekit.pricing.parts import one_off_amount
from quotekit.record import record


class Quantity(NamedTuple):
    """How much of a part is charged, and flags of which each one brings some of it where no kit takes any off."""

    line: Line
    bring: tuple[Flag, ...]
    """Empty where a kit may take some off: `line` alone says whether there is any."""


@record
class Goods:
    """Parts of a choice: quantities by part, money and cores in minor units."""

    quantities: Mapping[str, Quantity]
    amount: Line
    cores: Line


def goods_of(program: Program, basis: Basis, present: Present) -> Goods:
    """Quantities and money of all parts, one-off parts with them."""
    raw, bring = uses_of(basis, present.operations, present.steps, _active(present))
    quantities = _less_kits(program, basis, raw, bring)
    amount, cores = Line(), Line()
    for code, quantity in quantities.items():
        if code in basis.own_parts:
            continue
        amount.plus(program.rounded(quantity.line.times(minor(basis, basis.price(code).price))))
        part = basis.part(code)
        if basis.job.old_parts == "keep" and part.core_charge is not None:
            cores.plus(program.rounded(quantity.line.times(minor(basis, part.core_charge))))
    for one in present.taken:
        line = one.item.one_off
        if line is not None and line.kind == "part":
            add_flag(amount, one.flag, minor(basis, one_off_amount(basis, line).amount))
    return Goods(quantities=quantities, amount=amount, cores=cores)


def uses_of(
    basis: Basis,
    operations: Mapping[str, Flag],
    steps: Mapping[str, Flag],
    items: Iterable[tuple[Flag, Iterable[PartUse]]],
) -> tuple[dict[str, Line], dict[str, list[Flag]]]:
    """Quantities by part before kits, and the flags that bring some."""
    raw: dict[str, Line] = {}
    bring: dict[str, list[Flag]] = {}

    def add(flag: Flag, uses: Iterable[PartUse]) -> None:
        for code, quantity in uses:
            add_flag(raw.setdefault(code, Line()), flag, quantity)
            bring.setdefault(code, []).append(flag)

    for key, flag in operations.items():
        add(flag, basis.op_named(key).parts)
    for key, flag in steps.items():
        add(flag, basis.step_named(key).parts)
    for flag, uses in items:
        add(flag, uses)
    return raw, bring


def packs_of(program: Program, quantity: Line, pack: Decimal) -> Line:
    """Whole packs that cover a quantity."""
    return Line().add(program.rounded_up(quantity, pack))


def is_bought(program: Program, quantity: Quantity) -> Flag:
    """True when any of a part is charged."""
    if quantity.bring:
        return program.either(quantity.bring)
    scale = quantity.line.denominator()
    return program.at_least(quantity.line, Fraction(1, scale))


def _active(present: Present) -> list[tuple[Flag, Iterable[PartUse]]]:
    return [(present.active[one.item.key], one.item.parts) for one in present.taken if one.item.parts]


def _less_kits(
    program: Program, basis: Basis, raw: Mapping[str, Line], bring: Mapping[str, list[Flag]]
) -> dict[str, Quantity]:
    inside: dict[str, Line] = {}
    for code, line in raw.items():
        for content in basis.part(code).contains:
            held = basis.final_part(content.code).code
            if held in raw:
                inside.setdefault(held, Line()).plus(line, content.quantity)
    found = {}
    for code in sorted(raw):
        if code in inside:
            rest = program.above_zero(Line().plus(raw[code]).plus(inside[code], -1))
            found[code] = Quantity(rest, ())
        else:
            found[code] = Quantity(raw[code], tuple(bring[code]))
    return found
