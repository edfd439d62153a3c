"""Hours of a tier, built up step by step: each access step once with its users, each operation, then each rate."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from quotekit.documents.costing_sources import rate_of, where
from quotekit.documents.costing_style import amount, head, hours, note, section
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Row, blank, row, text
from quotekit.model.quote import LabourLine, PricedTier, Quote, WorkLine
from quotekit.model.source import NOWHERE

COLUMNS = 10

_Cells = Callable[[WorkLine, Quote], tuple[str, str]]


def lay_out_hours(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    """The whole build-up."""
    yield from section("Hours, built up step by step", COLUMNS)
    yield head(("Work", 2), "Hours", "Labour rate", "Slowed by rust", ("Shared by", 3), ("Cells", 2), right=(1,))
    yield from _lines("Opening and closing, each step once", tier.access, quote, _access_cells)
    work = (*tier.operations, *_one_off_work(quote, tier))
    yield from _lines("Net hours of the work itself", work, quote, _operation_cells)
    yield from _allowance(quote, tier, work)
    yield from _adjustments(quote, tier)
    yield from _rates(quote, tier)


def _lines(title: str, lines: tuple[WorkLine, ...], quote: Quote, cells: _Cells) -> Iterator[Row]:
    yield row(text(title, "strong", COLUMNS), keep=True)
    for line in lines:
        name, spots = cells(line, quote)
        yield row(
            text(f"{name} ({line.key})" if name else line.key, across=2),
            hours(line.hours),
            text(line.labour, "beside"),
            text("yes" if line.slowed_by_rust else ""),
            text(_users(line), across=3),
            text(spots, "cell", 2),
        )
    total = sum((line.hours for line in lines), Decimal(0))
    yield row(text("Together", "sum", 2), hours(total, "sum money"), blank("sum", 7))


def _one_off_work(quote: Quote, tier: PricedTier) -> Iterator[WorkLine]:
    """Labour that only this job has, as lines like the others."""
    taken = {item.code for item in tier.items if item.kind == "one-off"}
    default = quote.job.labour_rate or quote.book.labour_rates[0].code
    for line in quote.job.one_off:
        if line.code in taken and line.kind == "labour":
            yield WorkLine(
                key=line.code,
                code=line.code,
                side=None,
                hours=line.quantity,
                labour=line.labour or default,
                slowed_by_rust=line.slowed_by_rust,
                users=(line.code,),
            )


def _users(line: WorkLine) -> str:
    if line.always or not line.users:
        return "done on every job: all share it"
    return f"{', '.join(line.users)}{'; a further side' if line.further_side else ''}"


def _access_cells(line: WorkLine, quote: Quote) -> tuple[str, str]:
    step = quote.book.access.get(line.code)
    source = step.source if step else NOWHERE
    spots = [where(source, "Hours to open", quote), where(source, "Hours to close", quote)]
    return step.step if step else "", ", ".join(spot for spot in spots if spot)


def _operation_cells(line: WorkLine, quote: Quote) -> tuple[str, str]:
    operation = quote.book.operations.get(line.code)
    if operation is None:
        own = next((one for one in quote.job.one_off if one.code == line.code), None)
        return (own.line, where(own.source, "Quantity", quote)) if own else ("", "")
    return operation.operation, where(
        operation.source, "Second side hours" if line.further_side else "Net hours", quote
    )


def _allowance(quote: Quote, tier: PricedTier, work: tuple[WorkLine, ...]) -> Iterator[Row]:
    condition = quote.book.conditions.get(quote.job.condition or "")
    if condition is None:
        yield row(
            text("Allowance for the condition", across=2), hours(tier.hours.allowance), text("none named", "beside", 7)
        )
        return
    slowed = sum((line.hours for line in work if line.slowed_by_rust), Decimal(0))
    ceiling = "" if condition.at_most_hours is None else f", at most {plain(condition.at_most_hours)} h"
    words = f"{plain(condition.allowance * 100)} % of {plain(slowed)} h slowed by rust{ceiling}"
    yield row(
        text(f"Allowance: {condition.name or condition.code}", across=2),
        hours(tier.hours.allowance),
        text(words, "beside", 5),
        text(where(condition.source, "Allowance", quote), "cell", 2),
    )


def _adjustments(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    settings = quote.book.settings
    if tier.hours.off:
        yield row(text("Hours off by bundles", across=2), hours(-tier.hours.off), blank(across=7))
    worked = tier.hours.access + tier.hours.net + tier.hours.allowance - tier.hours.off
    yield row(text("Before rounding", "sum", 2), hours(worked, "sum money"), blank("sum", 7))
    billed = sum(tier.hours.billed.values(), Decimal(0))
    words = f"each labour rate once, up to the next {plain(settings.hours_step)} h"
    yield row(
        text("Rounded up", across=2),
        hours(billed),
        text(words, "beside", 5),
        text(_setting(quote, "Hours step"), "cell", 2),
    )
    words = f"up to the minimum of {plain(settings.minimum_labour_hours)} h, at the default rate"
    yield row(
        text("Added by the minimum", across=2),
        hours(tier.hours.minimum_added),
        text(words, "beside", 5),
        text(_setting(quote, "Minimum labour hours"), "cell", 2),
    )
    if tier.dropped:
        yield note(f"Dropped, done by larger work: {', '.join(tier.dropped)}.", COLUMNS)


def _rates(quote: Quote, tier: PricedTier) -> Iterator[Row]:
    titles = (
        ("Labour rate", 2),
        "Opening and closing",
        "Net",
        "Allowance",
        "Off",
        "Billed",
        "Rate an hour",
        "Price",
        "Cells",
    )
    yield head(*titles, right=range(1, 8))
    for line in tier.labour_lines:
        yield _rate_row(quote, line)


def _rate_row(quote: Quote, line: LabourLine) -> Row:
    rate = rate_of(quote, line.rate)
    return row(
        text(f"{rate.name} ({line.rate})" if rate and rate.name else line.rate, across=2),
        hours(line.access),
        hours(line.net),
        hours(line.allowance),
        hours(line.off),
        hours(line.billed),
        amount(line.rate_per_hour),
        amount(line.amount),
        text(where(rate.source, "Rate per hour", quote) if rate else "", "cell"),
    )


def _setting(quote: Quote, name: str) -> str:
    source = quote.book.settings.sources.get(name)
    return where(source, "Value", quote) if source else "default"
