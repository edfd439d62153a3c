"""The money of each option, in the order it is added up, and what a no costs beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from quotekit.documents.customer_grid import Grid, label_cell
from quotekit.documents.money_text import money_text, number_text
from quotekit.documents.sheet import Cell, Row, blank, money, text
from quotekit.documents.wording import NONE, at_side_words, spelled
from quotekit.model.quote import MoneyLine, PricedTier, Quote

Amount = Callable[[PricedTier], Decimal | None]


def total_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Taxes, the total to pay and what is still due."""
    if quote.book.settings.prices_shown == "with tax":
        yield from _total_row(quote, grid)
        yield from _subtotal_row(quote, grid, "Of which before tax")
        yield from _tax_rows(quote, grid, "Of which ")
    else:
        yield from _subtotal_row(quote, grid, "Subtotal before tax")
        yield from _tax_rows(quote, grid, "")
        yield from _total_row(quote, grid)
    yield from _due_rows(quote, grid)


def labour_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Labour: opening and closing apart from the work, or each repair's share."""
    sums = [money(tier.amounts.labour, "section sum") for tier in quote.offered]
    title = spelled("Labour", quote.book.settings.language)
    yield from grid.titled(title, (*sums, blank("section sum")))
    if quote.book.settings.labour_shown == "by repair":
        yield from _labour_by_repair(quote, grid)
    else:
        yield from _amounts("Opening and closing", lambda tier: tier.opening_amount, None, quote, grid)
        yield from _amounts("Work", lambda tier: tier.amounts.labour - tier.opening_amount, None, quote, grid)
    if quote.book.settings.show_hours:
        yield from _hour_rows(quote, grid)
    label = "Of which to reach the minimum charge"
    yield from _amounts(label, lambda tier: tier.minimum_amount or None, None, quote, grid)
    if quote.book.settings.labour_shown == "by repair":
        yield from _amounts("Of which opening and closing", lambda tier: tier.opening_amount, None, quote, grid)


def _labour_by_repair(quote: Quote, grid: Grid) -> Iterator[Row]:
    names = {
        item.key: at_side_words(item.wording or item.name, item.side) for tier in quote.offered for item in tier.items
    }
    for key, name in names.items():
        yield from _amounts(name, _share_of(key), None, quote, grid)
    yield from _amounts("Not for one repair alone", _unshared, None, quote, grid)


def _share_of(key: str) -> Amount:
    return lambda tier: next((share.labour for share in tier.shares if share.item == key), None)


def _unshared(tier: PricedTier) -> Decimal | None:
    rest = tier.amounts.labour - sum((share.labour for share in tier.shares), Decimal(0))
    return rest or None


def _hour_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    names = {rate.code: rate.name or rate.code for rate in quote.book.labour_rates}
    rates = dict.fromkeys(rate for tier in quote.offered for rate in tier.hours.billed)
    for rate in rates:
        name = f"Hours charged, {names.get(rate, rate)}" if len(rates) > 1 else "Hours charged"
        cells = [_hours(tier.hours.billed.get(rate)) for tier in quote.offered]
        yield from grid.line(name, (*cells, blank("answer")))


def _hours(hours: Decimal | None) -> Cell:
    return text(NONE, "answer") if hours is None else Cell(content=hours, kind="hours", style="answer")


def charge_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    """Outside work, savings and every charge that is neither labour nor parts."""
    declined = quote.declined
    rows = [
        *_named("Outside work: ", lambda tier: tier.sublet_lines, quote, grid),
        *_named("", lambda tier: tier.saving_lines, quote, grid, label=_saving_label(quote)),
        *_amounts("Shop supplies", lambda tier: tier.amounts.supplies or None, None, quote, grid),
        *_named("", lambda tier: tier.fee_lines, quote, grid),
        *_amounts("Freight for parts", lambda tier: tier.amounts.freight or None, None, quote, grid),
        *_amounts("Core charges, for old parts you keep", lambda tier: tier.amounts.cores or None, None, quote, grid),
        *_amounts("Inspection", lambda tier: tier.amounts.inspection or None, declined.inspection, quote, grid),
        *_amounts("Inspection credited", lambda tier: tier.amounts.inspection_credit or None, None, quote, grid),
        *_amounts("Putting it back together", lambda tier: None, declined.reassembly, quote, grid),
    ]
    if rows:
        sums = [
            money(tier.subtotal - tier.amounts.parts - tier.amounts.labour, "section sum") for tier in quote.offered
        ]
        yield from grid.titled("Savings and other charges", (*sums, _no_sum(_before_tax(quote), "section sum")))
        yield from rows


def _before_tax(quote: Quote) -> Decimal:
    """What a no costs, before tax."""
    return quote.declined.inspection + quote.declined.reassembly


def _no_sum(amount: Decimal, style: str) -> Cell:
    return money(amount, style) if amount else blank(style)


