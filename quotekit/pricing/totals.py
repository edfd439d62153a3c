"""From work to the total to pay, and the money outside the subtotal (DESIGN.md 5.5 items 8 and 9, and 5.9).

8 inspection fee and its credit in full under the shop's rule, subtotal, 9 tax, total to pay;
then the deposit, the amount due, and the days until the job can be ready.
Units: money, working days.

Worked example: work 178.83, inspection 45.00 credited when work goes ahead: subtotal 178.83. Tax 6 % of parts 30.80 =
1.85: total 180.68. Paid so far 50.00: due 130.68. Parts take 6 days and the queue is 3: ready in 9.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.quote import Declined, TaxLine
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.freight import ordered
from quotekit.pricing.parts import PartAmount
from quotekit.pricing.taxes import ChargeLine, charge_lines, tax_total, taxes_on
from quotekit.record import record


@record
class Totals:
    """What the customer pays."""

    inspection: Decimal
    credit: Decimal
    subtotal: Decimal
    taxes: tuple[TaxLine, ...]
    tax: Decimal
    total: Decimal


def totals_of(basis: Basis, charges: Charges, upgrade: Decimal) -> Totals:
    """Inspection, credit, tax and total of a set of charges; `upgrade` is its upgrade labour."""
    inspection = inspection_fee(basis)
    credit = inspection_credit(basis, inspection, charges.total)
    subtotal = charges.total + inspection + credit
    taxes = taxes_on(basis, charge_lines(charges, inspection, credit), upgrade)
    tax = round_to(tax_total(taxes), basis.digits)
    return Totals(inspection=inspection, credit=credit, subtotal=subtotal, taxes=taxes, tax=tax, total=subtotal + tax)


def inspection_fee(basis: Basis) -> Decimal:
    """The job's inspection fee, else the shop's."""
    fee = basis.job.inspection_fee
    return round_to(basis.book.settings.inspection_fee if fee is None else fee, basis.digits)


def inspection_credit(basis: Basis, fee: Decimal, work: Decimal) -> Decimal:
    """The fee given back in full, or nothing: negative or zero."""
    rule = basis.book.settings.inspection_fee_credited
    credited = work >= rule if isinstance(rule, Decimal) else rule == "when work goes ahead"
    return -fee if credited and fee else round_to(ZERO, basis.digits)


def deposit_on(basis: Basis, parts: Sequence[PartAmount]) -> Decimal:
    """Percent of the selling amounts of ordered parts, the non-returnable percent in place of the other for those."""
    settings = basis.book.settings
    deposit = ZERO
    for line in ordered(basis, parts):
        returnable = line.part is None or line.part.returnable
        percent = settings.deposit_on_ordered_parts if returnable else settings.deposit_on_non_returnable_parts
        deposit += percent * line.amount
    return round_to(deposit, basis.digits)


def lead_days(basis: Basis, line: PartAmount) -> int | None:
    """Days until a part is there: its own, else its supplier's; shelf and the customer's own are there."""
    if line.own or basis.is_shelf(line.supplier):
        return 0
    own = line.part.lead_days if line.part else line.one_off.lead_days if line.one_off else None
    terms = basis.supplier(line.supplier)
    return own if own is not None else terms.lead_days if terms else None


def ready_days(basis: Basis, charges: Charges) -> int | None:
    """The longest of part leads, one-off leads and sublet days, plus the queue; None where a lead is not known."""
    leads = [lead_days(basis, line) for line in charges.parts]
    leads += [item.one_off.lead_days or 0 for item in charges.work.items if item.one_off]
    for key in charges.work.present:
        operation = basis.op_named(key).operation
        leads.append((operation.sublet_days or 0) if operation else 0)
    known = [lead for lead in leads if lead is not None]
    if len(known) < len(leads):
        return None
    return max(known, default=0) + basis.book.settings.queue_days


def declined(basis: Basis) -> Declined:
    """What a no costs: the inspection fee, putting it back together, and their tax."""
    inspection = inspection_fee(basis)
    rate = basis.rates[basis.default_rate].rate_per_hour
    reassembly = round_to((basis.job.reassembly_hours or ZERO) * rate, basis.digits)
    lines = [ChargeLine("inspection", inspection), ChargeLine("labour", reassembly)]
    tax = round_to(tax_total(taxes_on(basis, [line for line in lines if line.amount], ZERO)), basis.digits)
    return Declined(inspection=inspection, reassembly=reassembly, tax=tax, total=inspection + reassembly + tax)
