"""The whole job as it is charged over all its bills: held to what was agreed, reduced for a comeback, within consent.

Held: doing what was agreed, or less of it, never comes to more than was agreed, before tax and with it. Parts beyond
what was agreed are charged all together or not at all: all where the job then stays within consent, else none.
Units: money. Source: shop policy.

Worked example: agreed 100.00, two seals of 3.85 in it; four were fitted. The rule leaves 5.00: 107.70 would pass it, so
100.00 is charged. Where it leaves 10.00, 107.70 is.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.entries import BillLine
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.bill.cores_back import all_cores_back, core_back_lines
from quotekit.pricing.bill.done import Done, parts_done, price_done, upgrade_labour_of
from quotekit.pricing.bill.lines import charge_key, inspection_lines, lines_of, total_of
from quotekit.pricing.bill.parts_used import PartsUsed, parts_used
from quotekit.pricing.bill.since_before import credit_that_stays
from quotekit.pricing.bill.taken_off import for_comeback, held_to
from quotekit.pricing.bill.taxes import taxes_of_bill
from quotekit.pricing.bill.to_bill import WorkToBill
from quotekit.pricing.bill.within import need_for
from quotekit.pricing.charges import Charges
from quotekit.pricing.consent.need import Need
from quotekit.pricing.parts import PartAmount
from quotekit.pricing.taxes import tax_total
from quotekit.pricing.totals import inspection_credit, inspection_fee
from quotekit.record import record


@record
class Whole:
    """The whole job as it is charged."""

    charges: Charges
    lines: tuple[BillLine, ...]
    upgrade: Decimal
    need: Need
    used: PartsUsed
    more_charged: bool = False
    """True where parts beyond what was agreed are charged."""
    differs: Decimal = ZERO
    """By how much the frozen inputs come to another price than was agreed, where all was done as agreed."""


def whole_job(facts: WorkToBill, done: Done) -> Whole:
    """The charges of a job, with its extra parts where consent leaves room for them."""
    used = parts_used(done.basis, parts_done(done)[1], facts.closed.parts if facts.closed else ())
    at_most = _charged(facts, done, used.at_most_agreed)
    excess = total_of(at_most) - facts.agreed.subtotal
    held = _to_hold(facts, done, at_most)
    if used.more:
        whole = _whole(facts, done, used, held, more=True)
        if not whole.need.needed:
            return whole
    differs = ZERO if facts.before or _less_done(facts, used) else excess
    return _whole(facts, done, used, held, more=False, differs=differs)


def _to_hold(facts: WorkToBill, done: Done, lines: tuple[BillLine, ...]) -> Decimal:
    """What is to be taken off before tax, so that neither before tax nor with tax more than was agreed is charged."""
    basis, agreed = done.basis, facts.agreed
    upgrade = upgrade_labour_of(done, price_done(done, parts_done(done)), facts.tax_rows)
    held = max(total_of(lines) - agreed.subtotal, ZERO)
    while True:
        left = lines + held_to(lines, held, basis.digits)
        taxes = taxes_of_bill(basis, left, _left_of(upgrade, left, basis.digits))
        over = total_of(left) + tax_total(taxes) - agreed.total
        if over <= 0:
            return held
        held += over


def cores_back(facts: WorkToBill) -> dict[str, Decimal]:
    """Old parts handed back so far, by part code."""
    closed = facts.closed.cores_returned if facts.closed else {}
    return all_cores_back(closed, facts.before, facts.cores_back)


def _whole(
    facts: WorkToBill, done: Done, used: PartsUsed, held: Decimal, *, more: bool, differs: Decimal = ZERO
) -> Whole:
    basis, parts = done.basis, used.as_used if more else used.at_most_agreed
    charges = price_done(done, (parts_done(done)[0], parts))
    lines = _charged(facts, done, parts)
    lines += held_to(lines, held, basis.digits) if held else ()
    lines += core_back_lines(basis, parts, cores_back(facts))
    if facts.comeback is not None:
        lines += for_comeback(lines, facts.comeback, basis.digits)
    upgrade = _left_of(upgrade_labour_of(done, charges, facts.tax_rows), lines, basis.digits)
    need = need_for(basis, facts.accepted, lines, upgrade)
    return Whole(
        charges=charges, lines=lines, upgrade=upgrade, need=need, used=used, more_charged=more, differs=differs
    )


def _charged(facts: WorkToBill, done: Done, parts: Sequence[PartAmount]) -> tuple[BillLine, ...]:
    """The charges with the inspection, before anything is taken off."""
    charges = price_done(done, (parts_done(done)[0], parts))
    fee = inspection_fee(done.basis)
    credit = credit_that_stays(inspection_credit(done.basis, fee, charges.total), facts.before)
    return (*lines_of(done.basis, charges), *inspection_lines(fee, credit))


def _left_of(upgrade: Decimal, lines: Sequence[BillLine], digits: int) -> Decimal:
    """The upgrade labour in the proportion in which the labour is left after what was taken off it."""
    charged = total_of(line for line in lines if line.key.startswith("labour:"))
    left = total_of(line for line in lines if charge_key(line).startswith("labour:"))
    if not charged or left == charged:
        return upgrade
    return round_to(Fraction(upgrade) * Fraction(left) / Fraction(charged), digits)


def _less_done(facts: WorkToBill, used: PartsUsed) -> bool:
    """True where something agreed was not done, or parts were not used as agreed."""
    return used.fewer or (facts.closed is not None and bool(facts.closed.not_done))