def _saving_label(quote: Quote) -> Callable[[MoneyLine], str]:
    reason = f" ({quote.job.discount_reason})" if quote.job.discount_reason else ""
    labour = spelled("labour", quote.book.settings.language)
    known = {"DISCOUNT-LABOUR": f"Discount on {labour}{reason}", "DISCOUNT-PARTS": f"Discount on parts{reason}"}

    def label(line: MoneyLine) -> str:
        if line.key in known:
            return known[line.key]
        if line.amount == 0:
            return f"Together: {line.name} (fewer hours, already in {labour})"
        return f"Together: less, {line.name}"

    return label


def _named(
    before: str,
    lines: Callable[[PricedTier], tuple[MoneyLine, ...]],
    quote: Quote,
    grid: Grid,
    label: Callable[[MoneyLine], str] | None = None,
) -> Iterator[Row]:
    """One row for each name among the options' lines, each option's amount of it."""
    name = label or (lambda line: f"{before}{_charge_words(line, quote)}")
    names = dict.fromkeys((line.key, name(line)) for tier in quote.offered for line in lines(tier))

    def amount_of(wanted: tuple[str, str]) -> Amount:
        def amount(tier: PricedTier) -> Decimal | None:
            found = [line.amount for line in lines(tier) if (line.key, name(line)) == wanted]
            return sum(found, Decimal(0)) if found else None

        return amount

    for wanted in names:
        yield from _amounts(wanted[1], amount_of(wanted), None, quote, grid)


def _charge_words(line: MoneyLine, quote: Quote) -> str:
    """A charge by name, with its quantity and what the shop says of it."""
    unit = f" {line.unit}" if line.unit else ""
    times = f", {number_text(line.quantity, quote.book.settings.language)}{unit}" if line.quantity != 1 else ""
    said = f": {line.wording}" if line.wording and line.wording != line.name else ""
    return f"{line.name}{times}{said}"


def _subtotal_row(quote: Quote, grid: Grid, label: str) -> Iterator[Row]:
    yield grid.gap()
    sums = [money(tier.subtotal, "subtotal") for tier in quote.offered]
    yield from grid.line(label, (*sums, money(_before_tax(quote), "subtotal")), "subtotal label", keep=True)


def _tax_rows(quote: Quote, grid: Grid, before: str) -> Iterator[Row]:
    names = list(dict.fromkeys(tax.tax for tier in quote.offered for tax in tier.taxes))
    for name in names:
        alone = quote.declined.tax if len(names) == 1 else None
        yield from _amounts(f"{before}{name}{_base(name, quote)}", _tax(name), alone, quote, grid, keep=True)
    if quote.declined.tax and len(names) != 1:
        yield from _amounts("Taxes together", lambda tier: tier.tax, quote.declined.tax, quote, grid, keep=True)


def _base(name: str, quote: Quote) -> str:
    """What a tax is charged on, where that is not the subtotal."""
    bases = [next((tax.base for tax in tier.taxes if tax.tax == name), None) for tier in quote.offered]
    if all(base in (None, tier.subtotal) for base, tier in zip(bases, quote.offered, strict=True)):
        return ""
    language, currency = quote.book.settings.language, quote.currency
    said = [NONE if base is None else money_text(base, currency, language) for base in bases]
    return f", charged on {'; '.join(dict.fromkeys(said))}"


def _tax(name: str) -> Amount:
    return lambda tier: next((tax.amount for tax in tier.taxes if tax.tax == name), None)


def _total_row(quote: Quote, grid: Grid) -> Iterator[Row]:
    label = "TOTAL TO PAY, tax included" if quote.book.settings.prices_shown == "with tax" else "TOTAL TO PAY"
    cells = [money(tier.total, "total") for tier in quote.offered]
    yield grid.fit(label_cell(label, "total label"), *cells, money(quote.declined.total, "total"), keep=True)


def _due_rows(quote: Quote, grid: Grid) -> Iterator[Row]:
    paid, no = quote.job.paid_so_far, quote.declined.total
    if paid:
        yield from _amounts("Paid so far", lambda tier: paid, paid, quote, grid, keep=True)
        below = min([no - paid, *(tier.due for tier in quote.offered)]) < 0
        label = "Still due (below zero: we return it)" if below else "Still due"
        yield from _amounts(label, lambda tier: tier.due, no - paid, quote, grid, keep=True)
    if any(tier.deposit for tier in quote.offered):
        yield from _amounts("Deposit before parts are ordered", lambda tier: tier.deposit, None, quote, grid)


def _amounts(
    label: str, amount: Amount, declined: Decimal | None, quote: Quote, grid: Grid, *, keep: bool = False
) -> Iterator[Row]:
    """A row of amounts; no row where there is none at all."""
    amounts = [amount(tier) for tier in quote.offered]
    if all(value is None for value in amounts) and not declined:
        return
    no = blank("answer") if declined is None else money(declined)
    yield from grid.line(label, (*map(_amount, amounts), no), keep=keep)


def _amount(value: Decimal | None) -> Cell:
    return text(NONE, "answer") if value is None else money(value)
