"""Money of a tier in its fixed order, each line with price, cost and margin (DESIGN.md 5.5)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.costing_sources import part_of, rate_of, short_place, supplier_name, where
from quotekit.documents.costing_style import amount, head, in_words, note, quantity, section
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Cell, Row, blank, row, text
from quotekit.model.quote import MoneyLine, PricedTier, Quote
from quotekit.money import allocate, minor_digits

COLUMNS = 10
ZERO = Decimal(0)


def lay_out_money(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    """Every line, the work, the subtotal, taxes, and what is to pay."""
    yield from section(f"Price, cost and margin ({quote.currency})", COLUMNS)
    yield head(("Line", 2), "Quantity", "Unit price", "Price", "Cost", "Margin", ("Cells", 3), right=range(1, 6))
    yield from _labour(quote, tier)
    yield from _parts(quote, tier)
    yield from _named(quote, sublet_of(quote, tier), "Sublet cost")
    yield from _named(quote, tier.saving_lines, "Value")
    yield from _supplies(quote, tier)
    yield from _named(quote, tier.fee_lines, "Amount")
    yield from _freight(quote, tier)
    yield _total("Work", tier.work, None)
    yield from _inspection(quote, tier)
    yield _total("Subtotal", tier.subtotal, tier.cost.total, tier.margin, known=True)
    yield from _taxes(quote, tier)
    yield from _to_pay(quote, tier)


def _line(
    name: str, count: Cell, price: Cell, charged: Decimal, cost: Decimal | None, cell: str, known: bool = True
) -> Row:
    """A line of the table; a cost that is not known leaves its margin unknown too."""
    return row(
        text(name, across=2),
        count,
        price,
        amount(charged),
        amount(cost) if known else blank(),
        amount(None if cost is None else charged - cost),
        text(cell, "cell", 3),
    )


def _labour(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    for line in tier.labour_lines:
        rate = rate_of(quote, line.rate)
        cells = [where(rate.source, column, quote) for column in ("Rate per hour", "Cost per hour")] if rate else []
        name = f"Labour, {rate.name or line.rate if rate else line.rate}"
        yield _line(name, quantity(line.billed), amount(line.rate_per_hour), line.amount, line.cost, _joined(cells))
    if tier.minimum_amount or tier.hours.minimum_added:
        source = quote.book.settings.sources.get("Minimum labour hours")
        cell = where(source, "Value", quote) if source else ""
        added = quantity(tier.hours.minimum_added)
        yield _line("Labour, up to the minimum", added, blank(), tier.minimum_amount, ZERO, cell)


def _parts(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    for line in tier.part_lines:
        part = part_of(quote, line.part)
        cell = where(part.source, "Pack cost", quote) if part else _one_off_cell(quote, line.part)
        name = f"{line.name} ({line.part}){', the customer’s own' if line.own else ''}"
        cost = ZERO if line.own else line.cost
        yield _line(name, quantity(line.quantity), amount(line.unit_price), line.amount, cost, cell)
    for line in tier.part_lines:
        if line.core_charge:
            part = part_of(quote, line.part)
            cell = where(part.source, "Core charge", quote) if part else ""
            count = quantity(line.quantity)
            yield _line(f"Core charge, {line.name}", count, blank(), line.core_charge, line.core_charge, cell)


def _named(quote: Quote, lines: tuple[MoneyLine, ...], column: str) -> Iterator[Row]:
    for line in lines:
        count = quantity(line.quantity) if line.quantity != 1 else blank()
        cost = line.cost if column == "Sublet cost" else line.cost or ZERO
        yield _line(_name_of(line), count, blank(), line.amount, cost, _cell_of(quote, line.key, column))


def sublet_of(quote: Quote, tier: PricedTier) -> tuple[MoneyLine, ...]:
    """Work sent out, its cost split so that the lines shown add up to the rounded whole."""
    costs = [line.cost for line in tier.sublet_lines if line.cost is not None]
    if tier.cost.sublet is None or len(costs) < len(tier.sublet_lines):
        return tier.sublet_lines
    shown = allocate(tier.cost.sublet, costs, minor_digits(quote.currency))
    return tuple(replace(line, cost=cost) for line, cost in zip(tier.sublet_lines, shown, strict=True))


def _name_of(line: MoneyLine) -> str:
    """A line's name; which charge a discount lowers, and that a bundle takes hours rather than money."""
    of_key = {"DISCOUNT-LABOUR": ", on labour", "DISCOUNT-PARTS": ", on parts"}
    return f"{line.name}{of_key.get(line.key, ', hours off' if line.wording == 'hours off' else '')}"


