"""A second way to make a bill, in fractions and from the rules as they are written: to be held against the first.

Prices of sets of work come from the second implementation of the quote (`tests/oracle`); what makes a bill of them is
written here again: what was not done, parts used, held to agreed, comeback, old parts, earlier bills, taxes, dues.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from typing import Any

from quotekit.model.agreed import Agreed, AgreedItem, ConsentRule
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook, Tax
from tests.oracle.exact import fraction, half_up, share_out
from tests.oracle.labour import labour_of
from tests.oracle.parts import PartLine, final_code, one_off_line, own_parts, part_line, part_lines
from tests.oracle.price import (
    ZERO,
    Priced,
    bundles_on,
    fees_of,
    freight_beside,
    freight_of,
    savings_of,
    sublet_of,
    supplies_of,
)
from tests.oracle.tax import inspection_fee, inspection_of, rate_of, rows_in_force, upgrade_labour
from tests.oracle.tiers import a_world
from tests.oracle.work import (
    ALWAYS,
    Item,
    Key,
    Work,
    World,
    _placed,
    _steps,
    named_operations,
    work_of,
    written,
)

Charges = dict[str, tuple[str, Fraction]]
"""Charge word and amount by key; fees as `fee:CODE`."""


@dataclass
class Happened:
    """What came after the yes."""

    not_done: frozenset[str] = frozenset()
    used: Mapping[str, Fraction] = field(default_factory=dict)
    cores: Mapping[str, Fraction] = field(default_factory=dict)
    charged: Fraction | None = None
    """The part of the price a comeback pays."""
    paid: Fraction = ZERO
    rule: ConsentRule = field(default_factory=ConsentRule)
    """By which parts beyond what was agreed may be charged."""


@dataclass
class SecondBill:
    """A bill, and what the next one needs to know of it."""

    subtotal: Fraction
    taxes: dict[str, tuple[Fraction, Fraction]]
    total: Fraction
    due: Fraction
    refund: Fraction
    charges: Charges
    upgrade: Fraction
    credit: Fraction = ZERO
    """Credit of the inspection given so far, negative, before a comeback takes its part off."""
    day: date | None = None


class SecondBiller:
    """One agreed choice of one job."""

    def __init__(self, book: ShopBook, job: Job, agreed: Agreed) -> None:
        self.world = a_world(book, job)
        self.agreed = agreed
        self.items = {one.key: self._item(one) for one in agreed.items}
        self.added = {one.key for one in agreed.items if one.added}
        self.given = ZERO
        """Credit of the inspection that earlier bills gave, negative."""

    def _item(self, one: AgreedItem) -> Item:
        book, job = self.world.book, self.world.job
        rows: dict[str, Mapping[str, Any]] = {
            "remedy": book.remedies,
            "extra": book.extras,
            "operation": book.operations,
            "one-off": {line.code: line for line in job.one_off},
        }
        return Item(one.code, one.side, one.kind, rows[one.kind][one.code])

    def bill(
        self,
        happened: Happened,
        before: list[SecondBill],
        day: date | None = None,
        taxes: tuple[Tax, ...] | None = None,
    ) -> SecondBill:
        """The next bill after these."""
        self.given = before[-1].credit if before else ZERO
        more = self.leaves_room(happened)
        whole, upgrade = self.whole(happened, more=more)
        charges, kept_back = self.since(whole, before)
        credit = self.charges(self.priced(happened, more=more)[0]).get("credit", ("", ZERO))[1] + kept_back
        upgrade -= sum((bill.upgrade for bill in before), ZERO)
        day = day or self.world.job.quote_date
        found = self.taxes_after(charges, upgrade, day, taxes, before)
        subtotal = sum((amount for _, amount in charges.values()), ZERO)
        total = subtotal + sum((amount for _, amount in found.values()), ZERO)
        left = total + sum((bill.total for bill in before), ZERO) - happened.paid
        return SecondBill(subtotal, found, total, max(left, ZERO), max(-left, ZERO), charges, upgrade, credit, day)

    def leaves_room(self, happened: Happened) -> bool:
        """Whether all parts used, charged, keep the job within the last yes and its threshold."""
        charges, upgrade = self.whole(replace(happened, cores={}), more=True)
        agreed, rule = self.agreed, happened.rule
        amount, before = _sum(charges), fraction(agreed.subtotal)
        if rule.compares == "with tax":
            found = self.taxes(charges, upgrade, self.world.job.quote_date, None)
            amount, before = amount + sum((tax for _, tax in found.values()), ZERO), fraction(agreed.total)
        both = sorted([fraction(rule.over_percent) * before, fraction(rule.over_amount)])
        return amount - before <= (both[1] if rule.over == "the greater" else both[0])

    def whole(self, happened: Happened, *, more: bool) -> tuple[Charges, Fraction]:
        """Everything the job charges over all its bills, and the upgrade labour in it."""
        world = self.world
        priced, own = self.priced(happened, more=False)
        held = self.held(priced, own)
        if more:
            priced, own = self.priced(happened, more=True)
        charges = self.charges(priced)
        upgrade = min(upgrade_labour(world, own), priced.labour_amount)
        before = _labour(charges)
        charges = self.less(charges, held)
        for line in priced.parts:
            back = min(happened.cores.get(line.part, ZERO), line.quantity)
            if line.core and back:
                each = fraction(world.parts[line.part].core_charge)
                charges[f"back:{line.part}"] = ("cores", -half_up(each * back, world.digits))
        if happened.charged is not None:
            gross = self.charges(priced)
            for key, (word, amount) in list(charges.items()):
                whole = gross.get(key, (word, amount))[1]
                parts = (whole, amount - whole)  # a line, and what is held back of it, each rounded
                charges[key] = (word, sum((half_up(part * happened.charged, world.digits) for part in parts), ZERO))
        left = _labour(charges)
        if before and left != before:
            upgrade = half_up(upgrade * left / before, world.digits)
        return charges, upgrade

    def held(self, priced: Priced, own: Priced) -> Fraction:
        """By how much less work would cost more than was agreed, before tax or with tax."""
        charges = self.charges(priced)
        off = max(ZERO, _sum(charges) - fraction(self.agreed.subtotal))
        for _ in range(100):
            left = self.less(charges, off)
            upgrade = min(upgrade_labour(self.world, own), priced.labour_amount)
            if _labour(left) != _labour(charges):
                upgrade = half_up(upgrade * _labour(left) / _labour(charges), self.world.digits)
            taxes = self.taxes(left, upgrade, self.world.job.quote_date, None)
            over = _sum(left) + sum((tax for _, tax in taxes.values()), ZERO) - fraction(self.agreed.total)
            if over <= 0:
                break
            off += over
        return off

    def less(self, charges: Charges, off: Fraction) -> Charges:
        """The charges less an amount, in proportion to those above zero."""
        above = {key: amount for key, (_, amount) in charges.items() if amount > 0}
        pieces = dict(zip(above, share_out(off, list(above.values()), self.world.digits), strict=True))
        return {key: (word, amount - pieces.get(key, ZERO)) for key, (word, amount) in charges.items()}

    def priced(self, happened: Happened, *, more: bool) -> tuple[Priced, Priced]:
        """The work done with the parts used; and the option's own items of it, without what was added."""
        kept = {key: item for key, item in self.items.items() if key not in happened.not_done}
        own_items = [item for key, item in kept.items() if key not in self.added]
        may, may_own = (
            {key for key in work_of(self.world, items).operations if written(key) not in happened.not_done}
            for items in (
                list(self.items.values()),
                [item for key, item in self.items.items() if key not in self.added],
            )
        )
        own = self._price(own_items, may_own, {}, None, more=False)
        beside = None if len(own_items) == len(kept) else own
        return self._price(list(kept.values()), may, happened.used, beside, more=more), own

    def _price(
        self, items: list[Item], may: set[Key], used: Mapping[str, Fraction], beside: Priced | None, *, more: bool
    ) -> Priced:
        """The order of money for these operations alone."""
        world = self.world
        items = sorted(items, key=lambda item: item.key)
        work = self._only(items, work_of(world, items), may)
        on = bundles_on(world, items)
        off = sum((fraction(bundle.value) for bundle in on if bundle.saving == "hours off"), ZERO)
        labour = labour_of(world, items, work, off)
        lines = self._used(part_lines(world, items, work), used, more=more)
        own = freight_of(world, lines)
        charged = world.book.settings.freight_to_customer == "this job alone"
        freight = (own if beside is None else freight_beside(world, lines, beside)) if charged else {}
        priced = Priced(items, work, labour, lines, sublet_of(world, items, work), [], ZERO, {}, freight, own)
        priced.savings = savings_of(world, items, priced, on)
        priced.supplies = supplies_of(world, priced.labour_amount)
        priced.fees = fees_of(world, items, work, alone=False)
        return priced

    def _only(self, items: list[Item], work: Work, may: set[Key]) -> Work:
        """Operations that are not on the work order, or that nothing done asks for, were not done."""
        world = self.world
        if work.operations <= may:
            return work
        there = work.operations & may
        asked = {item.key: (named_operations(world, item), item.side) for item in items}
        asked[ALWAYS] = ({_placed(world, code, None) for code in world.always}, None)
        brings = {name: self._reached(first & there, side, there) for name, (first, side) in asked.items()}
        opens = {
            name: _steps(world, [(code, key[1]) for key in keys for code in world.book.operations[key[0]].access])
            for name, keys in brings.items()
        }
        for item in items:
            if item.kind == "one-off":
                opens[item.key] = work.opens[item.key]
        active = sorted(item.key for item in items if item.kind == "one-off" or brings[item.key] or not item.operations)
        return Work(
            operations=set().union(*brings.values()),
            dropped=work.dropped,
            steps=set().union(*opens.values()),
            brings=brings,
            opens=opens,
            active=active,
            payers=active or sorted(item.key for item in items),
        )

    def _reached(self, found: set[Key], side: str | None, there: set[Key]) -> set[Key]:
        waiting = list(found)
        while waiting:
            for code in self.world.book.operations[waiting.pop()[0]].requires:
                key = _placed(self.world, code, side)
                if key in there and key not in found:
                    found.add(key)
                    waiting.append(key)
        return found

    def _used(self, lines: list[PartLine], used: Mapping[str, Fraction], *, more: bool) -> list[PartLine]:
        """Part lines at most as agreed, or as used."""
        world, found = self.world, []
        counts: dict[str, Fraction] = {}
        listed = {line.part for line in lines}
        for code, count in used.items():
            if code in listed or code in world.parts:
                final = code if code in listed else final_code(world, code)
                counts[final] = counts.get(final, ZERO) + count
        for line in lines:
            count = counts.pop(line.part, line.quantity)
            found.append((line.part, count if more else min(count, line.quantity)))
        found += [(code, count) for code, count in counts.items() if more or code in own_parts(world)]
        return sorted((self._line(code, count) for code, count in found if count), key=lambda line: line.part)

    def _line(self, code: str, count: Fraction) -> PartLine:
        item = self.items.get(code)
        if item is not None and item.kind == "one-off":
            return one_off_line(self.world, replace(item, record=replace(item.record, quantity=count)))
        return part_line(self.world, code, count)

    def charges(self, priced: Priced) -> Charges:
        """Each charge by its key; the inspection with its credit."""
        found: Charges = {f"labour:{rate}": ("labour", amount) for rate, amount in priced.labour.amounts.items()}
        for line in priced.parts:
            found[f"part:{line.part}"] = (line.taxed_as, line.amount)
            found[f"core:{line.part}"] = ("cores", line.core)
        for key, amount in priced.sublet.items():
            found[f"sublet:{key}"] = ("sublet", amount)
        for saving in priced.savings:
            if saving.amount:
                found[f"saving:{saving.key}"] = (saving.kind, -saving.amount)
        found["supplies"] = ("supplies", priced.supplies)
        for code, amount in priced.fees.items():
            found[f"fee:{code}"] = (f"fee:{code}", amount)
        for supplier, amount in priced.freight.items():
            found[f"freight:{supplier}"] = ("freight", amount)
        fee, credit = inspection_of(self.world, priced.work)
        found["inspection"], found["credit"] = ("inspection", fee), ("inspection", min(credit, self.given))
        return {key: charge for key, charge in found.items() if charge[1]}

    def since(self, whole: Charges, before: list[SecondBill]) -> tuple[Charges, Fraction]:
        """What is new, and the part of the credit kept back: no credit makes a later bill negative."""
        billed: Charges = {}
        for bill in before:
            for key, (word, amount) in bill.charges.items():
                billed[key] = (word, billed.get(key, (word, ZERO))[1] + amount)
        new: Charges = {}
        for key in dict.fromkeys([*whole, *billed]):
            word = (whole.get(key) or billed[key])[0]
            amount = whole.get(key, ("", ZERO))[1] - billed.get(key, ("", ZERO))[1]
            if amount and not (key == "reassembly" and key not in whole):
                new[key] = (word, amount)
        kept_back = ZERO
        if "inspection" in billed and "credit" in new:
            rest = sum((amount for key, (_, amount) in new.items() if key != "credit"), ZERO)
            kept_back = max(-max(rest, ZERO) - new["credit"][1], ZERO)
            new["credit"] = ("inspection", new["credit"][1] + kept_back)
        return {key: charge for key, charge in new.items() if charge[1]}, kept_back

    def taxes_after(
        self,
        charges: Charges,
        upgrade: Fraction,
        day: date,
        taxes: tuple[Tax, ...] | None,
        before: list[SecondBill],
    ) -> dict[str, tuple[Fraction, Fraction]]:
        """What is new by the rows of the day, what is given back by those of the bill before, as far as charged."""
        if not before:
            return self.taxes(charges, upgrade, day, taxes)
        then = before[-1].day or self.world.job.quote_date
        charged: dict[str, Fraction] = {}
        for bill in before:
            for tax, (_, amount) in bill.taxes.items():
                charged[tax] = charged.get(tax, ZERO) + amount
        if self.rows(day, taxes) == self.rows(then, None):
            rest = self.rest_of_taxes(charges, upgrade, day, taxes, before, charged)
            if rest is not None:
                return rest
            parts = [{}, self.taxes(charges, upgrade, day, taxes)]
        else:
            new = {key: charge for key, charge in charges.items() if charge[1] > 0}
            back = {key: charge for key, charge in charges.items() if charge[1] < 0}
            parts = [
                self.taxes(new, max(upgrade, ZERO), day, taxes),
                self.taxes(back, min(upgrade, ZERO), then, None),
            ]
        found = dict(parts[0])
        for tax, (base, amount) in parts[1].items():
            known = found.get(tax, (ZERO, ZERO))
            found[tax] = (known[0] + base, known[1] + max(amount, -charged.get(tax, ZERO)))
        return {tax: sums for tax, sums in found.items() if sums[1] or sums[0] > 0}

    def rest_of_taxes(
        self,
        charges: Charges,
        upgrade: Fraction,
        day: date,
        taxes: tuple[Tax, ...] | None,
        before: list[SecondBill],
        charged: dict[str, Fraction],
    ) -> dict[str, tuple[Fraction, Fraction]] | None:
        """The tax of all bills as of one, less what was charged; None where what was charged is not the tax so far."""
        together: Charges = {}
        for each in [*(bill.charges for bill in before), charges]:
            so_far = dict(together)
            for key, (word, amount) in each.items():
                together[key] = (together.get(key, (word, ZERO))[0], together.get(key, (word, ZERO))[1] + amount)
        upgraded = sum((bill.upgrade for bill in before), ZERO)
        known = {tax: amount for tax, (_, amount) in self.taxes(so_far, upgraded, day, taxes).items() if amount}
        if known != {tax: amount for tax, amount in charged.items() if amount}:
            return None
        found = self.taxes(together, upgraded + upgrade, day, taxes)
        bases: dict[str, Fraction] = {}
        for bill in before:
            for tax, (base, _) in bill.taxes.items():
                bases[tax] = bases.get(tax, ZERO) + base
        result = {}
        for tax in dict.fromkeys([*found, *charged]):
            base, amount = found.get(tax, (ZERO, ZERO))
            result[tax] = (base - bases.get(tax, ZERO), amount - charged.get(tax, ZERO))
        return {tax: sums for tax, sums in result.items() if sums[1] or sums[0] > 0}

    def rows(self, day: date, taxes: tuple[Tax, ...] | None) -> dict[str, list[Tax]]:
        """Tax rows in force on a day."""
        world = a_world(self.world.book, replace(self.world.job, quote_date=day))
        if taxes is not None:
            world.book = replace(world.book, taxes=taxes)
        return rows_in_force(world)

    def taxes(
        self, charges: Charges, upgrade: Fraction, day: date, taxes: tuple[Tax, ...] | None
    ) -> dict[str, tuple[Fraction, Fraction]]:
        """Base and amount of each tax in force on the day; one that comes to less than nothing is given back."""
        world = a_world(self.world.book, replace(self.world.job, quote_date=day))
        if taxes is not None:
            world.book = replace(world.book, taxes=taxes)
        found = {}
        for name, rows in rows_in_force(world).items():
            base, amount = self._tax(world, rows, charges, upgrade)
            if base <= 0:
                turned = {key: (word, -amount) for key, (word, amount) in charges.items()}
                base, amount = (-max(value, ZERO) for value in self._tax(world, rows, turned, -upgrade))
            if base:
                found[name] = (base, amount)
        return found

    def _tax(self, world: World, rows: list[Tax], charges: Charges, upgrade: Fraction) -> tuple[Fraction, Fraction]:
        lines = self._split(world, rows, charges, max(upgrade, ZERO))
        rated = [(rate, amount) for word, amount in lines if (rate := rate_of(rows, word))]
        base = sum((amount for _, amount in rated), ZERO)
        if world.book.settings.tax_rounding == "line":
            tax = sum((half_up(rate * amount, world.digits) for rate, amount in rated), ZERO)
        else:
            tax = half_up(sum((rate * amount for rate, amount in rated), ZERO), world.digits)
        return base, max(tax, ZERO)

    def _split(self, world: World, rows: list[Tax], charges: Charges, upgrade: Fraction) -> list[tuple[str, Fraction]]:
        """Labour with the upgrade labour taken out, in proportion, where the tax knows it."""
        plain = list(charges.values())
        ours = [(key, amount) for key, (word, amount) in charges.items() if _is_labour(key, word)]
        whole = sum((amount for _, amount in ours if amount > 0), ZERO)
        if not whole or not any("upgrade labour" in row.charges for row in rows):
            return plain
        upgrade = min(upgrade, whole)
        lines = [charge for key, charge in charges.items() if not _is_labour(key, charge[0])]
        above = [amount for _, amount in ours if amount > 0]
        for amount, mine in zip(above, share_out(upgrade, above, world.digits), strict=True):
            lines += [("labour", amount - mine), ("upgrade labour", mine)]
        for _, amount in ours:
            if amount < 0:
                rest, mine = share_out(amount, [whole - upgrade, upgrade], world.digits)
                lines += [("labour", rest), ("upgrade labour", mine)]
        return [line for line in lines if line[1]]


def no_bill(book: ShopBook, job: Job) -> SecondBill:
    """What a no is billed with, without its tax: for the bills that come after it."""
    world = a_world(book, job)
    fee = inspection_fee(world)
    again = half_up(
        fraction(job.reassembly_hours) * fraction(world.rates[world.default_rate].rate_per_hour), world.digits
    )
    charges = {"inspection": ("inspection", fee), "reassembly": ("labour", again)}
    return SecondBill(fee + again, {}, fee + again, ZERO, ZERO, {k: c for k, c in charges.items() if c[1]}, ZERO)


def _sum(charges: Charges) -> Fraction:
    return sum((amount for _, amount in charges.values()), ZERO)


def _labour(charges: Charges) -> Fraction:
    return sum((amount for key, (_, amount) in charges.items() if key.startswith("labour:")), ZERO)


def _is_labour(key: str, word: str) -> bool:
    return word == "labour" and key.startswith(("labour:", "saving:"))
