"""A bill: what was agreed and done at the prices agreed, within consent, taxed as its day asks, less what was paid.

The whole job is priced again from the frozen inputs without what was not done (`done`, `parts_used`, `whole`); the bill
is what that adds to the job's earlier bills (`since_before`), with the taxes of its day (`taxes`). A no is billed with
the inspection and putting the machine back together. Due = all bills - all payments; below zero it is money to give
back, and is told as such.
Units: money. Source: shop policy; no charge above what is authorised: the consent laws of several states.

Worked example: agreed 120.00 and 7.70 of parts, tax 0.50, deposit 60.00: total 128.20, paid 60.00, due 68.20. Had
150.00 been paid, due would be 0.00 and 21.80 given back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal, localcontext

from quotekit.model.entries import Billed, BillLine
from quotekit.model.quote import TaxLine
from quotekit.money import EXACT, round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bill.cores_back import cores_not_charged
from quotekit.pricing.bill.done import Done, done_of
from quotekit.pricing.bill.lines import REASSEMBLY, inspection_lines, total_of
from quotekit.pricing.bill.notes import cautions_for_customer, item_words, part_notes, part_problems, work_lines
from quotekit.pricing.bill.since_before import added_lines
from quotekit.pricing.bill.taxes import taxed_on, taxes_of_bill, taxes_since
from quotekit.pricing.bill.to_bill import ToBill, WorkToBill
from quotekit.pricing.bill.whole import Whole, cores_back, whole_job
from quotekit.pricing.bill.within import above_authorised
from quotekit.pricing.consent.declined_safety import safety_without
from quotekit.pricing.taxes import tax_total
from quotekit.pricing.totals import declined, inspection_fee
from quotekit.problems import Problem, error, has_errors, warning

Made = tuple[Billed | None, list[Problem]]
"""A bill with warnings; None with an error, or where there is nothing new to bill."""

LATER_NOTE = "This bill holds only what has changed since the earlier bills of this job."
TAX_NOTE = "Tax is charged at the rates in force on the day of this bill."


def bill_of_work(facts: WorkToBill) -> Made:
    """The bill of what was agreed and done."""
    with localcontext(EXACT):
        done = done_of(facts.book, facts.job, facts.agreed, facts.closed.not_done if facts.closed else ())
        if not done.items:
            return None, [_nothing_done(facts)]
        whole = whole_job(facts, done)
        problems = _problems(facts, whole)
        added = added_lines(whole.lines, facts.before)
        if has_errors(problems) or (facts.before and not added):
            return None, problems
        upgrade = whole.upgrade - sum((bill.upgrade_labour for bill in facts.before), ZERO)
        bill = _bill(facts, done.basis, added, upgrade, whole.need.before)
        changed = _tax_changed(facts, done.basis, added, bill)
        return _told(facts, done, whole, bill, tax_note=bool(changed)), [*problems, *changed]


def bill_of_no(facts: ToBill) -> Made:
    """What a no costs: the inspection, putting it back together, and their tax."""
    with localcontext(EXACT):
        basis = Basis(book=facts.book, job=facts.job)
        cost = declined(basis)
        reassembly = BillLine(key=REASSEMBLY, text="Putting it back together", amount=cost.reassembly, kind="labour")
        lines = (*inspection_lines(inspection_fee(basis), ZERO), *([reassembly] if cost.reassembly else ()))
        if facts.before:
            return None, []
        if not lines and not facts.payments:
            return None, [_nothing_to_bill(facts)]
        bill = _bill(facts, basis, lines, ZERO, cost.total)
        changed = _tax_changed(facts, basis, lines, bill)
        notes = (TAX_NOTE,) if changed else ()
        return replace(bill, of="no", notes=notes, left=facts.left), list(changed)


def _problems(facts: WorkToBill, whole: Whole) -> list[Problem]:
    found = [
        *cores_not_charged(facts.place, whole.charges.parts, cores_back(facts), facts.cores_back),
        *part_problems(facts.place, whole.used, charged=whole.more_charged),
    ]
    if whole.differs:
        message = f"Priced again, the frozen workbooks come to {whole.differs:+} against what was agreed."
        remedy = "The lower amount is billed. Another version of quotekit may have issued the quote."
        found.append(warning(facts.place, "priced-differently", message, remedy))
    if whole.need.needed:
        found.append(above_authorised(facts.place, facts.accepted, whole.need))
    return found


def _nothing_done(facts: WorkToBill) -> Problem:
    remedy = "Record the customer's no (quotekit decline) to bill the inspection, or close the job with what was done."
    return error(facts.place, "nothing-done", "Nothing of what was agreed was done: there is no work to bill.", remedy)


def _nothing_to_bill(facts: ToBill) -> Problem:
    message = "The customer's no costs nothing and nothing was paid: there is nothing to bill."
    return error(facts.place, "nothing-to-bill", message, "Give the machine back; the job needs no bill.")


def _bill(facts: ToBill, basis: Basis, lines: Sequence[BillLine], upgrade: Decimal, authorised: Decimal) -> Billed:
    """Lines with the taxes of the day, and what is due after what was paid."""
    digits = basis.digits
    taxes = _taxes(facts, basis, lines, upgrade)
    subtotal, tax = round_to(total_of(lines), digits), round_to(tax_total(taxes), digits)
    before = round_to(sum((bill.total for bill in facts.before), ZERO), digits)
    paid = round_to(sum((amount for _, _, amount in facts.payments), ZERO), digits)
    due, nothing = before + subtotal + tax - paid, round_to(ZERO, digits)
    return Billed(
        lines=tuple(lines),
        subtotal=subtotal,
        taxes=tuple((line.tax, line.base, line.amount) for line in taxes),
        tax=tax,
        total=subtotal + tax,
        paid=paid,
        due=max(due, nothing),
        refund=max(-due, nothing),
        authorised=authorised,
        currency=facts.book.settings.currency,
        billed_before=before,
        payments=tuple(facts.payments),
        upgrade_labour=upgrade,
        taxed_on=facts.day,
    )


def _taxes(facts: ToBill, basis: Basis, lines: Sequence[BillLine], upgrade: Decimal) -> tuple[TaxLine, ...]:
    now = taxed_on(basis, facts.day, facts.taxes)
    if not facts.before:
        return taxes_of_bill(now, lines, upgrade)
    then = taxed_on(basis, facts.before[-1].taxed_on or basis.job.quote_date, None)
    return taxes_since(now, then, facts.before, lines, upgrade)


def _told(facts: WorkToBill, done: Done, whole: Whole, bill: Billed, *, tax_note: bool) -> Billed:
    """The bill with what it says of the work."""
    by_repair = facts.book.settings.labour_shown == "by repair" and not facts.before
    return replace(
        bill,
        work=work_lines(done, by_repair=by_repair),
        not_done=tuple(map(item_words, done.not_done)),
        left=safety_without(facts.findings, replace(facts.agreed, items=done.items), facts.job.findings),
        cautions=cautions_for_customer(done.basis, done.work),
        notes=(
            *((LATER_NOTE,) if facts.before else ()),
            *part_notes(whole.used, charged=whole.more_charged),
            *((TAX_NOTE,) if tax_note else ()),
        ),
        cores_back=facts.cores_back,
    )


def _tax_changed(facts: ToBill, basis: Basis, lines: Sequence[BillLine], bill: Billed) -> list[Problem]:
    """A warning where the taxes of the day are not those of the quote."""
    quoted = _taxes(replace(facts, day=basis.job.quote_date, taxes=None), basis, lines, bill.upgrade_labour)
    change = bill.tax - tax_total(quoted)
    if not change:
        return []
    message = f"Tax by the rows in force on {facts.day} is {change:+} against the day of the quote."
    remedy = "The price agreed stands, tax is due as the law is on the day of the bill: tell the customer."
    return [warning(facts.place, "tax-changed", message, remedy)]
