"""Bundles and the discount as sums (DESIGN.md 5.5 item 4; `pricing/bundles` in numbers). Money in minor units.

A bundle counts when every member is taken on any side. Off labour or parts never more than there is of either.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from quotekit.model.shop_book import Bundle
from quotekit.money import round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.bundles import in_force
from quotekit.pricing.exact.flags import FALSE, TRUE, Flag, add_flag
from quotekit.pricing.exact.goods import uses_of
from quotekit.pricing.exact.labour import minor
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.present import Present, Taken, brought_by
from quotekit.pricing.exact.program import Program
from quotekit.pricing.items import Item


class Together(NamedTuple):
    """A bundle and the flag that says all its members are taken."""

    bundle: Bundle
    flag: Flag


def bundles_together(program: Program, basis: Basis, taken: Sequence[Taken]) -> list[Together]:
    """Bundles that some choice can have."""
    flags: dict[str, list[Flag]] = {}
    for one in taken:
        if one.item.kind in ("remedy", "extra"):
            flags.setdefault(one.item.code, []).append(one.flag)
    found = []
    for bundle in in_force(basis):
        together = program.all_of(program.either(flags.get(member, ())) for member in bundle.members)
        if together != FALSE:
            found.append(Together(bundle, together))
    return found


def hours_taken_off(bundles: Sequence[Together]) -> Line:
    """Hours that bundles take off the default rate."""
    off = Line()
    for one in bundles:
        if one.bundle.saving == "hours off":
            add_flag(off, one.flag, one.bundle.value)
    return off


def labour_savings(program: Program, basis: Basis, bundles: Sequence[Together], labour: Line) -> Line:
    """What bundles and the discount take off labour."""
    off = Line()
    for one in bundles:
        if one.bundle.saving == "labour amount off":
            add_flag(off, one.flag, minor(basis, round_to(one.bundle.value, basis.digits)))
    return _with_discount(program, basis, off, labour)


def parts_savings(
    program: Program, basis: Basis, bundles: Sequence[Together], present: Present, always: Item, parts: Line
) -> Line:
    """What bundles and the discount take off parts."""
    off = Line()
    for one in bundles:
        if one.bundle.saving == "parts amount off":
            add_flag(off, one.flag, minor(basis, round_to(one.bundle.value, basis.digits)))
        elif one.bundle.saving == "percent off parts":
            base = _members_parts(program, basis, one.bundle, present, always)
            off.plus(program.product(program.rounded(base.times(one.bundle.value)), one.flag))
    return _with_discount(program, basis, off, parts)


def _with_discount(program: Program, basis: Basis, off: Line, charge: Line) -> Line:
    taken = program.least_of(off, charge) if off.terms or off.constant else off
    percent = basis.job.discount_percent
    if not percent:
        return taken
    left = Line().plus(charge).plus(taken, -1)
    return Line().plus(taken).plus(program.rounded(left.times(percent)))


def _members_parts(program: Program, basis: Basis, bundle: Bundle, present: Present, always: Item) -> Line:
    """Money of the parts that members bring, whole and before kits, Always work apart."""
    members = [one for one in present.taken if one.item.code in bundle.members and one.item.kind in ("remedy", "extra")]
    apart = brought_by(program, present, Taken(always, TRUE))
    flags: dict[str, list[Flag]] = {}
    for one in members:
        for key, flag in brought_by(program, present, one).items():
            flags.setdefault(key, []).append(flag)
    brought = {key: program.either(those) for key, those in sorted(flags.items())}
    steps = _steps(program, basis, brought)
    steps_apart = _steps(program, basis, apart)
    operations = {key: program.both(flag, -apart.get(key, FALSE)) for key, flag in brought.items()}
    steps = {key: program.both(flag, -steps_apart.get(key, FALSE)) for key, flag in steps.items()}
    items = [(present.active[one.item.key], one.item.parts) for one in members]
    raw, _ = uses_of(basis, operations, steps, items)
    money = Line()
    for code, quantity in sorted(raw.items()):
        if code not in basis.own_parts:
            money.plus(program.rounded(quantity.times(minor(basis, basis.price(code).price))))
    return money


def _steps(program: Program, basis: Basis, operations: dict[str, Flag]) -> dict[str, Flag]:
    flags: dict[str, list[Flag]] = {}
    for key, flag in operations.items():
        for step in basis.op_named(key).steps:
            flags.setdefault(step, []).append(flag)
    return {key: program.either(those) for key, those in sorted(flags.items())}
