"""Lay a tier's charges open: every line of it as records, with shares, costs and totals (DESIGN.md 5.6 and 5.9)."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.model.quote import (
    Amounts,
    Cost,
    Hours,
    LabourLine,
    MoneyLine,
    TierItem,
    WorkLine,
)
from quotekit.money import allocate, round_to, shown_hours
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bundles import Saving
from quotekit.pricing.charges import Charges
from quotekit.pricing.freight import freight_of_order, order_value
from quotekit.pricing.items import Item
from quotekit.pricing.part_lines import supplier_name
from quotekit.pricing.parts import cost_of_part
from quotekit.pricing.shares import Users
from quotekit.pricing.totals import Totals


def tier_items(basis: Basis, charges: Charges) -> tuple[TierItem, ...]:
    """The items of a tier with the words people read."""
    return tuple(_tier_item(basis, item, charges) for item in charges.work.items)


def operation_lines(basis: Basis, charges: Charges, users: Users) -> tuple[WorkLine, ...]:
    """Operations present, in text order; a one-off line's own work is not among them."""
    lines = []
    for key in sorted(charges.work.present):
        op = basis.op_named(key)
        if op.operation is None:
            continue
        hours = charges.hours.of_operation[key]
        lines.append(
            WorkLine(
                key=key,
                code=op.code,
                side=op.side,
                hours=hours,
                labour=op.rate,
                slowed_by_rust=op.slowed,
                further_side=op.second_side_hours is not None and hours != op.net_hours,
                users=() if key in users.always else users.of_operation[key],
                always=key in users.always,
            )
        )
    return tuple(lines)


def access_lines(basis: Basis, charges: Charges, users: Users) -> tuple[WorkLine, ...]:
    """Access steps open, each once, in text order."""
    return tuple(
        WorkLine(
            key=key,
            code=basis.step_named(key).code,
            side=basis.step_named(key).side,
            hours=basis.step_named(key).hours,
            labour=basis.step_named(key).rate,
            users=() if key in users.always else users.of_step[key],
            always=key in users.always,
        )
        for key in sorted(charges.work.steps)
    )


def hours_record(charges: Charges) -> Hours:
    """Hours over all labour rates."""
    rates = charges.hours.by_rate.values()
    return Hours(
        access=sum((at.access for at in rates), ZERO),
        net=sum((at.net for at in rates), ZERO),
        allowance=charges.hours.allowance,
        off=charges.hours.off,
        billed={rate: at.billed for rate, at in charges.hours.by_rate.items()},
        minimum_added=charges.hours.minimum_added,
    )


def labour_lines(basis: Basis, charges: Charges) -> tuple[LabourLine, ...]:
    """One line a labour rate, with what the worked hours cost."""
    lines = []
    for rate, at in charges.hours.by_rate.items():
        row = basis.rates[rate]
        cost = (
            None
            if row.cost_per_hour is None
            else round_to(Fraction(at.worked) * Fraction(row.cost_per_hour), basis.digits)
        )
        lines.append(
            LabourLine(
                rate=rate,
                rate_per_hour=row.rate_per_hour,
                access=at.access,
                net=at.net,
                allowance=shown_hours(at.allowance),
                off=shown_hours(at.off),
                billed=at.billed,
                amount=charges.labour[rate],
                cost=cost,
            )
        )
    return tuple(lines)


def sublet_lines(basis: Basis, charges: Charges) -> tuple[MoneyLine, ...]:
    """Work sent out, with its cost."""
    lines = []
    for key, amount in charges.sublet.items():
        operation = basis.op_named(key).operation
        if operation is not None:
            name, cost = operation.customer_wording or operation.operation, operation.sublet_cost
        else:
            line = next(item.one_off for item in charges.work.items if item.key == key and item.one_off)
            name, cost = line.line, None if line.unit_cost is None else line.unit_cost * line.quantity
        cost = None if cost is None else round_to(cost, basis.digits)
        lines.append(MoneyLine(key=key, name=name, amount=amount, cost=cost))
    return tuple(lines)


def saving_lines(basis: Basis, charges: Charges) -> tuple[MoneyLine, ...]:
    """Bundles in book order, then the discount; amounts negative, zero for hours off."""
    money = {saving.key: saving for saving in charges.savings}
    lines = []
    for bundle in charges.bundles:
        saving = money.get(bundle.code)
        lines.append(
            MoneyLine(
                key=bundle.code, name=bundle.bundle, amount=_negative(saving, basis.digits), wording=bundle.saving
            )
        )
    discounts = [saving for saving in charges.savings if saving.key.startswith("DISCOUNT-")]
    lines += [MoneyLine(key=saving.key, name=saving.name, amount=-saving.amount) for saving in discounts]
    return tuple(lines)


def fee_lines(charges: Charges) -> tuple[MoneyLine, ...]:
    """Fees, then one-off charges."""
    return tuple(
        MoneyLine(
            key=fee.key, name=fee.name, amount=fee.amount, quantity=fee.quantity, unit=fee.unit, wording=fee.wording
        )
        for fee in charges.fees
    )


