"""Inspection fee, taxes and what is due (DESIGN.md 5.5 steps 8 and 9)."""

from __future__ import annotations

from fractions import Fraction

from quotekit.model.shop_book import Tax
from tests.oracle.exact import fraction, half_up, share_out
from tests.oracle.price import ZERO, Priced
from tests.oracle.shares import labour_shares
from tests.oracle.work import World

Charge = tuple[str, Fraction]
"""A charge word and an amount; a fee is `fee:CODE`."""


def inspection_of(world: World, work: Fraction) -> tuple[Fraction, Fraction]:
    """The fee, and its credit, negative."""
    fee = inspection_fee(world)
    rule = world.book.settings.inspection_fee_credited
    goes = rule == "when work goes ahead" or (not isinstance(rule, str) and work >= fraction(rule))
    return fee, (-fee if goes else ZERO)


def inspection_fee(world: World) -> Fraction:
    """The job's, else the shop's."""
    given = world.job.inspection_fee
    return half_up(fraction(world.book.settings.inspection_fee if given is None else given), world.digits)


def rows_in_force(world: World) -> dict[str, list[Tax]]:
    """Applicable rows by tax name, in order of the sheet; none for an exempt customer."""
    job = world.job
    found: dict[str, list[Tax]] = {}
    if job.customer_class.lower() == "exempt":
        return found
    for row in world.book.taxes:
        dated = (row.in_force_from is None or row.in_force_from <= job.quote_date) and (
            row.in_force_to is None or job.quote_date <= row.in_force_to
        )
        machine = not row.machines or job.machine_class in row.machines
        customer = not row.customer_class or row.customer_class.lower() == job.customer_class.lower()
        if dated and machine and customer:
            found.setdefault(row.tax, []).append(row)
    return found


def rate_of(rows: list[Tax], charge: str) -> Fraction | None:
    """A row for one charge over `all`, a fee's own code over `fees`; None where no row matches."""
    wanted = [charge]
    if charge.startswith("fee:"):
        wanted = [charge[4:], "fees"]
    for word in [*wanted, "all"]:
        for row in rows:
            if word in row.charges:
                return fraction(row.rate)
    return None


def taxes_of(world: World, priced: Priced, tier: Priced | None = None) -> list[tuple[str, Fraction, Fraction]]:
    """Name, base and amount of each tax with a base; `tier`: the tier a combination is beside."""
    other = _other_charges(world, priced)
    found = []
    for name, rows in rows_in_force(world).items():
        apart = any("upgrade labour" in row.charges for row in rows)
        charges = _labour_charges(world, priced, tier, apart) + other
        base, amount = _taxed(world, rows, charges)
        if base > 0:
            found.append((name, base, amount))
    return found


def _taxed(world: World, rows: list[Tax], charges: list[Charge]) -> tuple[Fraction, Fraction]:
    rated = [(rate_of(rows, charge), amount) for charge, amount in charges]
    taxable = [(rate, amount) for rate, amount in rated if rate]
    base = sum((amount for _, amount in taxable), ZERO)
    if base <= 0:
        return ZERO, ZERO
    if world.book.settings.tax_rounding == "line":
        return base, max(ZERO, sum((half_up(rate * amount, world.digits) for rate, amount in taxable), ZERO))
    return base, max(ZERO, half_up(sum((rate * amount for rate, amount in taxable), ZERO), world.digits))


def upgrade_labour(world: World, priced: Priced) -> Fraction:
    """The labour shares of items whose remedy is an upgrade."""
    upgrades = {item.key for item in priced.items if item.kind == "remedy" and item.record.kind == "upgrade"}
    shares = labour_shares(world, priced).values()
    return sum((amount for line in shares for key, amount in line.items() if key in upgrades), ZERO)


def _labour_charges(world: World, priced: Priced, tier: Priced | None, apart: bool) -> list[Charge]:
    """Labour lines, with upgrade labour taken out of them in proportion to their amounts; savings in proportion."""
    amounts = list(priced.labour.amounts.values())
    whole = sum(amounts, ZERO)
    upgrade = min(whole, upgrade_labour(world, tier or priced)) if apart else ZERO
    charges: list[Charge] = []
    for amount, mine in zip(amounts, share_out(upgrade, amounts, world.digits), strict=True):
        charges += [("labour", amount - mine), ("upgrade labour", mine)]
    for saving in priced.savings:
        if saving.kind == "labour" and saving.amount:
            off = share_out(saving.amount, [whole - upgrade, upgrade], world.digits)
            charges += [("labour", -off[0]), ("upgrade labour", -off[1])]
    return charges


def _other_charges(world: World, priced: Priced) -> list[Charge]:
    charges: list[Charge] = [(line.taxed_as, line.amount) for line in priced.parts]
    charges += [("cores", line.core) for line in priced.parts]
    charges += [("parts", -saving.amount) for saving in priced.savings if saving.kind == "parts"]
    charges += [("sublet", amount) for amount in priced.sublet.values()]
    charges += [("supplies", priced.supplies)]
    charges += [(f"fee:{code}", amount) for code, amount in priced.fees.items()]
    charges += [("freight", amount) for amount in priced.freight.values()]
    charges += [("inspection", amount) for amount in inspection_of(world, priced.work)]
    return charges


def declined_of(world: World) -> dict[str, Fraction]:
    """What a no costs."""
    fee = inspection_fee(world)
    rate = fraction(world.rates[world.default_rate].rate_per_hour)
    labour = half_up(fraction(world.job.reassembly_hours) * rate, world.digits)
    charges = [("inspection", fee), ("labour", labour)]
    tax = sum((_taxed(world, rows, charges)[1] for rows in rows_in_force(world).values()), ZERO)
    return {"inspection": fee, "reassembly": labour, "tax": tax, "total": fee + labour + tax}
