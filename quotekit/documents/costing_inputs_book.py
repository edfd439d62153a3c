"""Inputs of the shop book that the tiers used: work, parts, suppliers, rates, bands and rules, with their cells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotekit.documents.costing_input_line import InputLine, lines_of_row
from quotekit.documents.costing_sources import part_of, rate_of, supplier_of
from quotekit.model.quote import Quote
from quotekit.model.shop_book import AccessStep, Operation, Part, Remedy, Supplier


def work_inputs(quote: Quote) -> Iterator[InputLine]:
    """Access steps, operations and remedies that any tier holds, in text order of their codes."""
    book = quote.book
    for code in _codes(line.code for tier in quote.tiers for line in tier.access):
        if code in book.access:
            yield from _access(quote, book.access[code])
    for code in _codes(line.code for tier in quote.tiers for line in tier.operations):
        if code in book.operations:
            yield from _operation(quote, book.operations[code])
    for code in _codes(item.code for tier in quote.tiers for item in tier.items):
        if code in book.remedies:
            yield from _remedy(quote, book.remedies[code])
        elif code in book.extras:
            extra = book.extras[code]
            cells = (("Operations", extra.operations), ("Parts", extra.parts), ("Life years", extra.life_years))
            yield from lines_of_row(quote, f"{extra.extra} ({code})", extra.source, cells)


def part_inputs(quote: Quote) -> Iterator[InputLine]:
    """Parts that any tier uses, how many each use takes, and their suppliers."""
    lines = {line.part: line for tier in quote.tiers for line in tier.part_lines}
    for code in sorted(lines):
        part = part_of(quote, code)
        if part is not None:
            yield from _part(quote, part)
    wanted = {code for line in lines.values() for code in (line.part, *line.replaces)}
    users = {line.code for tier in quote.tiers for line in (*tier.operations, *tier.access)}
    users |= {item.code for tier in quote.tiers for item in tier.items}
    for used in quote.book.parts_used:
        if used.part in wanted and used.used_by in users:
            cells = (("Quantity", used.quantity), ("Side", used.sides), ("Machine", used.machines))
            yield from lines_of_row(quote, f"{used.part} used by {used.used_by}", used.source, cells)
    terms = {known.code: known for known in (supplier_of(quote, line) for line in lines.values()) if known}
    for code in sorted(terms):
        yield from _supplier(quote, terms[code])


def rule_inputs(quote: Quote) -> Iterator[InputLine]:
    """Labour rates in force, the condition, markup bands, limits, bundles, fees and taxes."""
    yield from _rates(quote)
    yield from _bands(quote)
    yield from _limits(quote)
    yield from _bundles_and_fees(quote)
    yield from _taxes(quote)
    for tier in quote.book.tiers:
        yield from lines_of_row(quote, f"Tier {tier.code}", tier.source, (("Covers", tier.covers), ("Aim", tier.aim)))


def _access(quote: Quote, step: AccessStep) -> Iterator[InputLine]:
    cells = (
        ("Hours to open", step.hours_to_open),
        ("Hours to close", step.hours_to_close),
        ("Needs", step.needs),
        ("Labour", step.labour),
        ("Parts", step.parts),
    )
    yield from lines_of_row(quote, f"{step.step} ({step.code})", step.source, cells)


def _operation(quote: Quote, operation: Operation) -> Iterator[InputLine]:
    cells = (
        ("Net hours", operation.net_hours),
        ("Second side hours", operation.second_side_hours),
        ("Labour", operation.labour),
        ("Parts", operation.parts),
        ("Access", operation.access),
        ("Includes", operation.includes),
        ("Requires", operation.requires),
        ("Slowed by rust", operation.slowed_by_rust or None),
        ("Sublet cost", operation.sublet_cost),
        ("Sublet days", operation.sublet_days),
    )
    yield from lines_of_row(quote, f"{operation.operation} ({operation.code})", operation.source, cells)


def _remedy(quote: Quote, remedy: Remedy) -> Iterator[InputLine]:
    cells = (
        ("Kind", remedy.kind),
        ("Fixes", remedy.fixes),
        ("Operations", remedy.operations),
        ("Parts", remedy.parts),
        ("Needs fixed", remedy.needs_fixed),
        ("Life years", remedy.life_years),
    )
    yield from lines_of_row(quote, f"{remedy.remedy} ({remedy.code})", remedy.source, cells)


def _part(quote: Quote, part: Part) -> Iterator[InputLine]:
    cells = (
        ("Pack quantity", part.pack_quantity),
        ("Pack cost", part.pack_cost),
        ("List price each", part.list_price_each),
        ("Fixed price each", part.fixed_price_each),
        ("Supplier", part.supplier),
        ("Also needs", part.also_needs),
        ("Contains", part.contains),
        ("Lead days", part.lead_days),
        ("Returnable", None if part.returnable else False),
        ("Core charge", part.core_charge),
        ("Extra freight", part.extra_freight),
        ("Cost date", part.cost_date),
        ("Taxed as", part.taxed_as),
    )
    yield from lines_of_row(quote, f"{part.part} ({part.code})", part.source, cells)


def _supplier(quote: Quote, supplier: Supplier) -> Iterator[InputLine]:
    cells = (
        ("Minimum order", supplier.minimum_order),
        ("Small order fee", supplier.small_order_fee),
        ("Freight", supplier.freight),
        ("Free freight from", supplier.free_freight_from),
        ("Lead days", supplier.lead_days),
        ("Shelf", supplier.shelf or None),
    )
    yield from lines_of_row(quote, f"{supplier.supplier} ({supplier.code})", supplier.source, cells)


def _rates(quote: Quote) -> Iterator[InputLine]:
    for code in _codes(line.rate for tier in quote.tiers for line in tier.labour_lines):
        rate = rate_of(quote, code)
        if rate is not None:
            cells = (
                ("Rate per hour", rate.rate_per_hour),
                ("Cost per hour", rate.cost_per_hour),
                ("In force from", rate.in_force_from),
            )
            yield from lines_of_row(quote, f"Labour rate {code}", rate.source, cells)
    condition = quote.book.conditions.get(quote.job.condition or "")
    if condition is not None:
        values = (("Allowance", condition.allowance), ("At most hours", condition.at_most_hours))
        yield from lines_of_row(quote, f"Condition {condition.code}", condition.source, values, percents=("Allowance",))


def _bands(quote: Quote) -> Iterator[InputLine]:
    for band in quote.book.markup:
        cells = (("Cost over", band.cost_over), ("Cost up to", band.cost_up_to), ("Markup", band.markup))
        yield from lines_of_row(quote, "Markup band", band.source, cells, percents=("Markup",))


def _limits(quote: Quote) -> Iterator[InputLine]:
    found = {finding.code for finding in quote.job.findings}
    for remedy in quote.book.remedies.values():
        if found.isdisjoint(remedy.fixes):
            continue
        for limit in quote.book.limits_of.get(remedy.code, ()):
            cells = (("From", limit.from_), ("To", limit.to))
            yield from lines_of_row(quote, f"{remedy.code} fits only if {limit.finding}", limit.source, cells)


def _bundles_and_fees(quote: Quote) -> Iterator[InputLine]:
    book = quote.book
    for code in _codes(code for tier in quote.tiers for code, _ in tier.bundles):
        if code in book.bundles:
            bundle = book.bundles[code]
            values = (("Members", bundle.members), ("Saving", bundle.saving), ("Value", bundle.value))
            percents = ("Value",) if bundle.saving == "percent off parts" else ()
            yield from lines_of_row(quote, f"{bundle.bundle} ({code})", bundle.source, values, percents=percents)
    for code in _codes(line.key for tier in quote.tiers for line in tier.fee_lines):
        if code in book.fees:
            fee = book.fees[code]
            cells = (
                ("Amount", fee.amount),
                ("Unit", fee.unit),
                ("Applies to", "always" if fee.always else fee.applies_to),
            )
            yield from lines_of_row(quote, f"{fee.fee} ({code})", fee.source, cells)


def _taxes(quote: Quote) -> Iterator[InputLine]:
    named = {line.tax for tier in quote.tiers for line in tier.taxes}
    for tax in quote.book.taxes:
        if tax.tax in named:
            cells = (
                ("Rate", tax.rate),
                ("Charge", tax.charges),
                ("Machine", tax.machines),
                ("Customer class", tax.customer_class),
                ("In force from", tax.in_force_from),
                ("In force to", tax.in_force_to),
            )
            yield from lines_of_row(quote, f"Tax {tax.tax}", tax.source, cells, percents=("Rate",))


def _codes(codes: Iterable[str]) -> list[str]:
    return sorted(set(codes))
