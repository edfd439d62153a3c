"""The first sheet of the costing: the tiers side by side, from what is done to what is earned."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from quotekit.documents.choice_words import count_words
from quotekit.documents.costing_style import (
    amount,
    head,
    hours,
    in_words,
    label_and_equal,
    note,
    quantity,
    section,
    sheet,
)
from quotekit.documents.quote_json import plain
from quotekit.documents.sheet import Cell, Row, Sheet, blank, day, row, text
from quotekit.documents.sheet import number as number_cell
from quotekit.model.quote import PricedTier, Quote
from quotekit.money import round_to
from quotekit.problems import Problem

FIRST_WIDTH, FEWEST = 28.0, 3
FEW = 12
"""Codes that are listed one under the other."""

WITHOUT_FIGURES = frozenset({"Offered", "What is done", "Faults left"})
"""Lines that also hold for a tier that could not be worked out."""

_Tell = Callable[[PricedTier], Cell]
_Line = tuple[str, str, _Tell]


def lay_out_summary(quote: Quote, problems: tuple[Problem, ...], name: str) -> Sheet:
    """Job, tiers side by side, what a no costs."""
    columns = 1 + max(FEWEST, len(quote.tiers))
    widths, upright = label_and_equal(FIRST_WIDTH, columns)
    rows = [
        *_opening(quote, problems, columns),
        *_tiers(quote, columns),
    ]
    return sheet(quote, name, rows, widths, upright=upright)


def _opening(quote: Quote, problems: tuple[Problem, ...], columns: int) -> Iterator[Row]:
    job = quote.job
    warnings = sum(problem.severity == "warning" for problem in problems)
    told = {0: "No warning", 1: "1 warning"}.get(warnings, f"{warnings} warnings")
    yield row(text(f"Costing of job {job.job_number}, version {job.version}", "title", columns))
    prices = f"Amounts in {quote.currency}, before tax unless a line says so."
    yield note(f"For the shop only: it holds costs, margins and suppliers. {prices}", columns)
    yield row(text(f"{told}, and every reason, on the sheet `Reasons and warnings`.", "strong", columns))
    machine = " ".join(word for word in (job.make, job.model) if word)
    facts = (
        ("Customer", job.customer),
        (
            "Machine",
            ", ".join(word for word in (job.machine_class_name or job.machine_class, machine, job.serial) if word),
        ),
        ("The customer's words", job.customers_words),
        ("Read from", f"{quote.book.file} and {job.file}"),
    )
    for label, words in facts:
        yield row(text(label, "strong"), text(words, across=columns - 1))
    yield row(text("Quote date, valid until", "strong"), day(job.quote_date, "left"), day(quote.valid_until, "left"))


def _tiers(quote: Quote, columns: int) -> Iterator[Row]:
    if not quote.tiers:
        yield note("No tier was worked out.", columns)
        yield from _declined(quote, columns)
        return
    for tier in quote.tiers:
        if not tier.offered:
            words = f"{tier.name} is not offered: {tier.reason or 'no reason is recorded'}"
            yield row(text(words if words.endswith(".") else f"{words}.", across=columns))
    yield from _side_by_side(quote, "What the customer pays", _price_lines(quote), columns)
    yield from _side_by_side(quote, "What the shop spends and earns", _shop_lines(), columns)
    yield from _declined(quote, columns)
    yield from _side_by_side(quote, "What each option does", _work_lines(), columns)


def _side_by_side(quote: Quote, title: str, lines: Iterable[_Line], columns: int) -> Iterator[Row]:
    """A table of the tiers, kept on one page."""
    told = [(label, style, [_told(tier, label, tell) for tier in quote.tiers]) for label, style, tell in lines]
    shown = [line for line in told if any(cell.content is not None for cell in line[2])]
    yield from section(title, columns)
    yield head("", *(f"{tier.name}\n({tier.code})" for tier in quote.tiers), right=range(1, len(quote.tiers) + 1))
    for place, (label, style, cells) in enumerate(shown, start=1):
        yield row(text(label, style), *cells, keep=place < len(shown))


def _told(tier: PricedTier, label: str, tell: _Tell) -> Cell:
    """What a line says of a tier; one that could not be worked out has no figures."""
    return tell(tier) if tier.priced or label in WITHOUT_FIGURES else blank("money")


def _price_lines(quote: Quote) -> Iterator[_Line]:
    yield "Offered", "strong", lambda t: text("yes" if t.offered else "no", "right")
    yield "Ready, working days", "body", lambda t: _days(t.ready_days)
    yield from _money_lines(quote)


def _work_lines() -> Iterator[_Line]:
    """Codes, which may be many: after the money, so that it stays on the first page."""
    yield "What is done", "body", lambda t: text(_done(t), "right")
    yield "Faults left", "body", lambda t: text(", ".join(t.left) or "none", "right")


def _done(tier: PricedTier) -> str:
    """Codes of what is done, a line each while they are few."""
    keys = [item.key for item in tier.items]
    return ("\n" if len(keys) <= FEW else ", ").join(keys) or "nothing"


def _shop_lines() -> Iterator[_Line]:
    yield from _cost_lines()
    yield "Hours worked, before hours off", "body", lambda t: hours(_worked(t))
    yield "Hours billed", "body", lambda t: hours(_billed(t))
    yield "Cost over the years compared", "body", lambda t: amount(t.horizon_cost)
    yield (
        "Choices compared",
        "body",
        lambda t: text("the technician's plan" if t.planned else count_words(t.compared), "right"),
    )


def _money_lines(quote: Quote) -> Iterator[_Line]:
    yield "Labour", "body", lambda t: amount(t.amounts.labour)
    yield "Parts", "body", lambda t: amount(t.amounts.parts)
    yield "Core charges", "body", lambda t: _some(t.amounts.cores)
    yield "Sublet", "body", lambda t: _some(t.amounts.sublet)
    yield "Savings and discount", "body", lambda t: _some(t.amounts.savings)
    yield "Supplies", "body", lambda t: _some(t.amounts.supplies)
    yield "Fees and charges", "body", lambda t: _some(t.amounts.fees)
    yield "Freight charged", "body", lambda t: _some(t.amounts.freight)
    yield "Work", "sum", lambda t: amount(t.work, "sum money")
    yield "Inspection fee", "body", lambda t: _some(t.amounts.inspection)
    yield "Inspection fee credited", "body", lambda t: _some(t.amounts.inspection_credit)
    yield "Subtotal", "sum", lambda t: amount(t.subtotal, "sum money")
    yield "Tax", "body", lambda t: amount(t.tax)
    yield "Total to pay", "grand", lambda t: amount(t.total, "grand money")
    yield "Due, after what was paid", "body", lambda t: amount(t.due) if quote.job.paid_so_far else blank()
    yield "Deposit when work is agreed", "body", lambda t: _some(t.deposit)
    limit = quote.job.spending_limit
    if limit is not None:
        yield "Left of the spending limit", "body", lambda t: amount(limit - t.total)


def _cost_lines() -> Iterator[_Line]:
    yield "Cost of labour", "body", lambda t: amount(t.cost.labour)
    yield "Cost of parts used", "body", lambda t: amount(t.cost.parts_used)
    yield "Core charges paid", "body", lambda t: _some(t.cost.cores)
    yield "Cost of sublet", "body", lambda t: _some(t.cost.sublet)
    yield "Freight paid", "body", lambda t: _some(t.cost.freight)
    yield "Cost", "sum", lambda t: amount(t.cost.total, "sum money")
    yield "Margin (subtotal less cost)", "grand", lambda t: amount(t.margin, "grand money")
    yield "Margin of the subtotal", "body", _margin_percent
    yield "Margin for each hour worked", "body", _margin_an_hour
    yield "Cash for parts, whole packs", "body", lambda t: amount(t.cash_for_parts)


def _some(value: Decimal | None) -> Cell:
    """An amount where it is not zero; a line that is empty in every tier is left out."""
    return blank("money") if value == 0 else amount(value)


def _worked(tier: PricedTier) -> Decimal:
    return tier.hours.access + tier.hours.net + tier.hours.allowance


def _billed(tier: PricedTier) -> Decimal:
    return sum(tier.hours.billed.values(), tier.hours.minimum_added)


def _days(days: int | None) -> Cell:
    return text("not known", "right") if days is None else quantity(days)


def _margin_percent(tier: PricedTier) -> Cell:
    if tier.margin is None or tier.subtotal <= 0:
        return text("not known", "right")
    return number_cell(round_to(tier.margin / tier.subtotal, 3), kind="percent")


def _margin_an_hour(tier: PricedTier) -> Cell:
    worked = _worked(tier)
    if tier.margin is None or worked <= 0:
        return text("not known", "right")
    return amount(round_to(tier.margin / worked, 2))


def _declined(quote: Quote, columns: int) -> Iterator[Row]:
    """What a no costs, and what that is made of, in one line."""
    declined, back = quote.declined, quote.job.reassembly_hours
    hours_back = "" if back is None else f" for {plain(back)} h to put it back together"
    made_of = (
        f"inspection fee {in_words(declined.inspection, quote)}, "
        f"reassembly {in_words(declined.reassembly, quote)}{hours_back}, tax {in_words(declined.tax, quote)}"
    )
    yield from section("If the customer declines", columns)
    yield row(text("A no costs"), amount(declined.total), text(made_of, "aside", columns - 2))
