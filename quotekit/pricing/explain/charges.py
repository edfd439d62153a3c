"""Work sent out, fees and one-off charges as trees, and the work in money (5.5 items 3, 6 and the sum of 1 to 7)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.model.job import OneOff
from quotekit.pricing.basis import ZERO
from quotekit.pricing.charges import sublet_price
from quotekit.pricing.explain import freight, labour, parts, savings
from quotekit.pricing.explain.told import Told, cell, cells_in, leaf, listed, number, of_row
from quotekit.pricing.fees import FeeAmount


def sublet(told: Told) -> Explanation:
    """`amounts.sublet`: every piece of work sent out."""
    lines = [sublet_line(told, key) for key in told.charges.sublet]
    total = sum(told.charges.sublet.values(), ZERO)
    rule = "Every piece of work sent out (rules 5.5 item 3)." if lines else "No work is sent out (rules 5.5 item 3)."
    name = told.name("amounts.sublet")
    return told.once("amounts.sublet", lambda: told.money.sum_of(name, total, lines, rule))


def sublet_line(told: Told, key: str) -> Explanation:
    """round(cost x (1 + sublet markup)), or the price given on the job."""
    return told.once(f"sublet {key}", lambda: _sublet(told, key))


def fees(told: Told) -> Explanation:
    """`amounts.fees`: fees and one-off charges."""
    lines = fee_lines(told)
    total = sum((fee.amount for fee in told.charges.fees), ZERO)
    rule = "Fees and one-off charges (rules 5.5 item 6)." if lines else "No fee applies (rules 5.5 item 6)."
    name = told.name("amounts.fees")
    return told.once("amounts.fees", lambda: told.money.sum_of(name, total, lines, rule))


def fee_lines(told: Told) -> list[Explanation]:
    """Each fee and charge, in the engine's order."""
    return [told.once(f"fee {fee.key}", lambda fee=fee: _fee(told, fee)) for fee in told.charges.fees]  # type: ignore[misc]


def work(told: Told) -> Explanation:
    """`work`: 1 to 7 of the order of money."""
    return told.once("work", lambda: _work(told))


def _work(told: Told) -> Explanation:
    inputs = (
        labour.labour(told),
        parts.parts(told),
        parts.cores(told),
        sublet(told),
        savings.savings(told),
        labour.supplies(told),
        fees(told),
        freight.freight(told),
    )
    rule = "Labour, parts, cores, work sent out, savings, supplies, fees and freight (rules 5.5 items 1 to 7)."
    return told.money.sum_of(told.name("work"), told.charges.total, inputs, rule)


def _sublet(told: Told, key: str) -> Explanation:
    money, amount = told.money, told.charges.sublet[key]
    operation = told.basis.op_named(key).operation
    if operation is not None:
        cost = of_row(f"Sublet cost of {key}", operation.sublet_cost, operation.source, "Sublet cost", form="money")
        rule = "Its cost with the shop's markup on work sent out (rules 5.5 item 3)."
        return money.rounded(told.name(f"sublet {key}"), amount, "product", (cost, _one_plus(told)), rule)
    line = next(item.one_off for item in told.charges.work.items if item.key == key and item.one_off)
    many = of_row("Quantity", line.quantity, line.source, "Quantity")
    if line.unit_price is not None:
        price = of_row("Unit price", line.unit_price, line.source, "Unit price", form="money")
        rule = "The price given on the job x quantity (rules 5.9)."
        return money.rounded(told.name(f"sublet {key}"), amount, "product", (price, many), rule)
    assert amount == sublet_price(told.basis, (line.unit_cost or ZERO) * line.quantity)
    cost = of_row("Unit cost", line.unit_cost, line.source, "Unit cost", form="money")
    rule = "Its cost x quantity with the shop's markup on work sent out (rules 5.9)."
    return money.rounded(told.name(f"sublet {key}"), amount, "product", (cost, many, _one_plus(told)), rule)


def _one_plus(told: Told) -> Explanation:
    markup = told.setting("Sublet markup", "sublet_markup", "percent")
    factor: Decimal = 1 + told.basis.book.settings.sublet_markup
    return number("1 + sublet markup", factor, "one plus", (markup,), "The shop's markup on work sent out.")


def _fee(told: Told, fee: FeeAmount) -> Explanation:
    if fee.fee is None:
        line = next(item.one_off for item in told.charges.work.items if item.key == fee.key and item.one_off)
        return _charge(told, line, fee)
    record = fee.fee
    each = of_row(f"Amount of {fee.key}", record.amount, record.source, "Amount", "Applies to", form="money")
    many = _times(told, fee)
    rule = f"{record.fee}: amount x quantity (rules 5.5 item 6)."
    return told.money.rounded(told.name(f"fee {fee.key}"), fee.amount, "product", (each, many), rule)


def _times(told: Told, fee: FeeAmount) -> Explanation:
    """The job's quantity, or once because of an operation."""
    assert fee.fee is not None
    given = {} if told.alone else {entry.code: entry.quantity for entry in told.basis.job.fees}
    if fee.key in given:
        cells = told.job_cells("Fees")
        return leaf(f"{fee.key} on the job", fee.quantity, cells=cells, rule="The job gives the quantity (rules 5.9).")
    present = {told.basis.op_named(key).code for key in told.charges.work.present}
    by = [code for code in fee.fee.applies_to if code in present]
    why = f"because of {listed(by)}" if by else "as it always applies"
    cells = cell(fee.fee.source, "Applies to")
    return leaf("once", fee.quantity, cells=cells, rule=f"Charged once, {why} (rules 5.5 item 6).")


def _charge(told: Told, line: OneOff, fee: FeeAmount) -> Explanation:
    inputs = (
        of_row("Unit price", line.unit_price, line.source, "Unit price", form="money"),
        of_row("Quantity", line.quantity, line.source, "Quantity"),
    )
    rule = f"{line.line}: unit price x quantity (rules 5.9)."
    cells = cells_in(line.source, "Kind")
    return told.money.rounded(told.name(f"charge {fee.key}"), fee.amount, "product", inputs, rule, cells)