def freight_lines(basis: Basis, charges: Charges) -> tuple[MoneyLine, ...]:
    """Freight per supplier as charged, with what the packs ordered alone would cost."""
    alone = freight_of_order(basis, charges.parts)
    keys = sorted({*charges.freight, *alone})
    zero = round_to(ZERO, basis.digits)
    return tuple(
        MoneyLine(
            key=key, name=supplier_name(basis, key), amount=charges.freight.get(key, zero), cost=alone.get(key, zero)
        )
        for key in keys
    )


def amounts_record(basis: Basis, charges: Charges, totals: Totals) -> Amounts:
    """The order of money; its sum is the subtotal."""
    zero = round_to(ZERO, basis.digits)
    return Amounts(
        labour=charges.labour_total + zero,
        parts=charges.parts_total + zero,
        cores=sum((line.core for line in charges.parts), zero),
        sublet=sum(charges.sublet.values(), zero),
        savings=zero - sum((saving.amount for saving in charges.savings), zero),
        supplies=charges.supplies,
        fees=sum((fee.amount for fee in charges.fees), zero),
        freight=sum(charges.freight.values(), zero),
        inspection=totals.inspection,
        inspection_credit=totals.credit,
    )


def bundle_amounts(basis: Basis, charges: Charges) -> tuple[tuple[str, Decimal | None], ...]:
    """Each bundle with its amount, negative; an hours-off bundle has none."""
    money = {saving.key: saving for saving in charges.savings}
    return tuple(
        (bundle.code, None if bundle.saving == "hours off" else _negative(money.get(bundle.code), basis.digits))
        for bundle in charges.bundles
    )


def cost_record(basis: Basis, charges: Charges) -> Cost:
    """What the tier costs the shop; unknown labour or one-off costs leave the total unknown."""
    zero = round_to(ZERO, basis.digits)
    labour = [line.cost for line in labour_lines(basis, charges)]
    parts = [cost_of_part(line, basis.digits) for line in charges.parts]
    sublet = [line.cost for line in sublet_lines(basis, charges)]
    cores = sum((line.core for line in charges.parts), zero)
    freight = sum(freight_of_order(basis, charges.parts).values(), zero)
    known = [_sum_known(labour, zero), _sum_known(parts, zero), _sum_known(sublet, zero)]
    total = _sum_known([*known, cores, freight], zero)
    return Cost(labour=known[0], parts_used=known[1], cores=cores, sublet=known[2], freight=freight, total=total)


def cash_for_parts(basis: Basis, charges: Charges) -> Decimal:
    """Whole packs at pack cost."""
    return round_to(order_value(charges.parts), basis.digits)


def opening_amount(basis: Basis, charges: Charges) -> Decimal:
    """The part of labour that opens and closes, by exact hours, largest remainder."""
    amount = round_to(ZERO, basis.digits)
    access = work = Fraction(0)
    for rate, at in charges.hours.by_rate.items():
        rest = Fraction(at.net) + Fraction(at.allowance)
        amount += allocate(charges.labour[rate], [at.access, rest], basis.digits)[0]
        access, work = access + Fraction(at.access), work + rest
    if charges.minimum:
        amount += allocate(charges.minimum, [access, work or Fraction(not access)], basis.digits)[0]
    return amount


def _tier_item(basis: Basis, item: Item, charges: Charges) -> TierItem:
    record = item.remedy or item.extra
    name, wording = _words_of(basis, item)
    return TierItem(
        key=item.key,
        code=item.code,
        side=item.side,
        kind=item.kind,
        name=name,
        wording=wording or name,
        fixes=tuple(sorted(item.fixes)),
        life_years=record.life_years if record else None,
        warranty_days=item.remedy.warranty_days if item.remedy else None,
        leaves=item.remedy.leaves if item.remedy else "",
        remedy_kind=item.remedy.kind if item.remedy else "",
        asked=item.asked,
        done_by_larger_work=charges.work.is_done_by_larger(item),
    )


def _words_of(basis: Basis, item: Item) -> tuple[str, str]:
    """The owner's name of an item, and its customer wording."""
    if item.remedy is not None:
        return item.remedy.remedy, item.remedy.customer_wording
    if item.extra is not None:
        return item.extra.extra, item.extra.customer_wording
    if item.one_off is not None:
        return item.one_off.line, ""
    operation = basis.book.operations[item.code]
    return operation.operation, operation.customer_wording


def _negative(saving: Saving | None, digits: int) -> Decimal:
    return round_to(ZERO, digits) - saving.amount if saving else round_to(ZERO, digits)


def _sum_known(amounts: list[Decimal | None], zero: Decimal) -> Decimal | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known, zero) if len(known) == len(amounts) else None


def stated_lives(remedies: Iterable[Item], fixed: frozenset[str]) -> dict[str, Decimal | None]:
    """Years stated for each fixed finding: the longest of its remedies; None where one is not stated."""
    found: dict[str, Decimal | None] = {}
    for item in remedies:
        for key in sorted(item.fixes & fixed):
            known = found.get(key, item.life)
            found[key] = None if known is None or item.life is None else max(known, item.life)
    return {key: found[key] for key in sorted(found)}
