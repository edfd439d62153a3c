"""The order of money up to the work, fixed (DESIGN.md 5.5, items 1 to 7).

1 labour and minimum, 2 parts and cores, 3 sublet, 4 savings and discount, 5 supplies, 6 fees and charges, 7 freight.
Units: money. Source: shop policy; the order is fixed so that a saving, a cap and a fee always mean the same.

Worked example: labour 110.50 + parts 30.80 + sublet 25.00 x 1.2 = 30.00, savings 10.00, supplies 5 % of 110.50 = 5.53,
fees 3.00, freight 9.00: work = 110.50 + 30.80 + 30.00 - 10.00 + 5.53 + 3.00 + 9.00 = 178.83.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from functools import cached_property

from quotekit.model.job import OneOff
from quotekit.model.shop_book import Bundle
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bundles import Saving, bundles_on, discounts, hours_off, savings
from quotekit.pricing.fees import FeeAmount, charges_of, fees_of
from quotekit.pricing.freight import freight_of_order, freight_with_extras
from quotekit.pricing.hours import WorkHours, hours_of
from quotekit.pricing.items import Item
from quotekit.pricing.parts import PartAmount, parts_of
from quotekit.pricing.work import Work, work_of
from quotekit.record import record


@record
class Charges:
    """A set of items with its hours and all its charges; `total` is the work in money."""

    work: Work
    hours: WorkHours
    uses: Mapping[str, Decimal]
    """Quantities per final part before kits."""
    labour: Mapping[str, Decimal]
    """Amount per labour rate."""
    minimum: Decimal
    parts: Sequence[PartAmount]
    sublet: Mapping[str, Decimal]
    bundles: Sequence[Bundle]
    savings: Sequence[Saving]
    supplies: Decimal
    fees: Sequence[FeeAmount]
    freight: Mapping[str, Decimal]
    """Per supplier, as charged."""
    total: Decimal

    @cached_property
    def labour_total(self) -> Decimal:
        """All labour lines and the minimum line."""
        return sum(self.labour.values(), self.minimum)

    @cached_property
    def parts_total(self) -> Decimal:
        """All part lines, without cores."""
        return sum((line.amount for line in self.parts), ZERO)

    @property
    def packs(self) -> dict[str, int]:
        """Packs per part."""
        return {line.code: line.packs for line in self.parts}


def price_items(
    basis: Basis, items: Sequence[Item], always: Item, *, alone: bool = False, beside: Charges | None = None
) -> Charges:
    """Price a set of items: `alone` as stand-alone work, `beside` with the freight of the tier it is added to."""
    work = work_of(basis, items, always)
    bundles = [] if alone else bundles_on(basis, work.items)
    hours = hours_of(basis, work, hours_off(bundles))
    uses, parts = parts_of(basis, work)
    codes = frozenset(basis.op_named(key).code for key in work.present)
    counted = Counted(
        work=work,
        bundles=bundles,
        hours=hours,
        uses=uses,
        parts=parts,
        sublet=sublet_of(basis, work),
        fees=fees_of(basis, codes, alone=alone) + charges_of(basis, work),
    )
    return in_money(basis, counted, alone=alone, beside=beside)


@record
class Counted:
    """A set of items counted: what its money is made from."""

    work: Work
    bundles: Sequence[Bundle]
    hours: WorkHours
    uses: Mapping[str, Decimal]
    parts: Sequence[PartAmount]
    sublet: Mapping[str, Decimal]
    fees: Sequence[FeeAmount]


def in_money(basis: Basis, counted: Counted, *, alone: bool = False, beside: Charges | None = None) -> Charges:
    """The charges of what was counted, in their order."""
    work, hours, parts, bundles = counted.work, counted.hours, counted.parts, counted.bundles
    labour = {
        rate: round_to(at.billed * basis.rates[rate].rate_per_hour, basis.digits) for rate, at in hours.by_rate.items()
    }
    minimum = round_to(hours.minimum_added * basis.rates[basis.default_rate].rate_per_hour, basis.digits)
    labour_total = sum(labour.values(), minimum)
    parts_total = sum((line.amount for line in parts), ZERO)
    taken = [] if alone else _all_savings(basis, work, bundles, labour_total, parts_total)
    supplies = supplies_on(basis, labour_total)
    freight = _freight(basis, parts, beside)
    total = (
        labour_total
        + parts_total
        + sum((line.core for line in parts), ZERO)
        + sum(counted.sublet.values(), ZERO)
        - sum((saving.amount for saving in taken), ZERO)
        + supplies
        + sum((fee.amount for fee in counted.fees), ZERO)
        + sum(freight.values(), ZERO)
    )
    return Charges(
        work=work,
        hours=hours,
        uses=counted.uses,
        labour=labour,
        minimum=minimum,
        parts=parts,
        sublet=counted.sublet,
        bundles=bundles,
        savings=taken,
        supplies=supplies,
        fees=counted.fees,
        freight=freight,
        total=total,
    )


def sublet_of(basis: Basis, work: Work) -> dict[str, Decimal]:
    """Sublet lines by operation or one-off key: round(cost x (1 + sublet markup))."""
    found = sublet_of_operations(basis, work.present)
    for item in work.items:
        line = item.one_off
        if line is not None and line.kind == "sublet":
            found[line.code] = one_off_sublet_price(basis, line)
    return found


def sublet_of_operations(basis: Basis, keys: Iterable[str]) -> dict[str, Decimal]:
    """Sublet lines of some operations, by key in text order."""
    found: dict[str, Decimal] = {}
    for key in sorted(keys):
        operation = basis.op_named(key).operation
        if operation is not None and operation.sublet_cost is not None:
            found[key] = sublet_price(basis, operation.sublet_cost)
    return found


def one_off_sublet_price(basis: Basis, line: OneOff) -> Decimal:
    """A one-off sublet at its price, or at its cost with the sublet markup."""
    if line.unit_price is not None:
        return round_to(line.unit_price * line.quantity, basis.digits)
    return sublet_price(basis, (line.unit_cost or ZERO) * line.quantity)


def sublet_price(basis: Basis, cost: Decimal) -> Decimal:
    """Another shop's work with the sublet markup, rounded."""
    return round_to(cost * (1 + basis.book.settings.sublet_markup), basis.digits)


def supplies_on(basis: Basis, labour: Decimal) -> Decimal:
    """Percent of the labour lines before savings, at most the cap; nothing when shown as off."""
    settings = basis.book.settings
    if settings.supplies_shown_as == "off":
        return round_to(ZERO, basis.digits)
    amount = round_to(settings.supplies_percent_of_labour * labour, basis.digits)
    return amount if settings.supplies_cap is None else min(amount, round_to(settings.supplies_cap, basis.digits))


def _all_savings(basis: Basis, work: Work, bundles: Sequence[Bundle], labour: Decimal, parts: Decimal) -> list[Saving]:
    taken = savings(basis, work, bundles, labour, parts)
    labour -= sum((saving.amount for saving in taken if saving.charge == "labour"), ZERO)
    parts -= sum((saving.amount for saving in taken if saving.charge == "parts"), ZERO)
    return taken + discounts(basis, labour, parts)


def _freight(basis: Basis, parts: Sequence[PartAmount], beside: Charges | None) -> dict[str, Decimal]:
    if basis.book.settings.freight_to_customer == "none":
        return {}
    if beside is None:
        return freight_of_order(basis, parts)
    return freight_with_extras(basis, parts, dict(beside.freight), beside.packs)
