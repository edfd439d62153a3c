"""Parts of a set of charges as trees: packs, amounts, cores (5.4, 5.5 item 2)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import part_uses, prices
from quotekit.pricing.explain.told import Told, cell, count, leaf, number, of_row
from quotekit.pricing.parts import PartAmount
from quotekit.problems import Place


def quantity(told: Told, line: PartAmount) -> Explanation:
    """`parts.CODE.quantity`."""
    if line.one_off is None:
        return part_uses.quantity(told, line.code, line.quantity, line.from_kits)
    figure = f"parts.{line.code}.quantity"
    given = of_row("Quantity", line.quantity, line.one_off.source, "Quantity")
    rule = "As the one-off line says (rules 4, One-off)."
    return told.once(figure, lambda: number(told.name(figure), line.quantity, "same", (given,), rule))


def packs(told: Told, line: PartAmount) -> Explanation:
    """`parts.CODE.packs`: whole packs over the whole job."""
    return told.once(f"parts.{line.code}.packs", lambda: _packs(told, line))


def amount(told: Told, line: PartAmount) -> Explanation:
    """`parts.CODE.amount`: round(unit price x quantity)."""
    return told.once(f"parts.{line.code}.amount", lambda: _amount(told, line))


def parts(told: Told) -> Explanation:
    """`amounts.parts`: every part line."""
    lines = [amount(told, line) for line in told.charges.parts]
    rule = "Every part line (rules 5.5 item 2)."
    name = told.name("amounts.parts")
    return told.once("amounts.parts", lambda: told.money.sum_of(name, told.charges.parts_total, lines, rule))


def cores(told: Told) -> Explanation:
    """`amounts.cores`: core charges of the units used where the customer keeps the old parts."""
    return told.once("amounts.cores", lambda: _cores(told))


def core(told: Told, line: PartAmount) -> Explanation:
    """Core charge of one line, round(charge x quantity)."""
    return told.once(f"core of {line.code}", lambda: _core(told, line))


def order_value(told: Told, lines: list[PartAmount], figure: str) -> Explanation:
    """Whole packs at pack cost, exact."""
    each = [_packs_at_cost(told, line) for line in lines]
    total = sum((line.packs * (line.pack_cost or ZERO) for line in lines), ZERO)
    return told.money.node(figure, total, "sum", each, "Whole packs at pack cost (rules 5.4).")


def pack_cost(line: PartAmount) -> Explanation:
    """What one pack costs; zero where a one-off line has no cost."""
    if line.part is not None:
        return of_row(f"Pack cost of {line.code}", line.part.pack_cost, line.part.source, "Pack cost", form="money")
    assert line.one_off is not None
    return of_row(f"Unit cost of {line.code}", line.one_off.unit_cost, line.one_off.source, "Unit cost", form="money")


def _packs_at_cost(told: Told, line: PartAmount) -> Explanation:
    value: Decimal = line.packs * (line.pack_cost or ZERO)
    inputs = (packs(told, line), pack_cost(line))
    return told.money.node(f"packs of {line.code}", value, "product", inputs, "Packs x pack cost.")


def _packs(told: Told, line: PartAmount) -> Explanation:
    name = told.name(f"parts.{line.code}.packs")
    if line.own:
        cells = told.job_cells("Customer's own parts")
        return count(name, 0, "decided", (), "The customer's own part: not ordered (rules 4).", cells=cells)
    rule = "Quantity / pack quantity over the whole job, up to whole packs (rules 5.4)."
    pack = leaf("pack of one", Decimal(1), cells=(), rule="A one-off part is a pack of one (rules 5.9).")
    if line.part is not None:
        pack = of_row("Pack quantity", line.part.pack_quantity, line.part.source, "Pack quantity")
    inputs = (quantity(told, line), pack)
    return count(name, line.packs, "quotient", inputs, rule, rounding="up to whole packs")


def _amount(told: Told, line: PartAmount) -> Explanation:
    name = told.name(f"parts.{line.code}.amount")
    if line.own:
        cells = told.job_cells("Customer's own parts")
        return told.money.settled(name, line.amount, "The customer's own part: not charged (rules 4).", cells)
    inputs = (prices.unit_price(told, line), quantity(told, line))
    return told.money.rounded(name, line.amount, "product", inputs, "Unit price x quantity used (rules 5.4).")


def _cores(told: Told) -> Explanation:
    name, money = told.name("amounts.cores"), told.money
    lines = [core(told, line) for line in told.charges.parts if line.core]
    total = sum((line.core for line in told.charges.parts), ZERO)
    if told.basis.job.old_parts != "keep":
        rule = "The customer does not keep the old parts, so no core is charged (rules 5.5 item 2)."
        return money.settled(name, total, rule, told.job_cells("Old parts"))
    if not lines:
        return money.settled(
            name, total, "No part used has a core charge (rules 5.5 item 2).", told.job_cells("Old parts")
        )
    rule = "Core charges of the units used, as the customer keeps the old parts (rules 5.5 item 2)."
    return money.node(name, total, "sum", lines, rule, cells=told.job_cells("Old parts"))


def _core(told: Told, line: PartAmount) -> Explanation:
    assert line.part is not None
    each = of_row(f"Core charge of {line.code}", line.part.core_charge, line.part.source, "Core charge", form="money")
    inputs = (each, quantity(told, line))
    return told.money.rounded(f"core of {line.code}", line.core, "product", inputs, "Core charge x quantity used.")


def supplier_cells(line: PartAmount) -> tuple[Place, ...]:
    """The cell that says who supplies a line."""
    if line.part is not None:
        return cell(line.part.source, "Supplier")
    return cell(line.one_off.source, "Supplier") if line.one_off else ()
