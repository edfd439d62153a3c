"""Inputs of the job workbook and the shop's settings, with their cells."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.documents.costing_input_line import DEFAULT, InputLine, lines_of_row, value_words
from quotekit.documents.costing_sources import short_place
from quotekit.model.job import FoundFinding, OneOff
from quotekit.model.quote import Quote

_JOB_FIELDS = (
    ("Machine class", "machine_class"),
    ("Condition", "condition"),
    ("Quote date", "quote_date"),
    ("Customer class", "customer_class"),
    ("Exemption certificate", "exemption_certificate"),
    ("Old parts", "old_parts"),
    ("Spending limit", "spending_limit"),
    ("Inspection fee", "inspection_fee"),
    ("Paid so far", "paid_so_far"),
    ("Reassembly hours if declined", "reassembly_hours"),
    ("Labour rate", "labour_rate"),
    ("Fees", "fees"),
    ("Customer's own parts", "own_parts"),
    ("Discount percent", "discount_percent"),
    ("Discount reason", "discount_reason"),
    ("Years it could last", "years_it_could_last"),
    ("Years to compare", "years_to_compare"),
)

_SETTINGS = (
    ("Currency", "currency"),
    ("Language", "language"),
    ("Hours step", "hours_step"),
    ("Minimum labour hours", "minimum_labour_hours"),
    ("Supplies percent of labour", "supplies_percent_of_labour"),
    ("Supplies cap", "supplies_cap"),
    ("Supplies shown as", "supplies_shown_as"),
    ("Sublet markup", "sublet_markup"),
    ("Freight to customer", "freight_to_customer"),
    ("Inspection fee", "inspection_fee"),
    ("Inspection fee credited", "inspection_fee_credited"),
    ("Tax rounding", "tax_rounding"),
    ("Quote valid days", "quote_valid_days"),
    ("Price age limit days", "price_age_limit_days"),
    ("Queue days", "queue_days"),
    ("Deposit on ordered parts", "deposit_on_ordered_parts"),
    ("Deposit on non-returnable parts", "deposit_on_non_returnable_parts"),
    ("Years to compare", "years_to_compare"),
    ("Interest a year", "interest_a_year"),
)

_PERCENTS = frozenset(
    {
        "Discount percent",
        "Supplies percent of labour",
        "Sublet markup",
        "Deposit on ordered parts",
        "Deposit on non-returnable parts",
        "Interest a year",
    }
)


def job_inputs(quote: Quote) -> Iterator[InputLine]:
    """Fields, findings, extras, one-off lines and plan items of the job."""
    job = quote.job
    for name, attribute in _JOB_FIELDS:
        value = getattr(job, attribute)
        source = job.sources.get(name)
        words = value_words(value, percent=name in _PERCENTS)
        if source is not None and words:
            place = source.place("Value")
            yield InputLine("Job", name, words, short_place(place, quote), place)
    for finding in job.findings:
        yield from _finding(quote, finding)
    for extra in job.extras:
        asked = (("Extra", extra.code), ("Side", extra.side), ("Customer asked", extra.asked))
        yield from lines_of_row(quote, f"Extra {extra.code}", extra.source, asked)
    for line in job.one_off:
        yield from _one_off(quote, line)
    for item in job.plan:
        planned = (("Tier", item.tier), ("Item", item.code), ("Side", item.side))
        yield from lines_of_row(quote, f"Plan for {item.tier}", item.source, planned)


def setting_inputs(quote: Quote) -> Iterator[InputLine]:
    """Settings that the engine reads, with their cells, or marked as the default."""
    settings = quote.book.settings
    for name, attribute in _SETTINGS:
        words = value_words(getattr(settings, attribute), percent=name in _PERCENTS)
        source = settings.sources.get(name)
        place = source.place("Value") if source is not None else None
        yield InputLine("Shop", name, words or "none", short_place(place, quote) if place else DEFAULT, place)


def _finding(quote: Quote, finding: FoundFinding) -> Iterator[InputLine]:
    """What was recorded; a limit or as-new value of the book points there."""
    what = f"{finding.name} ({finding.key})"
    measured = finding.measured_text or finding.measured
    cells = (("Finding", finding.code), ("Side", finding.side), ("Measured", measured), ("Note", finding.note))
    yield from lines_of_row(quote, what, finding.source, cells)
    known = quote.book.findings.get(finding.code)
    for column, value, in_book in (
        ("Severity", finding.severity if finding.fault else None, known.severity if known else None),
        ("Limit", finding.limit, known.limit if known else None),
        ("As new", finding.as_new, known.as_new if known else None),
    ):
        source = known.source if known is not None and in_book == value else finding.source
        yield from lines_of_row(quote, what, source, ((column, value),))


def _one_off(quote: Quote, line: OneOff) -> Iterator[InputLine]:
    cells = (
        ("Kind", line.kind),
        ("Quantity", line.quantity),
        ("Unit cost", line.unit_cost),
        ("Unit price", line.unit_price),
        ("Labour", line.labour),
        ("Access", line.access),
        ("Supplier", line.supplier),
        ("Lead days", line.lead_days),
        ("Fixes", line.fixes),
    )
    yield from lines_of_row(quote, f"{line.line} ({line.code})", line.source, cells)
