"""Sublet, supplies, fees, one-off charges and the inspection of any choice (DESIGN.md 5.5 items 3, 5, 6 and 8)."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.expression import Expression, any_of, if_at_least, least, rounded, times
from quotekit.money import round_to
from quotekit.pricing.charges import one_off_sublet_price, sublet_price
from quotekit.pricing.fees import charge_price, fee_amount
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.pricing.totals import inspection_fee
from quotekit.record import record


@record
class LiveFee:
    """A fee by its code, or a one-off charge without one; `sign` is -1 for a charge below zero."""

    code: str
    amount: Expression
    sign: int = 1


def live_sublet(working: Working, work: LiveWork) -> list[Expression]:
    """Another shop's work, by operation and by one-off line."""
    lines = []
    for op in work.operations:
        if op.operation is not None and op.operation.sublet_cost is not None:
            price = working.minor(sublet_price(working.basis, op.operation.sublet_cost))
            lines.append(times(work.present(op.key), price))
    for one in work.taken:
        line = one.item.one_off
        if line is not None and line.kind == "sublet":
            price = working.minor(one_off_sublet_price(working.basis, line))
            lines.append(times(one.flag, price))
    return lines


def live_supplies(working: Working, labour: Expression) -> Expression:
    """Percent of the labour lines, at most the cap; nothing when shown as off."""
    settings = working.basis.book.settings
    if settings.supplies_shown_as == "off":
        return 0
    percent = settings.supplies_percent_of_labour
    places = decimals([percent])
    amount = rounded(times(labour, whole(percent, places)), 10**places)
    if settings.supplies_cap is not None:
        amount = least(amount, working.minor(round_to(settings.supplies_cap, working.basis.digits)))
    return working.step("supplies", amount)


def live_fees(working: Working, work: LiveWork) -> list[LiveFee]:
    """Fees once if any of their operations is done or by the job's quantity, and one-off charges."""
    basis = working.basis
    given = {entry.code: entry.quantity for entry in basis.job.fees}
    found = []
    for fee in sorted(basis.book.fees.values(), key=lambda fee: fee.code):
        quantity, flag = given.get(fee.code, Decimal(1)), _trigger(work, fee.applies_to, always=fee.always)
        if fee.code in given:
            flag = 1 if quantity else 0
        if flag != 0:
            amount = working.minor(fee_amount(fee, quantity, basis.digits).amount)
            found.append(LiveFee(code=fee.code, amount=times(flag, amount)))
    return found + _charges(working, work)


def live_credit(working: Working, total: Expression) -> Expression:
    """The inspection fee given back under the shop's rule, positive; `total` is the work."""
    fee = working.minor(inspection_fee(working.basis))
    rule = working.basis.book.settings.inspection_fee_credited
    if not isinstance(rule, Decimal):
        return fee if rule == "when work goes ahead" else 0
    more = max(0, decimals([rule]) - working.basis.digits)
    least_work = whole(rule, working.basis.digits + more)
    return working.step("inspection credited", if_at_least(times(total, 10**more), least_work, fee, 0))


def _trigger(work: LiveWork, codes: tuple[str, ...], *, always: bool) -> Expression:
    if always:
        return 1
    return work.working.step("fee", any_of(work.present(op.key) for op in work.operations if op.code in codes))


def _charges(working: Working, work: LiveWork) -> list[LiveFee]:
    found = []
    for one in work.taken:
        line = one.item.one_off
        if line is not None and line.kind == "charge":
            amount = working.minor(charge_price(line, working.basis.digits))
            found.append(LiveFee(code="", amount=times(one.flag, abs(amount)), sign=-1 if amount < 0 else 1))
    return found
