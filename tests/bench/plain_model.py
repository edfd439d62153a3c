"""A job as a shop would put it in a spreadsheet of its own: plain formulas over its prices and times, a sheet a tier.

Codes, quantities, which work is done, fees, freight and savings are typed, as whoever fills in such a sheet decides
them by hand; the price of a part, hours, labour, supplies, taxes and the total are formulas. So it does less than the
engine: no choice of remedies, no work shared by rule, no packs, nothing beside the option.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.basis import ZERO
from quotekit.pricing.charges import Charges
from quotekit.pricing.setup import Setup, set_up
from quotekit.pricing.taxes import ChargeLine, rate_on, taxes_in_force, taxes_upgrade_labour
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from quotekit.pricing.totals import inspection_credit, inspection_fee, totals_of

TOTALS = "Totals"


class Repriced:
    """The same tiers priced by the engine, with what each takes held as it was chosen."""

    def __init__(self, book: ShopBook, job: Job) -> None:
        self.book, self.job = book, job
        with localcontext(EXACT):
            self.setup = set_up(book, job)
            worked = [tier for tier in work_out_tiers(self.setup) if isinstance(tier, WorkedTier)]
        assert not taxes_upgrade_labour(self.setup.basis), "upgrade labour taxed apart is not in the plain model"
        self.tiers = {tier.tier.code: tier for tier in worked}

    def totals(self) -> list[Decimal]:
        """Each tier's total to pay, priced anew from its items."""
        with localcontext(EXACT):
            return _totals(self.setup, self.tiers.values())

    def totals_at(self, part: str, pack_cost: Decimal) -> list[Decimal]:
        """The same once a part costs something else: everything that hangs on the book is worked out anew."""
        changed = replace(self.book.parts[part], pack_cost=pack_cost)
        with localcontext(EXACT):
            setup = set_up(replace(self.book, parts={**self.book.parts, part: changed}), self.job)
            return _totals(setup, self.tiers.values())

    def part_of_all(self) -> str:
        """A part that every tier uses and whose price is its cost with a markup."""
        used = [{line.code for line in tier.charges.parts if line.part is not None} for tier in self.tiers.values()]
        parts = self.book.parts
        free = [code for code in sorted(set.intersection(*used)) if parts[code].fixed_price_each is None]
        return next(code for code in free if parts[code].list_price_each is None)


def _totals(setup: Setup, tiers: Any) -> list[Decimal]:
    return [totals_of(setup.basis, setup.price(tier.items), ZERO).total for tier in tiers]


class _Sheet:
    """A sheet that grows by rows; each row's number is given back."""

    def __init__(self, workbook: Any, name: str) -> None:
        self.sheet, self.rows, self.name = workbook.add_worksheet(name), 0, name

    def add(self, *cells: object) -> int:
        """A row; a text that begins with = is a formula, R in it the row's own number."""
        self.rows += 1
        for column, cell in enumerate(cells):
            if isinstance(cell, str) and cell.startswith("="):
                self.sheet.write_formula(self.rows - 1, column, cell.replace("{R}", str(self.rows)))
            elif isinstance(cell, str):
                self.sheet.write_string(self.rows - 1, column, cell)
            elif cell is not None:
                self.sheet.write_number(self.rows - 1, column, float(cell))  # type: ignore[arg-type]
        return self.rows


def write_plain_model(repriced: Repriced, path: Path) -> tuple[str, list[str]]:
    """The workbook; the address of the cost that `part_of_all` has, and of each tier's total."""
    import xlsxwriter

    book = repriced.book
    workbook = xlsxwriter.Workbook(str(path))
    totals, parts, markup, work = (_Sheet(workbook, name) for name in (TOTALS, "Parts", "Markup", "Work"))
    costs = {
        part.code: parts.add(part.code, part.pack_quantity, part.pack_cost, part.list_price_each, part.fixed_price_each)
        for part in book.parts.values()
    }
    for band in book.markup:
        above = markup.rows
        top = f"=MAX(D{above},B{above}*(1+C{above}))" if above else "=0"
        markup.add(band.cost_over, band.cost_up_to, band.markup, top)
    for operation in book.operations.values():
        work.add(operation.code, operation.net_hours, operation.second_side_hours)
    for step in book.access.values():
        work.add(f"open {step.code}", None, None, step.hours_to_open, step.hours_to_close)
        work.sheet.write_formula(work.rows - 1, 1, f"=D{work.rows}+E{work.rows}")
    wanted = []
    for code, tier in repriced.tiers.items():
        sheet = _Sheet(workbook, code)
        total = _tier(repriced.setup, tier.charges, sheet, (parts.rows, markup.rows, work.rows))
        row = totals.add(code, f"='{code}'!B{total}")
        wanted.append(f"{TOTALS}!B{row}")
    workbook.close()
    return f"Parts!C{costs[repriced.part_of_all()]}", wanted


