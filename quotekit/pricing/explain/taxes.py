"""Taxes as trees: which lines each tax is on, the rate of its row, both roundings (5.5 item 9 and 5.9)."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.explanation import Explanation
from quotekit.model.quote import TaxLine
from quotekit.model.shop_book import Tax
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import freight, labour, parts, savings
from quotekit.pricing.explain.told import Told, cells_in, of_row
from quotekit.pricing.explain.upgrade import split_lines
from quotekit.pricing.taxes import ChargeLine, rate_on, taxes_in_force
from quotekit.problems import Place


class Taxable(NamedTuple):
    """A line that a tax may fall on, and how its amount comes about."""

    line: ChargeLine
    told: Explanation


class TaxTold(NamedTuple):
    """One tax with its base and amount as trees."""

    tax: str
    base: Explanation
    amount: Explanation


def taxable_lines(told: Told, inspection: Explanation, credit: Explanation) -> list[Taxable]:
    """The lines of `charge_lines`, in the same order, each with its tree."""
    charges = told.charges
    nodes = [*(labour.line_at(told, rate) for rate in charges.labour), labour.minimum_line(told)]
    found = [_taxable("labour", node, of_labour=True) for node in nodes]
    found += [_taxable(part.taxed_as, parts.amount(told, part)) for part in charges.parts]
    found += [_taxable("cores", parts.core(told, part)) for part in charges.parts if part.core]
    found += [_taxable("sublet", of_charges.sublet_line(told, key)) for key in charges.sublet]
    for saving, node in zip(charges.savings, savings.saving_nodes(told), strict=True):
        rule = "What is saved comes off the charge it belongs to (rules 5.5 item 9)."
        less = told.money.node(f"less {node.figure}", -saving.amount, "less", (node,), rule)
        found.append(_taxable(saving.charge, less, of_labour=saving.charge == "labour"))
    found.append(_taxable("supplies", labour.supplies(told)))
    for fee, node in zip(charges.fees, of_charges.fee_lines(told), strict=True):
        found.append(_taxable("fees", node, fee=fee.key if fee.fee else ""))
    found += [_taxable("freight", node) for node in freight.lines(told)]
    found += [_taxable("inspection", inspection), _taxable("inspection", credit)]
    return [one for one in found if one.line.amount]


def taxes_told(told: Told, lines: Sequence[Taxable], taxes: Sequence[TaxLine], upgrade: Explanation) -> list[TaxTold]:
    """Each tax that has a base."""
    rows = taxes_in_force(told.basis)
    return [_tax(told, line, rows[line.tax], lines, upgrade) for line in taxes]


def no_tax(told: Told) -> str:
    """Why there is no tax at all."""
    if told.basis.job.customer_class.casefold() == "exempt":
        return "The customer is exempt, so no tax is charged (rules 5.9)."
    return "No tax in force touches what is charged here (rules 5.5 item 9)."


def tax_cells(told: Told) -> tuple[Place, ...]:
    """The cell that may exempt the customer."""
    return told.job_cells("Customer class")


def _taxable(charge: str, node: Explanation, *, fee: str = "", of_labour: bool = False) -> Taxable:
    amount = node.number
    assert isinstance(amount, Decimal)
    return Taxable(ChargeLine(charge, amount, fee, of_labour), node)


def _tax(told: Told, tax: TaxLine, rows: Sequence[Tax], lines: Sequence[Taxable], upgrade: Explanation) -> TaxTold:
    split = [
        Taxable(line, node) for line, node in split_lines(told, [(one.line, one.told) for one in lines], rows, upgrade)
    ]
    rated = [(one, rate) for one in split if (rate := rate_on(rows, one.line))]
    rule = "The lines this tax is on; a saving reduces the charge it belongs to (rules 5.5 item 9)."
    name = told.name(f"taxes.{tax.tax}.base")
    base = told.money.node(name, tax.base, "sum", [one.told for one, _ in rated], rule, cells=_charge_cells(rows))
    by_row: dict[int, list[Taxable]] = {}
    for one, _ in rated:
        by_row.setdefault(_row_of(rows, one.line), []).append(one)
    by_line = told.basis.book.settings.tax_rounding == "line"
    amount = _by_line(told, tax, rows, by_row) if by_line else _by_invoice(told, tax, rows, by_row, base)
    return TaxTold(tax.tax, base, amount)


def _by_invoice(
    told: Told, tax: TaxLine, rows: Sequence[Tax], by_row: dict[int, list[Taxable]], base: Explanation
) -> Explanation:
    """round(rate x sum of the taxable lines)."""
    name, money = told.name(f"taxes.{tax.tax}.amount"), told.money
    cells = told.setting_cells("Tax rounding")
    rule = "Rate x the lines it is on, rounded once on the whole invoice (rules 5.5 item 9)."
    if len(by_row) == 1:
        exact = rows[next(iter(by_row))].rate * tax.base
        if round_to(exact, money.digits) == tax.amount:
            inputs = (base, _rate(rows[next(iter(by_row))]))
            return money.rounded(name, tax.amount, "product", inputs, rule, cells)
    found, whole = [], ZERO
    for place, ones in by_row.items():
        part = sum((one.line.amount for one in ones), ZERO)
        lines = money.node(
            f"lines at {rows[place].rate:f}", part, "sum", [one.told for one in ones], "Lines of one row."
        )
        inputs = (lines, _rate(rows[place]))
        found.append(money.node(f"{tax.tax} on them", part * rows[place].rate, "product", inputs, "Rate x lines."))
        whole += part * rows[place].rate
    return _not_below_zero(told, name, tax.amount, round_to(whole, money.digits), found, rule, rounded=True)


def _by_line(told: Told, tax: TaxLine, rows: Sequence[Tax], by_row: dict[int, list[Taxable]]) -> Explanation:
    """The sum of round(rate x line)."""
    name, money = told.name(f"taxes.{tax.tax}.amount"), told.money
    found, whole = [], ZERO
    for place, ones in by_row.items():
        for one in ones:
            amount = round_to(rows[place].rate * one.line.amount, money.digits)
            inputs = (one.told, _rate(rows[place]))
            figure = f"{tax.tax} on {one.told.figure}"
            found.append(money.rounded(figure, amount, "product", inputs, "Rate x line, rounded on each line."))
            whole += amount
    rule = "Rate x each line, rounded line by line (rules 5.5 item 9)."
    return _not_below_zero(told, name, tax.amount, whole, found, rule, rounded=False)


def _not_below_zero(
    told: Told, name: str, amount: Decimal, whole: Decimal, found: Sequence[Explanation], rule: str, *, rounded: bool
) -> Explanation:
    cells = told.setting_cells("Tax rounding")
    rounding = told.money.half_up if rounded else ""
    if whole == amount:
        return told.money.node(name, amount, "sum", found, rule, rounding=rounding, cells=cells)
    below = told.money.node(f"{name} as worked out", whole, "sum", found, rule, rounding=rounding, cells=cells)
    none = told.money.settled("none", ZERO, "A tax is never below zero (rules 5.9).")
    return told.money.node(name, amount, "most", (none, below), rule)


def _rate(row: Tax) -> Explanation:
    rule = f"The rate of the row in force for {', '.join(row.charges)} (rules 5.9, Taxes)."
    columns = ("Charge", "Machine", "Customer class", "In force from", "In force to")
    return of_row(f"Rate of {row.tax}", row.rate, row.source, "Rate", *columns, form="percent", rule=rule)


def _row_of(rows: Sequence[Tax], line: ChargeLine) -> int:
    """The place of the row that wins for a line: as `rate_on` finds it."""
    for word in (line.fee, line.charge, "all"):
        for place, row in enumerate(rows):
            if word and word in row.charges:
                return place
    raise AssertionError(f"no row charges {line}")


def _charge_cells(rows: Sequence[Tax]) -> tuple[Place, ...]:
    return tuple(place for row in rows for place in cells_in(row.source, "Charge", "Rate"))
