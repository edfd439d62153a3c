"""REMEDY_PRICE: what one remedy costs by itself, on an otherwise blank job (stand-alone work, DESIGN.md 5.7 and 5.9).

Its own work with its own access, the machine's Always work, the minimum, parts, sublet, supplies, freight and the fees
its operations bring: without bundles, discount, inspection fee, findings and a condition. With tax, the tax on all that
is added, by the rows in force. Limits (Fits only if) and what it needs fixed are of a job and are not looked at.
On several sides it is done on all of them at once, and they share access.
Units: money. Source: shop policy; the rules are those that price a tier.

Worked example: BUSHING on the left 0.6 h behind a cover of 0.4 h, at 90.00 an hour and a minimum of one hour: 90.00;
its bushing at 11.25: 101.25. With tax at 6 % of parts: 101.93. On both sides, with 0.45 h for the second: 1.45, sold as
1.5: 135.00 and two bushings 22.50: 157.50.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.shop_book import Remedy
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.functions.asked import Asked, Refused, find_code
from quotekit.pricing.functions.blank_job import blank_job, machine_of, positions_of, sides_of
from quotekit.pricing.items import Item, always_item, remedy_item
from quotekit.pricing.shares import shares_of, users_of
from quotekit.pricing.sides import is_sided
from quotekit.pricing.taxes import charge_lines, tax_total, taxes_on, taxes_upgrade_labour, upgrade_labour


def remedy_price(asked: Asked) -> Decimal:
    """The price of `remedy` alone on a `side` of a `machine`, before tax or `with tax`, on a `date`."""
    remedy, side = _named(asked)
    machine = machine_of(asked, needed=True)
    job = blank_job(machine, asked.on_day("date"), positions_of(asked.book, machine))
    basis = Basis(book=asked.book, job=job)
    items = [remedy_item(basis, remedy, at) for at in _sides(basis, remedy, side)]
    always = always_item(basis)
    _check_rates(basis, [*items, always])
    charges = price_items(basis, items, always, alone=True)
    return round_to(charges.total + (_tax(basis, charges) if asked.yes("with tax") else ZERO), basis.digits)


def _named(asked: Asked) -> tuple[Remedy, str]:
    """The remedy, and its side: from the argument, or written with it as `BUSHING@left`."""
    word, side, known = asked.text("remedy"), asked.text("side"), asked.book.remedies
    if not word:
        raise Refused("The remedy is blank.", "Give a code of Remedies.")
    before, at, after = word.rpartition("@")
    if at and not side and word.casefold() not in {code.casefold() for code in known}:
        word, side = before.strip(), after.strip()
    return known[find_code(word, known, "Remedies")], side


def _sides(basis: Basis, remedy: Remedy, side: str) -> tuple[str | None, ...]:
    if not is_sided(basis.book, remedy.operations):
        if side:
            raise Refused(f"{remedy.code} is done once, not each side.", "Leave the side out.")
        return (None,)
    if not side:
        raise Refused(f"{remedy.code} is done each side, and no side is given.", "Give the side, for example left.")
    return sides_of(side, basis.job.positions)


def _check_rates(basis: Basis, items: list[Item]) -> None:
    """Refused where a labour rate of the work is not in force on the day."""
    operations = [basis.op_named(key) for item in items for key in item.wanted]
    used = {basis.default_rate, *(op.rate for op in operations)}
    used |= {basis.step_named(key).rate for op in operations for key in op.steps}
    for code in sorted(used - basis.rates.keys()):
        day = basis.job.quote_date.isoformat()
        raise Refused(f"The labour rate {code} is not in force on {day}.", "Add a row to Labour rates for that day.")


def _tax(basis: Basis, charges: Charges) -> Decimal:
    upgrade = ZERO
    if taxes_upgrade_labour(basis):
        shares = shares_of(basis, charges, users_of(basis, charges.work))
        upgrade = min(upgrade_labour(charges, shares), charges.labour_total)
    return tax_total(taxes_on(basis, charge_lines(charges, ZERO, ZERO), upgrade))