def _tier(setup: Setup, charges: Charges, sheet: _Sheet, sizes: tuple[int, int, int]) -> int:
    """One tier's sheet; the row of its total."""
    _parts(setup, charges, sheet, sizes)
    _labour(setup, charges, sheet, sizes[2])
    flags = _flags(setup)
    settings, basis = setup.basis.book.settings, setup.basis
    cap = 10**9 if settings.supplies_cap is None else settings.supplies_cap
    percent = settings.supplies_percent_of_labour if settings.supplies_shown_as == "amount" else ZERO
    labour = f'SUMIF(A$1:A{sheet.rows},"labour",E$1:E{sheet.rows})'
    sheet.add("supplies", None, None, None, f"=MIN({cap},ROUND({percent}*{labour},2))", *flags("supplies", ""))
    for fee in charges.fees:
        sheet.add("fee", None, None, None, fee.amount, *flags("fees", fee.key if fee.fee else ""))
    for amount in charges.freight.values():
        sheet.add("freight", None, None, None, amount, *flags("freight", ""))
    for saving in charges.savings:
        sheet.add("saving", None, None, None, -saving.amount, *flags(saving.charge, ""))
    fee = inspection_fee(basis)
    for amount in (fee, inspection_credit(basis, fee, charges.total)):
        sheet.add("inspection", None, None, None, amount, *flags("inspection", ""))
    last = sheet.rows
    subtotal = sheet.add("subtotal", f"=ROUND(SUM(E1:E{last})*100,0)/100")
    taxes = [
        sheet.add("tax", f"=ROUND(SUMPRODUCT(E$1:E${last},{column}$1:{column}${last}),2)")
        for column, _ in zip("FGHIJ", taxes_in_force(basis), strict=False)
    ]
    return sheet.add("total", "=" + "+".join(f"B{row}" for row in [subtotal, *taxes]))


def _parts(setup: Setup, charges: Charges, sheet: _Sheet, sizes: tuple[int, int, int]) -> None:
    def of_part(column: str) -> str:
        return f"INDEX(Parts!${column}$1:${column}${sizes[0]},MATCH(A{{R}},Parts!$A$1:$A${sizes[0]},0))"

    def of_band(column: str) -> str:
        return f"INDEX(Markup!${column}$1:${column}${sizes[1]},MATCH(C{{R}},Markup!$A$1:$A${sizes[1]},1))"

    flags = _flags(setup)
    for line in charges.parts:
        assert line.part is not None and not line.own and not line.core, line.code
        marked = f"MAX(C{{R}}*(1+{of_band('C')}),{of_band('D')})"
        capped = f"MAX(C{{R}},MIN({marked},IF({of_part('D')}=0,1000000000,{of_part('D')})))"
        price = f"=ROUND(IF({of_part('E')}=0,{capped},{of_part('E')}),2)"
        cost, amount = f"={of_part('C')}/{of_part('B')}", "=ROUND(B{R}*D{R},2)"
        sheet.add(line.code, line.quantity, cost, price, amount, *flags(line.taxed_as, ""))


def _labour(setup: Setup, charges: Charges, sheet: _Sheet, work: int) -> None:
    basis, condition, flags = setup.basis, setup.basis.condition, _flags(setup)
    first, firsts = sheet.rows + 1, set()
    for key in sorted(charges.work.present):
        op = basis.op_named(key)
        column = "C" if op.code in firsts and op.operation and op.operation.second_side_hours is not None else "B"
        firsts.add(op.code)
        hours = f"=INDEX(Work!${column}$1:${column}${work},MATCH(A{{R}},Work!$A$1:$A${work},0))"
        sheet.add(op.code, hours, op.rate, int(op.slowed))
    for key in charges.work.steps:
        step = basis.step_named(key)
        hours = f"=INDEX(Work!$B$1:$B${work},MATCH(A{{R}},Work!$A$1:$A${work},0))"
        sheet.add(f"open {key.split('@')[0]}", hours, step.rate, 0)
    last = sheet.rows
    percent, limit = (condition.allowance, condition.at_most_hours) if condition else (ZERO, None)
    slowed = sheet.add("slowed", f"=SUMIF(D{first}:D{last},1,B{first}:B{last})")
    allowed = sheet.add("allowance", f"=MIN({10**9 if limit is None else limit},{percent}*B{slowed})")
    step, billed = setup.basis.book.settings.hours_step, []
    for rate in charges.labour:
        mine = f'SUMIFS(B{first}:B{last},C{first}:C{last},"{rate}"'
        hours = f"{mine})+IF(B{slowed}=0,0,B{allowed}*{mine},D{first}:D{last},1)/B{slowed})"
        per_hour = basis.rates[rate].rate_per_hour
        rounded = f"=ROUNDUP(ROUND(({hours})/{step},6),0)*{step}"
        row = sheet.add("labour", rounded, per_hour, None, "=ROUND(B{R}*C{R},2)", *flags("labour", ""))
        billed.append(f"B{row}")
    missing = f"=MAX(0,{setup.basis.book.settings.minimum_labour_hours}-({'+'.join(billed)}))"
    per_hour = basis.rates[basis.default_rate].rate_per_hour
    sheet.add("labour", missing, per_hour, None, "=ROUND(B{R}*C{R},2)", *flags("labour", ""))


def _flags(setup: Setup) -> Callable[[str, str], Sequence[Decimal]]:
    """For a charge the rate of each tax in force on it."""
    taxes: Mapping[str, Any] = taxes_in_force(setup.basis)
    assert setup.basis.book.settings.tax_rounding == "invoice", "taxes rounded by line are not in the plain model"
    return lambda charge, fee: [rate_on(rows, ChargeLine(charge, Decimal(1), fee)) for rows in taxes.values()]
