"""Bundles: a saving when all members are in the tier, on any side (DESIGN.md 5.5 item 4 and 5.9).

Kinds: hours off, labour amount off, parts amount off, percent off the parts its members bring
(whole and before kits, Always work apart). A saving is never more than what is left of the charge it reduces,
in book order. A dated bundle counts from its first to its last day.
Units: hours, money, fractions. Source: shop policy.

Worked example: labour 80.00, a bundle of 50.00 and one of 40.00 off labour: 50.00, then the 30.00 that is left.
Ten percent off parts whose members bring 2 x 7.70 and 4 x 3.85 before kits: round(0.10 x 30.80) = 3.08.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.shop_book import Bundle
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.items import Item
from quotekit.pricing.parts import amount_before_kits, uses_of_work
from quotekit.pricing.work import Work, brought_by


class Saving(NamedTuple):
    """A reduction of labour or parts; `amount` is positive here."""

    key: str
    name: str
    charge: str
    amount: Decimal


def bundles_on(basis: Basis, items: Sequence[Item]) -> list[Bundle]:
    """Bundles in force whose members are all there, in book order."""
    there = {item.code for item in items if item.kind in ("remedy", "extra")}
    return [bundle for bundle in in_force(basis) if there.issuperset(bundle.members)]


def in_force(basis: Basis) -> list[Bundle]:
    """Bundles that count on the quote date, in book order."""
    day = basis.job.quote_date
    return [
        bundle
        for bundle in basis.book.bundles.values()
        if (bundle.from_ is None or bundle.from_ <= day) and (bundle.to is None or day <= bundle.to)
    ]


def hours_off(bundles: Iterable[Bundle]) -> Decimal:
    """Hours that bundles take off."""
    return sum((bundle.value for bundle in bundles if bundle.saving == "hours off"), ZERO)


def savings(basis: Basis, work: Work, bundles: Iterable[Bundle], labour: Decimal, parts: Decimal) -> list[Saving]:
    """Money each bundle takes off, never more than what is left of its charge."""
    left = {"labour": labour, "parts": parts}
    found: list[Saving] = []
    for bundle in bundles:
        if bundle.saving == "hours off":
            continue
        charge = "labour" if bundle.saving == "labour amount off" else "parts"
        amount = min(_wanted(basis, work, bundle), left[charge])
        left[charge] -= amount
        found.append(Saving(bundle.code, bundle.bundle, charge, amount))
    return found


def discounts(basis: Basis, labour: Decimal, parts: Decimal) -> list[Saving]:
    """The job's discount, rounded once on labour and once on parts, of what bundles left."""
    percent = basis.job.discount_percent
    if not percent:
        return []
    name = f"Discount: {basis.job.discount_reason}" if basis.job.discount_reason else "Discount"
    return [
        Saving("DISCOUNT-LABOUR", name, "labour", round_to(percent * labour, basis.digits)),
        Saving("DISCOUNT-PARTS", name, "parts", round_to(percent * parts, basis.digits)),
    ]


def parts_members_bring(basis: Basis, work: Work, members: Iterable[str]) -> dict[str, Decimal]:
    """Quantities of the operations, steps and items that a bundle's members bring, whole and before kits."""
    codes = set(members)
    items = [item for item in work.items if item.code in codes and item.kind in ("remedy", "extra")]
    always = brought_by(work.always, work.present)
    operations = frozenset().union(*(brought_by(item, work.present) for item in items))
    steps = frozenset().union(*(basis.op_named(key).steps for key in operations))
    steps -= frozenset().union(*(basis.op_named(key).steps for key in always))
    operations -= always
    return uses_of_work(basis, operations, steps, [item for item in items if not work.is_done_by_larger(item)])


def _wanted(basis: Basis, work: Work, bundle: Bundle) -> Decimal:
    if bundle.saving == "percent off parts":
        base = amount_before_kits(basis, parts_members_bring(basis, work, bundle.members))
        return round_to(bundle.value * base, basis.digits)
    return round_to(bundle.value, basis.digits)
