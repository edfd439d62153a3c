"""Taxes of a bill: by the rows in force on its day, on its own lines; a line that gives back gives back its tax.

Prices are frozen as agreed, taxes are not: they are due at the rates in force when the work is billed. The rows are
those of the frozen book, or those of another book where the law changed since. Under the same rows all bills together
bear the tax of all their lines together: a later bill bears what the earlier ones do not, so that no rounding passes
what was agreed. Where the rows changed, a later bill is taxed on what it adds; what it gives back gives back the tax
that was charged on it, at the rates of the bill before and no more than that.
Both roundings are those of a quote (DESIGN.md 5.5 and 5.9); a tax whose lines come to less than nothing is given back.
Units: money, rates as fractions. Source: a core charge is taxed, and refunded with its tax (Minnesota, as read in
2026); rounding by the Streamlined Sales and Use Tax Agreement, section 324.

Worked example: an old starter with a core charge of 30.00 comes back after the bill, cores taxed 6.5 %: -30.00 and a
tax of -1.95. A bill of 120.08 at 6.5 % bore 7.81; 10.08 is added: all is 130.16, its tax 8.46, so 0.65 is left.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from quotekit.model.entries import Billed, BillLine
from quotekit.model.quote import TaxLine
from quotekit.model.shop_book import Tax
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bill.lines import as_taxed, charge_key
from quotekit.pricing.taxes import ChargeLine, split_upgrade, tax_on, taxes_in_force


def taxed_on(basis: Basis, day: date, rows: tuple[Tax, ...] | None) -> Basis:
    """The job with the tax rows of a day; for taxes only, since prices stay those of the quote date."""
    book = basis.book if rows is None else replace(basis.book, taxes=rows)
    return Basis(book=book, job=replace(basis.job, quote_date=day))


def taxes_of_bill(basis: Basis, lines: Iterable[BillLine], upgrade: Decimal) -> tuple[TaxLine, ...]:
    """Each tax that the lines bring or give back, in the order of the sheet."""
    charged = [line for line in _left(lines) if line.amount]
    found = []
    for tax, rows in taxes_in_force(basis).items():
        line = _one_tax(basis, tax, rows, charged, upgrade) or _given_back(basis, tax, rows, charged, upgrade)
        if line is not None:
            found.append(line)
    return tuple(found)


def taxes_since(
    now: Basis, then: Basis, before: Sequence[Billed], lines: Sequence[BillLine], upgrade: Decimal
) -> tuple[TaxLine, ...]:
    """Taxes of a later bill: what is new at the rates of now, what is given back at those of then, as it was charged.

    No more of a tax is given back than earlier bills charged of it.
    """
    charged = _charged(before)
    if taxes_in_force(now) == taxes_in_force(then):
        rest = _rest(now, before, lines, upgrade)
        return rest if rest is not None else _together((), _at_most(taxes_of_bill(now, lines, upgrade), charged))
    left = {line.key: line.amount for line in _netted(lines)}
    new, back = ([line for line in _netted(lines) if (left[line.key] > 0) is is_new] for is_new in (True, False))
    return _together(
        taxes_of_bill(now, new, max(upgrade, ZERO)),
        _at_most(taxes_of_bill(then, back, min(upgrade, ZERO)), charged),
    )


def _charged(before: Iterable[Billed]) -> dict[str, TaxLine]:
    """Each tax of earlier bills, added up."""
    taxes = (TaxLine(tax=tax, base=base, amount=amount) for bill in before for tax, base, amount in bill.taxes)
    return {line.tax: line for line in _together(taxes, ())}


def _rest(
    basis: Basis, before: Sequence[Billed], lines: Sequence[BillLine], upgrade: Decimal
) -> tuple[TaxLine, ...] | None:
    """The tax of all lines of all bills, less what was charged; None where earlier bills were taxed otherwise."""
    charged = _charged(before)
    billed = [line for bill in before for line in bill.lines]
    upgrade_before = sum((bill.upgrade_labour for bill in before), ZERO)
    so_far = _together(taxes_of_bill(basis, billed, upgrade_before), ())
    if {line.tax: line.amount for line in so_far} != {tax: line.amount for tax, line in charged.items()}:
        return None
    every = taxes_of_bill(basis, [*billed, *lines], upgrade_before + upgrade)
    less = [TaxLine(tax=line.tax, base=ZERO - line.base, amount=ZERO - line.amount) for line in charged.values()]
    return _together(every, less)


def _netted(lines: Iterable[BillLine]) -> list[BillLine]:
    """One line a charge, with what is taken off it."""
    found: dict[str, BillLine] = {}
    for line in lines:
        key = charge_key(line)
        known = found.get(key)
        found[key] = replace(line, key=key, amount=line.amount + (known.amount if known else ZERO))
    return list(found.values())


def _at_most(taxes: Iterable[TaxLine], charged: Mapping[str, TaxLine]) -> list[TaxLine]:
    """Taxes that are given back only as far as they were charged."""
    back = {line.tax: line.amount for line in charged.values()}
    return [replace(line, amount=max(line.amount, ZERO - back.get(line.tax, ZERO))) for line in taxes]


def _together(new: Iterable[TaxLine], back: Iterable[TaxLine]) -> tuple[TaxLine, ...]:
    found: dict[str, TaxLine] = {}
    for line in (*new, *back):
        known = found.get(line.tax)
        sums = (line.base, line.amount) if known is None else (known.base + line.base, known.amount + line.amount)
        found[line.tax] = TaxLine(tax=line.tax, base=sums[0], amount=sums[1])
    return tuple(line for line in found.values() if line.amount or line.base > 0)


def _left(lines: Iterable[BillLine]) -> list[ChargeLine]:
    """Each charge with what is taken off it."""
    found: dict[str, ChargeLine] = {}
    for line in lines:
        key, taxed = charge_key(line), as_taxed(line)
        known = found.get(key)
        found[key] = taxed if known is None else taxed._replace(amount=known.amount + taxed.amount)
    return list(found.values())


def _one_tax(basis: Basis, tax: str, rows: list[Tax], lines: list[ChargeLine], upgrade: Decimal) -> TaxLine | None:
    if not any(line.of_labour and line.amount > 0 for line in lines):
        return tax_on(basis, tax, rows, lines)
    return tax_on(basis, tax, rows, split_upgrade(lines, max(upgrade, ZERO), rows, basis.digits))


def _given_back(basis: Basis, tax: str, rows: list[Tax], lines: list[ChargeLine], upgrade: Decimal) -> TaxLine | None:
    """The tax on lines that come to less than nothing: negative."""
    turned = [line._replace(amount=ZERO - line.amount) for line in lines]
    line = _one_tax(basis, tax, rows, turned, ZERO - upgrade)
    return None if line is None else TaxLine(tax=tax, base=ZERO - line.base, amount=ZERO - line.amount)
