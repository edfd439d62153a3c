"""From work to what is paid as trees: inspection, subtotal, taxes, total, due (5.5 items 8 and 9)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.explanation import Explanation
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain.charges import work
from quotekit.pricing.explain.taxes import TaxTold, no_tax, tax_cells, taxable_lines, taxes_told
from quotekit.pricing.explain.told import Told
from quotekit.pricing.totals import Totals, inspection_fee


def inspection(told: Told) -> Explanation:
    """`amounts.inspection`: the job's fee, else the shop's."""
    return told.once("amounts.inspection", lambda: _inspection(told))


def inspection_credit(told: Told, totals: Totals) -> Explanation:
    """`amounts.inspection_credit`: the fee given back under the shop's rule."""
    return told.once("amounts.inspection_credit", lambda: _credit(told, totals))


def subtotal(told: Told, totals: Totals) -> Explanation:
    """`subtotal`: work, inspection and its credit."""
    inputs = (work(told), inspection(told), inspection_credit(told, totals))
    rule = "Work, inspection fee and its credit (rules 5.5 item 8)."
    name = told.name("subtotal")
    return told.once("subtotal", lambda: told.money.sum_of(name, totals.subtotal, inputs, rule))


def taxes(told: Told, totals: Totals, upgrade: Explanation) -> list[TaxTold]:
    """Each tax with its base and amount."""
    lines = taxable_lines(told, inspection(told), inspection_credit(told, totals))
    return taxes_told(told, lines, totals.taxes, upgrade)


def tax(told: Told, totals: Totals, each: list[TaxTold]) -> Explanation:
    """`tax`: all taxes together."""
    rule = "All taxes together (rules 5.5 item 9)." if each else no_tax(told)
    name, amounts = told.name("tax"), [one.amount for one in each]
    return told.once("tax", lambda: told.money.node(name, totals.tax, "sum", amounts, rule, cells=tax_cells(told)))


def total(told: Told, totals: Totals, each: list[TaxTold]) -> Explanation:
    """`total`: subtotal and tax."""
    inputs = (subtotal(told, totals), tax(told, totals, each))
    rule = "Subtotal and tax: the total to pay (rules 5.5)."
    return told.once("total", lambda: told.money.sum_of(told.name("total"), totals.total, inputs, rule))


def due(told: Told, amount: Decimal, whole: Explanation) -> Explanation:
    """`due`: the total less what was paid."""
    paid = told.job_field("Paid so far", told.basis.job.paid_so_far, "money")
    return told.money.node("due", amount, "difference", (whole, paid), "Total less what was paid so far (rules 5.9).")


def _inspection(told: Told) -> Explanation:
    name, money, own = told.name("amounts.inspection"), told.money, told.basis.job.inspection_fee
    amount = inspection_fee(told.basis)
    if own is None:
        fee = told.setting("Inspection fee", "inspection_fee", "money")
        return money.rounded(name, amount, "same", (fee,), "The shop's inspection fee (rules 5.5 item 8).")
    fee = told.job_field("Inspection fee", own, "money")
    return money.rounded(name, amount, "same", (fee,), "The job's own inspection fee (rules 5.5 item 8).")


def _credit(told: Told, totals: Totals) -> Explanation:
    name, money = told.name("amounts.inspection_credit"), told.money
    rule, cells = told.basis.book.settings.inspection_fee_credited, told.setting_cells("Inspection fee credited")
    fee = inspection(told)
    if isinstance(rule, Decimal):
        least = told.setting("Inspection fee credited", "inspection_fee_credited", "money")
        given = -totals.credit
        words = "The fee in full when the work comes to at least the shop's amount (rules 5.5 item 8)."
        if not rule:
            back = money.node(
                "given back", given, "same", (fee,), "The fee in full, whatever the work (rules 5.5 item 8)."
            )
        else:
            back = money.node("given back", given, "if at least", (fee, least, work(told)), words)
        return money.node(name, totals.credit, "less", (back,), words, cells=cells)
    if rule == "when work goes ahead":
        words = "The fee is given back in full, as work goes ahead (rules 5.5 item 8)."
        return money.node(name, totals.credit, "less", (fee,), words, cells=cells)
    return money.settled(name, ZERO, "The shop never gives the inspection fee back (rules 5.5 item 8).", cells)
