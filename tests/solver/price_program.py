"""Work in money of a tier, as a program (DESIGN.md 5.4 and 5.5, 1 to 7)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm
from typing import Any

from quotekit.model.shop_book import Bundle
from tests.oracle.exact import fraction, half_up
from tests.oracle.parts import (
    final_code,
    is_shelf,
    one_off_line,
    own_parts,
    parts_of_item,
    parts_of_operation,
    parts_of_step,
    unit_price,
)
from tests.oracle.price import bundles_on
from tests.oracle.work import ALWAYS
from tests.solver.labour_program import LabourProgram, Terms
from tests.solver.program import Literal, Sum
from tests.solver.work_program import WorkProgram

Sources = Iterable[tuple[dict[str, Fraction], Literal]]


@dataclass
class PriceProgram:
    """The order of money over the literals of the work."""

    work: WorkProgram

    def __post_init__(self) -> None:
        self.world, self.program = self.work.world, self.work.program
        self.cent = 10**self.world.digits
        self.own = own_parts(self.world)

    def cents(self, amount: Any) -> int:
        """An amount of whole minor units, which the book's fees, costs and terms are here."""
        exact = fraction(amount) * self.cent
        assert exact.denominator == 1, f"{amount} is not in minor units"
        return int(exact)

    def rounded(self, amount: Fraction) -> int:
        """A constant amount, rounded half up."""
        return self.cents(half_up(amount, self.world.digits))

    @cached_property
    def total(self) -> Any:
        """1 to 7, in minor units."""
        hours_off = [(fraction(one.value), on) for one, on in self._bundles if one.saving == "hours off"]
        labour = LabourProgram(self.work, hours_off).total()
        parts = self.program.kept(sum(self._part_amount(code) for code in self.quantities) + self._one_off_parts())
        saved = self._savings(labour, parts)
        cores = sum(self._core(code) for code in self.quantities)
        lines = [labour, parts, cores, self._sublet(), -saved, self._supplies(labour), self._fees(), self._freight()]
        return self.program.kept(sum(lines))

    # Parts.

    def _sources(self) -> Sources:
        for key in self.work.operations:
            yield parts_of_operation(self.world, key), self.work.present(key)
        for step, literal in self.work.steps.items():
            yield parts_of_step(self.world, step), literal
        for name, item in self.work.items.items():
            brought = parts_of_item(self.world, item)
            if brought:
                yield brought, self.work.active(name)

    @cached_property
    def _raw(self) -> dict[str, Terms]:
        return terms_of(self._sources())

    @cached_property
    def quantities(self) -> dict[str, tuple[Sum, int]]:
        """By part: the quantity after kits in 1 / n of its unit, and n."""
        taken: dict[str, Terms] = {}
        for code, terms in self._raw.items():
            for entry in self.world.parts[code].contains:
                inside = final_code(self.world, entry.code)
                more = [(count * fraction(entry.quantity), literal) for count, literal in terms]
                taken.setdefault(inside, []).extend(more)
        found = {}
        for code, terms in self._raw.items():
            less = taken.get(code, [])
            unit = lcm(*(count.denominator for count, _ in [*terms, *less]))
            left = _summed(terms, unit) - _summed(less, unit)
            found[code] = (self.program.not_below_zero(left) if less else left, unit)
        return found

    def _part_amount(self, code: str) -> Sum:
        if code in self.own:
            return 0
        quantity, unit = self.quantities[code]
        return self.program.half_up(
            quantity, self.cents(unit_price(self.world, self.world.parts[code])) / Fraction(unit)
        )

    def _core(self, code: str) -> Sum:
        charge = fraction(self.world.parts[code].core_charge)
        if self.world.job.old_parts != "keep" or code in self.own or not charge:
            return 0
        quantity, unit = self.quantities[code]
        return self.program.half_up(quantity, charge * self.cent / unit)

    def _one_off_parts(self) -> int:
        return sum(self.cents(one_off_line(self.world, item).amount) for item in self._one_offs("part"))

    def _one_offs(self, kind: str) -> list[Any]:
        return [item for item in self.work.items.values() if item.kind == "one-off" and item.record.kind == kind]

    # Savings.

    @cached_property
    def _bundles(self) -> list[tuple[Bundle, Literal]]:
        """Bundles in force whose members there are, with the literal that all are in the tier on any side."""
        possible = [item for item in self.work.items.values() if item.kind in ("remedy", "extra")]
        found = []
        for bundle in bundles_on(self.world, possible):
            sides = [[item.key for item in possible if item.code == code] for code in bundle.members]
            on = self.program.all_of(self.program.any_of(self.work.taken[key] for key in keys) for keys in sides)
            found.append((bundle, on))
        return found

    def _savings(self, labour: Any, parts: Any) -> Sum:
        """Each saving at most what is left of its charge, then the discount."""
        left = {"labour": labour, "parts": parts}
        taken: list[Sum] = []
        for bundle, on in self._bundles:
            if bundle.saving == "hours off":
                continue
            kind = "labour" if bundle.saving == "labour amount off" else "parts"
            saving = self.program.least([left[kind], self._wanted(bundle, on)])
            left[kind] = self.program.kept(left[kind] - saving)
            taken.append(saving)
        percent = fraction(self.world.job.discount_percent)
        taken += [self.program.half_up(amount, percent) if percent else 0 for amount in left.values()]
        return sum(taken)

    def _wanted(self, bundle: Bundle, on: Literal) -> Sum:
        if bundle.saving != "percent off parts":
            return self.rounded(fraction(bundle.value)) * on
        wanted = self.program.half_up(self._brought(bundle), fraction(bundle.value))
        return self.program.counted_if(on, wanted)

    def _brought(self, bundle: Bundle) -> Any:
        """Parts of every operation, step and item that a member brings, whole and before kits, not of Always work."""
        operations: dict[Any, list[Literal]] = {}
        steps: dict[Any, list[Literal]] = {}
        sources: list[tuple[dict[str, Fraction], Literal]] = []
        for name, item in self.work.items.items():
            if item.code not in bundle.members or item.kind == "one-off":
                continue
            taken = self.work.taken[name]
            for key in self.work.reaches[name].wanted:
                operations.setdefault(key, []).append(self.program.all_of([taken, self.work.brought(name, key)]))
            for step, opened in self.work.opened_for(name).items():
                steps.setdefault(step, []).append(self.program.all_of([taken, opened]))
            sources.append((parts_of_item(self.world, item), self.work.active(name)))
        always_work = {key: self.work.brought(ALWAYS, key) for key in self.work.reaches[ALWAYS].wanted}
        for by_key, always in ((operations, always_work), (steps, self.work.opened_for(ALWAYS))):
            for key in set(by_key) & set(always):
                own = self.program.any_of(by_key[key])
                by_key[key] = [self.program.all_of([own, self.program.no(always[key])])]
        sources += [(parts_of_operation(self.world, key), self.program.any_of(by)) for key, by in operations.items()]
        sources += [(parts_of_step(self.world, step), self.program.any_of(by)) for step, by in steps.items()]
        amounts = []
        for code, terms in terms_of(sources).items():
            if code not in self.own:
                unit = lcm(*(count.denominator for count, _ in terms))
                price = Fraction(self.cents(unit_price(self.world, self.world.parts[code])), unit)
                amounts.append(self.program.half_up(_summed(terms, unit), price))
        return self.program.kept(sum(amounts))

    # Supplies, sublet, fees, freight.

    def _supplies(self, labour: Any) -> Sum:
        settings = self.world.book.settings
        percent = fraction(settings.supplies_percent_of_labour)
        if settings.supplies_shown_as == "off" or not percent:
            return 0
        amount = self.program.half_up(labour, percent)
        return (
            amount if settings.supplies_cap is None else self.program.least([amount, self.cents(settings.supplies_cap)])
        )

    def _sublet(self) -> Sum:
        factor = 1 + fraction(self.world.book.settings.sublet_markup)
        lines: list[Sum] = []
        for key in self.work.operations:
            cost = self.world.book.operations[key[0]].sublet_cost
            if cost is not None:
                lines.append(self.rounded(fraction(cost) * factor) * self.work.present(key))
        for item in self._one_offs("sublet"):
            row = item.record
            each = fraction(row.unit_cost) * factor if row.unit_price is None else fraction(row.unit_price)
            lines.append(self.rounded(each * fraction(row.quantity)))
        return sum(lines)

    def _fees(self) -> Sum:
        asked = {entry.code: fraction(entry.quantity) for entry in self.world.job.fees}
        lines: list[Sum] = []
        for fee in self.world.book.fees.values():
            if fee.code in asked or fee.always:
                lines.append(self.rounded(fraction(fee.amount) * asked.get(fee.code, Fraction(1))))
            else:
                present = [self.work.present(key) for key in self.work.operations if key[0] in fee.applies_to]
                lines.append(self.rounded(fraction(fee.amount)) * self.program.any_of(present))
        for item in self._one_offs("charge"):
            lines.append(self.rounded(fraction(item.record.unit_price) * fraction(item.record.quantity)))
        return sum(lines)

    def _freight(self) -> Sum:
        if self.world.book.settings.freight_to_customer != "this job alone":
            return 0
        ordered: dict[str, list[str]] = {}
        for code in self.quantities:
            supplier = self.world.parts[code].supplier
            if code not in self.own and supplier is not None and not is_shelf(self.world, supplier):
                ordered.setdefault(supplier, []).append(code)
        for item in self._one_offs("part"):
            line = one_off_line(self.world, item)
            if line.ordered and line.supplier is not None:
                ordered.setdefault(line.supplier, [])
        terms = self.world.book.suppliers or {}
        return sum(self._freight_of(terms[code], parts) for code, parts in ordered.items() if code in terms)

    def _freight_of(self, terms: Any, codes: list[str]) -> Sum:
        goods, extra, some = [], [], []
        for code in codes:
            part, (quantity, unit) = self.world.parts[code], self.quantities[code]
            pack = fraction(part.pack_quantity) * unit
            packs = self.program.floor(quantity * pack.denominator, 1, pack.numerator, pack.numerator - 1)
            goods.append(self.cents(part.pack_cost) * packs)
            extra.append(self.cents(part.extra_freight or 0) * packs)
            some.append(self.program.at_least(packs, 1))
        for item in self._one_offs("part"):
            line = one_off_line(self.world, item)
            if line.ordered and line.supplier == terms.code:
                goods.append(self.cents(line.packs * line.pack_cost))
                some.append(self.program.true)
        any_line, value = self.program.any_of(some), self.program.kept(sum(goods))
        amount = self.cents(terms.freight or 0) * any_line
        if terms.free_freight_from:
            free = self.program.at_least(value, self.cents(terms.free_freight_from))
            amount = self.cents(terms.freight or 0) * self.program.all_of([any_line, self.program.no(free)])
        if terms.minimum_order is not None and terms.small_order_fee:
            enough = self.program.at_least(value, self.cents(terms.minimum_order))
            amount += self.cents(terms.small_order_fee) * self.program.all_of([any_line, self.program.no(enough)])
        return amount + sum(extra)


def terms_of(sources: Sources) -> dict[str, Terms]:
    """By part code, the quantities and the literals they hang on."""
    found: dict[str, Terms] = {}
    for parts, literal in sources:
        for code, count in parts.items():
            found.setdefault(code, []).append((count, literal))
    return found


def _summed(terms: Terms, unit: int) -> Sum:
    return sum(int(count * unit) * literal for count, literal in terms)
