"""The whole work in money of a choice as one program (DESIGN.md 5.5 items 1 to 7; `pricing/charges` in numbers)."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.money import round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.charges import one_off_sublet_price, sublet_price
from quotekit.pricing.exact.carriage import freight_money
from quotekit.pricing.exact.flags import Flag, add_flag
from quotekit.pricing.exact.goods import goods_of
from quotekit.pricing.exact.labour import labour_of, minor
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.present import Present, Taken, present_work
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.savings import bundles_together, hours_taken_off, labour_savings, parts_savings
from quotekit.pricing.fees import charge_price, fee_amount
from quotekit.pricing.items import Item
from quotekit.record import record


@record
class Priced:
    """A choice's work in minor units and its number of operations, as sums."""

    work: Line
    operations: Line
    present: Present


def price_choice(program: Program, basis: Basis, taken: Sequence[Taken], always: Item) -> Priced:
    """State the price of any choice among items; given items have the flag that is always true."""
    present = present_work(program, basis, taken, always)
    bundles = bundles_together(program, basis, taken)
    labour = labour_of(program, basis, present, hours_taken_off(bundles))
    goods = goods_of(program, basis, present)
    work = Line().plus(labour).plus(goods.amount).plus(goods.cores)
    work.plus(_sublets(basis, present))
    work.plus(labour_savings(program, basis, bundles, labour), -1)
    work.plus(parts_savings(program, basis, bundles, present, always, goods.amount), -1)
    work.plus(_supplies(program, basis, labour))
    work.plus(_fees(program, basis, present))
    work.plus(freight_money(program, basis, present, goods))
    operations = Line()
    for flag in present.operations.values():
        add_flag(operations, flag)
    return Priced(work=work, operations=operations, present=present)


def _sublets(basis: Basis, present: Present) -> Line:
    money = Line()
    for key, flag in present.operations.items():
        operation = basis.op_named(key).operation
        if operation is not None and operation.sublet_cost is not None:
            add_flag(money, flag, minor(basis, sublet_price(basis, operation.sublet_cost)))
    for one in present.taken:
        line = one.item.one_off
        if line is not None and line.kind == "sublet":
            add_flag(money, one.flag, minor(basis, one_off_sublet_price(basis, line)))
    return money


def _supplies(program: Program, basis: Basis, labour: Line) -> Line:
    """Percent of labour before savings, at most the cap."""
    settings = basis.book.settings
    if settings.supplies_shown_as == "off" or not settings.supplies_percent_of_labour:
        return Line()
    amount = program.rounded(labour.times(settings.supplies_percent_of_labour))
    if settings.supplies_cap is None:
        return amount
    return program.least_of(amount, minor(basis, round_to(settings.supplies_cap, basis.digits)))


def _fees(program: Program, basis: Basis, present: Present) -> Line:
    """Fees once if any of their operations is present, or by the job's quantity, and one-off charges."""
    money = Line()
    given = {entry.code: entry.quantity for entry in basis.job.fees}
    flags: dict[str, list[Flag]] = {}
    for key, flag in present.operations.items():
        flags.setdefault(basis.op_named(key).code, []).append(flag)
    for fee in basis.book.fees.values():
        quantity = given.get(fee.code)
        if quantity is not None or fee.always:
            amount = fee_amount(fee, Decimal(1) if quantity is None else quantity, basis.digits).amount
            money.plus(minor(basis, amount))
        else:
            triggers = [flag for code in fee.applies_to for flag in flags.get(code, ())]
            add_flag(money, program.either(triggers), minor(basis, round_to(fee.amount, basis.digits)))
    for one in present.taken:
        line = one.item.one_off
        if line is not None and line.kind == "charge":
            add_flag(money, one.flag, minor(basis, charge_price(line, basis.digits)))
    return money
