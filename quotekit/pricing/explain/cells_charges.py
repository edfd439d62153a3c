"""The charges of a set of items, each worked out when it is asked for, by the engine's own rules.

`price_items` works all of them out in the order of money. Here every charge is a value kept with what was read for it,
so that a figure takes along the cells of the charges it is made of and of no others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any, cast

from quotekit.model.job import OneOff
from quotekit.model.shop_book import Bundle, Part
from quotekit.model.watched_reads import KeptValue, keep, kept
from quotekit.money import round_to, whole_units
from quotekit.pricing.basis import ZERO
from quotekit.pricing.bundles import Saving, bundles_on, discounts, hours_off, savings
from quotekit.pricing.charges import Charges, sublet_of, supplies_on
from quotekit.pricing.explain.cells_basis import LateBasis
from quotekit.pricing.fees import FeeAmount, charges_of, fees_of
from quotekit.pricing.freight import freight_of_order, freight_with_extras
from quotekit.pricing.hours import WorkHours, hours_of
from quotekit.pricing.items import Item
from quotekit.pricing.parts import PartAmount, core_charge, one_off_amount, uses_of_work
from quotekit.pricing.shares import Users, users_of
from quotekit.pricing.work import Work, work_of

WORK, HOURS, USED = "which work is present", "hours", "parts used"


class LatePart:
    """A part line of the shop book, each figure of it worked out when it is asked for."""

    one_off: OneOff | None = None

    def __init__(self, basis: LateBasis, code: str, quantity: Decimal, from_kits: Decimal) -> None:
        self._basis, self.seen = basis, basis.seen
        self.code, self.quantity, self.from_kits = code, quantity, from_kits

    @property
    def part(self) -> Part:
        """The part's row."""
        return self._basis.part(self.code)

    @property
    def own(self) -> bool:
        """True for the customer's own."""
        return self.code in self._basis.own_parts

    @property
    def packs(self) -> int:
        """Whole packs that are bought."""
        return 0 if self.own else whole_units(self.quantity, self.part.pack_quantity)

    @kept("prices of parts")
    def unit_price(self) -> Decimal:
        """Rounded selling price of one."""
        return self._zero if self.own else self._basis.price(self.code).price

    @kept("prices of parts")
    def amount(self) -> Decimal:
        """What they come to."""
        return round_to(self.unit_price * self.quantity, self._basis.digits)

    @property
    def core(self) -> Decimal:
        """Core charge where the customer keeps the old part."""
        return self._zero if self.own else core_charge(self._basis, self.part, self.quantity)

    @property
    def supplier(self) -> str:
        """Who it is bought from."""
        return "" if self.own else self.part.supplier

    @property
    def pack_cost(self) -> Decimal:
        """What a pack costs."""
        return self.part.pack_cost

    @property
    def taxed_as(self) -> str:
        """The charge word that taxes it."""
        return self.part.taxed_as or "parts"

    @property
    def _zero(self) -> Decimal:
        return round_to(ZERO, self._basis.digits)


class LateLine:
    """The part of a one-off line, worked out when it is asked for."""

    def __init__(self, basis: LateBasis, line: OneOff) -> None:
        self._basis, self._line, self.code = basis, line, line.code
        self._known: KeptValue[PartAmount] | None = None

    def __getattr__(self, name: str) -> Any:
        if self._known is None:
            self._known = keep(self._basis.seen, USED, lambda: one_off_amount(self._basis, self._line))
        return getattr(self._known.use(self._basis.seen), name)


