"""Sales tax by dated rows (DESIGN.md 5.5 item 9 and 5.9): which rows apply, what they charge, and both roundings.

Invoice basis: round(rate x sum of the taxable lines) per tax name. Line basis: the sum of round(rate x line).
A row for one charge wins over `all`; a fee's own code wins over `fees`. A row at rate zero exempts its charges.
No base goes below zero. Customer class `exempt` pays none.
Source of the rounding: Streamlined Sales and Use Tax Agreement, section 324 (half up, per item or per invoice).
What is taxed, and at what rate, is dated data the owner sets.
Units: money, rates as fractions.

Worked example: three lines of 1.25 at 6 %: invoice basis round(0.06 x 3.75) = 0.23; line basis 3 x 0.08 = 0.24.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.quote import Share, TaxLine
from quotekit.model.shop_book import Tax
from quotekit.money import allocate, round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.shares import upgrade_items

UPGRADE = "upgrade labour"


class ChargeLine(NamedTuple):
    """A line that may be taxed; `fee` is the fee code where the line is one.

    `of_labour` marks labour and its savings: a part may be taxed as labour, and is none.
    """

    charge: str
    amount: Decimal
    fee: str = ""
    of_labour: bool = False


def taxes_in_force(basis: Basis) -> dict[str, list[Tax]]:
    """Rows that apply to this job, by tax name, in the order of the sheet."""
    if basis.job.customer_class.casefold() == "exempt":
        return {}
    found: dict[str, list[Tax]] = {}
    for row in basis.book.taxes:
        if _applies(basis, row):
            found.setdefault(row.tax, []).append(row)
    return found


def taxes_upgrade_labour(basis: Basis) -> bool:
    """True when some tax in force treats upgrade labour apart."""
    return any(UPGRADE in row.charges for rows in taxes_in_force(basis).values() for row in rows)


def charge_lines(charges: Charges, inspection: Decimal, credit: Decimal) -> list[ChargeLine]:
    """The lines of a tier that a tax may fall on; savings and the credit are negative."""
    lines = [ChargeLine("labour", amount, of_labour=True) for amount in (*charges.labour.values(), charges.minimum)]
    lines += [ChargeLine(part.taxed_as, part.amount) for part in charges.parts]
    lines += [ChargeLine("cores", part.core) for part in charges.parts]
    lines += [ChargeLine("sublet", amount) for amount in charges.sublet.values()]
    lines += [
        ChargeLine(saving.charge, -saving.amount, of_labour=saving.charge == "labour") for saving in charges.savings
    ]
    lines.append(ChargeLine("supplies", charges.supplies))
    lines += [ChargeLine("fees", fee.amount, fee.key if fee.fee else "") for fee in charges.fees]
    lines += [ChargeLine("freight", amount) for amount in charges.freight.values()]
    lines += [ChargeLine("inspection", inspection), ChargeLine("inspection", credit)]
    return [line for line in lines if line.amount]


def upgrade_labour(charges: Charges, shares: Iterable[Share]) -> Decimal:
    """Labour shares of the items whose remedy is an upgrade."""
    upgrades = upgrade_items(charges.work.items)
    return sum((share.labour for share in shares if share.item in upgrades), ZERO)


def taxes_on(basis: Basis, lines: Sequence[ChargeLine], upgrade: Decimal) -> tuple[TaxLine, ...]:
    """Each tax with a base, in the order of the sheet."""
    found = []
    for tax, rows in taxes_in_force(basis).items():
        line = tax_on(basis, tax, rows, split_upgrade(lines, upgrade, rows, basis.digits))
        if line is not None:
            found.append(line)
    return tuple(found)


def tax_on(basis: Basis, tax: str, rows: Sequence[Tax], lines: Iterable[ChargeLine]) -> TaxLine | None:
    """One tax on its taxable lines, by the shop's rounding; None where it has no base."""
    rated = [(line.amount, rate_on(rows, line)) for line in lines]
    taxable = [(amount, rate) for amount, rate in rated if rate]
    base = sum((amount for amount, _ in taxable), ZERO)
    if base <= 0:
        return None
    if basis.book.settings.tax_rounding == "line":
        amount = sum((round_to(rate * amount, basis.digits) for amount, rate in taxable), ZERO)
    else:
        amount = round_to(sum((rate * amount for amount, rate in taxable), ZERO), basis.digits)
    return TaxLine(tax=tax, base=base, amount=max(amount, round_to(ZERO, basis.digits)))


def rate_on(rows: Sequence[Tax], line: ChargeLine) -> Decimal:
    """The rate of a line: the most particular row wins; zero where no row charges it."""
    for word in (line.fee, line.charge, "all"):
        for row in rows:
            if word and word in row.charges:
                return row.rate
    return ZERO


def split_upgrade(
    lines: Sequence[ChargeLine], upgrade: Decimal, rows: Iterable[Tax], digits: int
) -> Sequence[ChargeLine]:
    """Part of each labour line as upgrade labour, in proportion, where this tax has such a row."""
    if not any(UPGRADE in row.charges for row in rows):
        return lines
    charged = [line.amount for line in lines if line.of_labour and line.amount > 0]
    whole = sum(charged, ZERO)
    upgrade = min(upgrade, whole)
    parts = iter(allocate(upgrade, charged, digits))
    split: list[ChargeLine] = []
    for line in lines:
        if not line.of_labour:
            split.append(line)
            continue
        part = next(parts) if line.amount > 0 else allocate(line.amount, [whole - upgrade, upgrade], digits)[1]
        split += [ChargeLine("labour", line.amount - part), ChargeLine(UPGRADE, part)]
    return split


def tax_total(lines: Iterable[TaxLine]) -> Decimal:
    """All taxes together."""
    return sum((line.amount for line in lines), ZERO)


def _applies(basis: Basis, row: Tax) -> bool:
    job = basis.job
    return (
        (row.in_force_from is None or row.in_force_from <= job.quote_date)
        and (row.in_force_to is None or job.quote_date <= row.in_force_to)
        and (not row.machines or job.machine_class.casefold() in {code.casefold() for code in row.machines})
        and (not row.customer_class or row.customer_class.casefold() == job.customer_class.casefold())
    )


def untouched_charges(rows: Mapping[str, Sequence[Tax]], charges: Sequence[str]) -> dict[str, list[str]]:
    """For each tax, the standard charges that no row of it touches."""
    return {
        tax: [word for word in charges if not any(word in row.charges or "all" in row.charges for row in of_tax)]
        for tax, of_tax in rows.items()
    }
