"""Figures of the job as a whole as trees: what a no costs, valid until, what may not be used, what to look at."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date

from quotekit.model.explanation import Explanation, Value
from quotekit.model.job import at_side
from quotekit.model.quote import Quote
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import totals as of_totals
from quotekit.pricing.explain.labour import rate_per_hour
from quotekit.pricing.explain.taxes import Taxable, no_tax, tax_cells, taxes_told
from quotekit.pricing.explain.told import Told, cell, cells_in, count, words
from quotekit.pricing.taxes import ChargeLine, taxes_on
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]


def job_figures(told: Told, quote: Quote) -> Figures:
    """Every figure of the quote outside its tiers; `told` is any set of charges of the job."""
    job, book = quote.job, quote.book
    version = told.job_field("Version", job.version)
    currency = told.setting_cells("Currency")
    return {
        "job": lambda: words("job", job.job_number, "As typed.", cells=told.job_cells("Job number"), given=True),
        "version": lambda: count("version", job.version, "same", (version,), "The job's version."),
        "quote_date": lambda: _quote_date(told, quote),
        "valid_until": lambda: _valid_until(told, quote),
        "currency": lambda: words("currency", quote.currency, "The shop's currency.", cells=currency, given=True),
        "book_sha256": lambda: _digest("book_sha256", book.sha256, book.file),
        "job_sha256": lambda: _digest("job_sha256", job.sha256, job.file),
        **_remedies(told, quote),
        **_next(told, quote),
        **_declined(told, quote),
    }  # fmt: skip


def _digest(name: str, value: str, file: str) -> Explanation:
    cells = (Place(file),) if file else ()
    return words(name, value, "The fingerprint of the whole file as it was read.", cells=cells, given=True)


def _quote_date(told: Told, quote: Quote) -> Explanation:
    cells = told.job_cells("Quote date")
    return words("quote_date", quote.job.quote_date.isoformat(), "As typed on the job.", cells=cells, given=True)


def _valid_until(told: Told, quote: Quote) -> Explanation:
    days = told.setting("Quote valid days", "quote_valid_days")
    rule = "Quote date and the shop's valid days (rules 3.1)."
    return Explanation(
        figure="valid_until",
        value=_day(quote.valid_until),
        rule=rule,
        operation="days after",
        inputs=(_quote_date(told, quote), days),
    )


def _day(day: date) -> str:
    return day.isoformat()


def _remedies(told: Told, quote: Quote) -> Figures:
    """`not_permitted.*` and `only_with.*`."""
    none = "No remedy for what was found is kept out so (rules 5.1)."
    empty = {"not_permitted": quote.not_permitted, "only_with": quote.only_with}
    figures: Figures = {name: _nothing(name, none) for name, entries in empty.items() if not entries}
    for refused in quote.not_permitted:
        start = f"not_permitted.{at_side(refused.remedy, refused.side)}"
        cells = _limit_cells(told, refused.remedy)
        rule = "It does not fit as measured, and nothing that fits puts that right (rules 5.1)."
        figures |= _texts(start, {"remedy": refused.remedy, "side": refused.side, "why": refused.why}, rule, cells)
    for only in quote.only_with:
        start = f"only_with.{at_side(only.remedy, only.side)}"
        cells = _limit_cells(told, only.remedy)
        rule = "It fits only together with a remedy that puts the limiting finding right (rules 5.1)."
        figures |= _texts(start, {"remedy": only.remedy, "side": only.side, "with": only.with_}, rule, cells)
        for other in only.with_:
            figures |= _texts(f"{start}.with", {other: other}, rule, cells)
    return figures


def _nothing(name: str, rule: str) -> Callable[[], Explanation]:
    return lambda: words(name, (), rule)


def _next(told: Told, quote: Quote) -> Figures:
    """`measure_next` and `look_next`."""
    to_measure = "A limit of a remedy needs this measurement and the job lacks it (rules 5.9, Choosing)."
    to_look = "What was found says to check this too, and the job does not have it (rules 5.9, Choosing)."
    limits = [place for row in quote.book.fits_only_if for place in cells_in(row.source, "Remedy", "Finding")]
    faults = [found for found in quote.job.findings if found.fault]
    checks = [quote.book.findings[found.code] for found in faults if found.code in quote.book.findings]
    also = [place for known in checks for place in cell(known.source, "Also check")]
    recorded = [place for found in quote.job.findings for place in cells_in(found.source, "Finding", "Measured")]
    figures = _list("measure_next", quote.measure_next, to_measure, (*limits, *recorded))
    return figures | _list("look_next", quote.look_next, to_look, (*also, *recorded))


def _list(name: str, keys: tuple[str, ...], rule: str, cells: Iterable[Place]) -> Figures:
    entries = _texts(name, {key: key for key in keys}, rule, cells)
    return {name: lambda: words(name, keys, rule, cells=cells), **entries}


def _texts(start: str, values: dict[str, Value], rule: str, cells: Iterable[Place]) -> Figures:
    def maker(name: str, value: Value) -> Callable[[], Explanation]:
        return lambda: words(f"{start}.{name}", value, rule, cells=cells)

    return {f"{start}.{name}": maker(name, value) for name, value in values.items()}


def _limit_cells(told: Told, remedy: str) -> tuple[Place, ...]:
    """Limits of a remedy and the measurements they look at."""
    rows = told.basis.book.limits_of.get(remedy, ())
    found = [place for row in rows for place in cells_in(row.source, "Finding", "From", "To")]
    codes = {row.finding for row in rows}
    records = [record for record in told.basis.job.findings if record.code in codes]
    return (*found, *(place for record in records for place in cells_in(record.source, "Side", "Measured", "As new")))


def _declined(told: Told, quote: Quote) -> Figures:
    """What a no costs: inspection fee, reassembly and their tax."""
    money, no = told.money, quote.declined
    names = {part: f"declined.{part}" for part in ("inspection", "reassembly", "tax", "total")}

    def inspection() -> Explanation:
        node = of_totals.inspection(told)
        rule = "The inspection fee (rules 5.9, Money outside the subtotal)."
        return money.node(names["inspection"], no.inspection, "same", (node,), rule)

    def tax() -> Explanation:
        lines = [_line(told, "inspection", inspection()), _line(told, "labour", _reassembly(told, quote))]
        taxable = [one for one in lines if one.line.amount]
        taxes = taxes_on(told.basis, [one.line for one in taxable], ZERO)
        each = taxes_told(told, taxable, taxes, money.settled("upgrade labour", ZERO, "None in what a no costs."))
        rule = "The taxes on inspection and reassembly (rules 5.9)." if each else no_tax(told)
        return money.node(names["tax"], no.tax, "sum", [one.amount for one in each], rule, cells=tax_cells(told))

    def total() -> Explanation:
        rule = "Inspection, putting it back together, and their tax (rules 5.9)."
        return money.sum_of(names["total"], no.total, (inspection(), _reassembly(told, quote), tax()), rule)

    made = (inspection, lambda: _reassembly(told, quote), tax, total)
    return dict(zip(names.values(), made, strict=True))


def _line(told: Told, charge: str, node: Explanation) -> Taxable:
    amount = round_to(node.number or ZERO, told.money.digits)
    return Taxable(ChargeLine(charge, amount), node)


def _reassembly(told: Told, quote: Quote) -> Explanation:
    took = told.job_field("Reassembly hours if declined", quote.job.reassembly_hours)
    inputs = (took, rate_per_hour(told, told.basis.default_rate))
    rule = "Hours to put it back together x the default rate (rules 5.9)."
    return told.money.rounded("declined.reassembly", quote.declined.reassembly, "product", inputs, rule)