class LateCharges:
    """Stands where the rules take `Charges`."""

    def __init__(
        self,
        basis: LateBasis,
        items: Callable[[], Sequence[Item]],
        always: Callable[[], Item],
        *,
        alone: bool = False,
        beside: LateCharges | None = None,
    ) -> None:
        self.basis, self.seen = basis, basis.seen
        self._items, self._always, self._alone, self._beside = items, always, alone, beside

    @property
    def whole(self) -> Charges:
        """As the engine's rules take it."""
        return cast(Charges, self)

    @kept(WORK)
    def work(self) -> Work:
        """Operations and access present."""
        return work_of(self.basis, self._items(), self._always())

    @kept(WORK)
    def users(self) -> Users:
        """Which items need what."""
        return users_of(self.basis, self.work)

    @kept("savings")
    def bundles(self) -> list[Bundle]:
        """Bundles in force whose members are there."""
        return [] if self._alone else bundles_on(self.basis, self.work.items)

    @kept(HOURS)
    def hours(self) -> WorkHours:
        """Hours per labour rate."""
        return hours_of(self.basis, self.work, hours_off(self.bundles))

    @kept("labour")
    def labour(self) -> dict[str, Decimal]:
        """Amount per labour rate."""
        rates, digits = self.basis.rates, self.basis.digits
        return {
            rate: round_to(at.billed * rates[rate].rate_per_hour, digits) for rate, at in self.hours.by_rate.items()
        }

    @kept("labour")
    def minimum(self) -> Decimal:
        """What is missing to the minimum."""
        rate = self.basis.rates[self.basis.default_rate].rate_per_hour
        return round_to(self.hours.minimum_added * rate, self.basis.digits)

    @property
    def labour_total(self) -> Decimal:
        """All labour lines and the minimum line."""
        return sum(self.labour.values(), self.minimum)

    @kept(USED)
    def quantities(self) -> Mapping[str, tuple[Decimal, Decimal]]:
        """Units charged and units taken from kits, by final part."""
        active = [item for item in self.work.items if item.parts and not self.work.is_done_by_larger(item)]
        raw = uses_of_work(self.basis, self.work.present, self.work.steps, active)
        taken: dict[str, Decimal] = {}
        for code, quantity in raw.items():
            for content in self.basis.part(code).contains:
                final = self.basis.final_part(content.code).code
                taken[final] = taken.get(final, ZERO) + quantity * content.quantity
        kits = {code: min(quantity, taken.get(code, ZERO)) for code, quantity in raw.items()}
        return {code: (quantity - kits[code], kits[code]) for code, quantity in raw.items() if quantity > kits[code]}

    @kept(USED)
    def parts(self) -> list[PartAmount]:
        """Part lines in text order of their codes."""
        lines: list[Any] = [LatePart(self.basis, code, *amounts) for code, amounts in self.quantities.items()]
        bought = [item.one_off for item in self.work.items if item.one_off and item.one_off.kind == "part"]
        lines += [LateLine(self.basis, line) for line in bought]
        return sorted(lines, key=lambda line: str(line.code))

    @property
    def parts_total(self) -> Decimal:
        """All part lines, without cores."""
        return sum((line.amount for line in self.parts), ZERO)

    @property
    def packs(self) -> dict[str, int]:
        """Packs per part."""
        return {line.code: line.packs for line in self.parts}

    @kept("sublet")
    def sublet(self) -> dict[str, Decimal]:
        """Work sent out."""
        return sublet_of(self.basis, self.work)

    @kept("savings")
    def savings(self) -> list[Saving]:
        """Bundles and discount."""
        if self._alone:
            return []
        discounted = bool(self.basis.job.discount_percent)
        kinds = {bundle.saving for bundle in self.bundles} - {"hours off"}
        of_labour = discounted or "labour amount off" in kinds
        labour = self.labour_total if of_labour else ZERO
        parts = self.parts_total if discounted or kinds - {"labour amount off"} else ZERO
        taken = savings(self.basis, self.work, self.bundles, labour, parts)
        labour -= sum((saving.amount for saving in taken if saving.charge == "labour"), ZERO)
        parts -= sum((saving.amount for saving in taken if saving.charge == "parts"), ZERO)
        return taken + discounts(self.basis, labour, parts)

    @kept("supplies")
    def supplies(self) -> Decimal:
        """Shop supplies on labour."""
        charged = self.basis.book.settings.supplies_shown_as != "off"
        return supplies_on(self.basis, self.labour_total if charged else ZERO)

    @kept("fees")
    def fees(self) -> list[FeeAmount]:
        """Fees and one-off charges."""
        codes = frozenset(self.basis.op_named(key).code for key in self.work.present)
        return fees_of(self.basis, codes, alone=self._alone) + charges_of(self.basis, self.work)

    @kept("freight")
    def freight(self) -> dict[str, Decimal]:
        """Freight per supplier, as charged."""
        if self.basis.book.settings.freight_to_customer == "none":
            return {}
        if self._beside is None:
            return freight_of_order(self.basis, self.parts)
        return freight_with_extras(self.basis, self.parts, dict(self._beside.freight), self._beside.packs)

    @kept("work in money")
    def total(self) -> Decimal:
        """The work in money."""
        parts = self.parts
        return (
            self.labour_total
            + sum((line.amount + line.core for line in parts), ZERO)
            + sum(self.sublet.values(), ZERO)
            - sum((saving.amount for saving in self.savings), ZERO)
            + self.supplies
            + sum((fee.amount for fee in self.fees), ZERO)
            + sum(self.freight.values(), ZERO)
        )


class Without:
    """Charges with some of them left out of account, for a rule that works out more than is asked of it."""

    def __init__(self, charges: LateCharges, **left_out: Any) -> None:
        self._charges = charges
        self.__dict__.update(left_out)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._charges, name)


def without(charges: LateCharges, **left_out: Any) -> Charges:
    """The same charges but for those given here."""
    return cast(Charges, Without(charges, **left_out))