def _cell_of(quote: Quote, key: str, column: str) -> str:
    """The cell of a sublet, saving, fee or one-off line, by its key."""
    code = key.partition("@")[0]
    if code.startswith("DISCOUNT-"):
        source = quote.job.sources.get("Discount percent")
        return short_place(source.place("Value"), quote) if source else ""
    book = quote.book
    found = book.operations.get(code) if column == "Sublet cost" else None
    source = found.source if found else None
    if column == "Value" and code in book.bundles:
        source = book.bundles[code].source
    if column == "Amount" and code in book.fees:
        source = book.fees[code].source
    return where(source, column, quote) if source else _one_off_cell(quote, code)


def _one_off_cell(quote: Quote, code: str) -> str:
    own = next((one for one in quote.job.one_off if one.code == code), None)
    if own is None:
        return ""
    return where(own.source, "Unit price" if own.unit_price is not None else "Unit cost", quote)


def _supplies(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    settings = quote.book.settings
    if not tier.amounts.supplies and not settings.supplies_percent_of_labour:
        return
    cap = "" if settings.supplies_cap is None else f", at most {in_words(settings.supplies_cap, quote)}"
    name = f"Supplies, {plain(settings.supplies_percent_of_labour * 100)} % of labour{cap}"
    source = settings.sources.get("Supplies percent of labour")
    cell = where(source, "Value", quote) if source else ""
    yield _line(name, blank(), blank(), tier.amounts.supplies, ZERO, cell)


def _freight(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    listed = ZERO
    for line in tier.freight_lines:
        listed += line.cost or ZERO
        if not line.amount and not line.cost:
            continue
        supplier = (quote.book.suppliers or {}).get(line.key)
        cell = where(supplier.source, "Freight", quote) if supplier else ""
        yield _line(
            f"Freight, {supplier_name(quote, line.key)}", blank(), blank(), line.amount, line.cost or ZERO, cell
        )
    rest = tier.cost.freight - listed
    if rest:
        yield _line("Freight of these packs, not charged", blank(), blank(), ZERO, rest, "")


def _inspection(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    own = quote.job.sources.get("Inspection fee") if quote.job.inspection_fee is not None else None
    source = own or quote.book.settings.sources.get("Inspection fee")
    cell = where(source, "Value", quote) if source else ""
    if tier.amounts.inspection:
        yield _line("Inspection fee", blank(), blank(), tier.amounts.inspection, ZERO, cell)
    if tier.amounts.inspection_credit:
        rule = quote.book.settings.sources.get("Inspection fee credited")
        cell = where(rule, "Value", quote) if rule else ""
        yield _line("Inspection fee credited", blank(), blank(), tier.amounts.inspection_credit, ZERO, cell)


def _taxes(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    for line in tier.taxes:
        rows = [tax for tax in quote.book.taxes if tax.tax == line.tax]
        words = f"{line.tax}, on {in_words(line.base, quote)}"
        cell = _joined([where(tax.source, "Rate", quote) for tax in rows])
        yield row(text(words, across=4), amount(line.amount), blank(across=2), text(cell, "cell", 3))
    if not tier.taxes:
        yield note("No tax applies.", COLUMNS)


def _to_pay(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    yield row(text("Total to pay", "grand", 4), amount(tier.total, "grand money"), blank("grand", 5))
    paid = quote.job.paid_so_far
    if paid:
        yield row(text("Paid so far", across=4), amount(-paid), blank(across=5))
    yield row(text("Due", "strong", 4), amount(tier.due), blank(across=5))
    settings = quote.book.settings
    words = (
        f"{plain(settings.deposit_on_ordered_parts * 100)} % of ordered parts, "
        f"{plain(settings.deposit_on_non_returnable_parts * 100)} % where they can't go back"
    )
    yield row(text("Deposit when work is agreed", across=4), amount(tier.deposit), text(words, "aside", 5))
    yield row(text("Cash to spend on parts, whole packs", across=4), amount(tier.cash_for_parts), blank(across=5))
    yield _limit(quote, tier)


def _limit(quote: Quote, tier: PricedTier) -> Row:
    limit = quote.job.spending_limit
    if limit is None:
        return row(text("The customer named no spending limit", across=4), blank(across=6))
    rest = limit - tier.total
    words = "Below the spending limit by" if rest >= 0 else "Over the spending limit by"
    return row(text(words, across=4), amount(abs(rest)), blank(across=5))


def _total(name: str, value: Decimal, cost: Decimal | None, margin: Decimal | None = None, known: bool = False) -> Row:
    cost_cells = (amount(cost, "sum money"), amount(margin, "sum money")) if known else (blank("sum"), blank("sum"))
    return row(text(name, "sum", 4), amount(value, "sum money"), *cost_cells, blank("sum", 3))


def _joined(cells: list[str]) -> str:
    return ", ".join(dict.fromkeys(cell for cell in cells if cell))
