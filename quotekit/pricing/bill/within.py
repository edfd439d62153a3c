"""Whether a bill keeps within what the customer authorised, and by how much it does not.

A bill may come to what was last authorised and, without another yes, to as much more as the rule of that yes leaves,
and passes no spending limit (`pricing/consent`). The whole job counts, over all its bills, on the basis of the rule.
Taxes are those of the day of the quote, so that a change of the law is neither the shop's excess nor room for more
work. Old parts handed back are left out, and the inspection counts as credited in the quote.
Units: money. Source: consent laws of several states measure from the last authorised total; the owner sets the rule.

Worked example: 380.00 authorised, 10 % or 25.00, the lesser: 25.00 more. A bill of 412.00 is 7.00 over.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from quotekit.model.entries import Accepted, BillLine
from quotekit.pricing.basis import Basis
from quotekit.pricing.bill.lines import CORE_BACK, total_of
from quotekit.pricing.bill.taxes import taxes_of_bill
from quotekit.pricing.consent.need import Need, need_of_consent
from quotekit.pricing.taxes import tax_total
from quotekit.problems import Place, Problem, error


def need_for(basis: Basis, accepted: Accepted, lines: Iterable[BillLine], upgrade: Decimal) -> Need:
    """The lines of the whole job against what was last authorised."""
    counted = [line for line in lines if CORE_BACK not in line.key]
    subtotal = total_of(counted)
    total = subtotal + tax_total(taxes_of_bill(basis, counted, upgrade))
    return need_of_consent(accepted, replace(accepted.agreed, subtotal=subtotal, total=total), basis.digits)


def above_authorised(place: Place, accepted: Accepted, need: Need) -> Problem:
    """Why a bill can't be made, and by how much."""
    most = f"{need.before} {accepted.rule.compares} is authorised and may rise by {need.threshold} without another yes"
    if need.over:
        message = f"The bill would come to {need.after}; {most}: it is {need.over} above that."
    else:
        message = f"The bill would pass the customer's spending limit of {accepted.spending_limit}; {most}."
    remedy = "Revise the job, ask the customer and record the answer: quotekit revise, then accept or decline."
    return error(place, "above-authorised", message, remedy)
