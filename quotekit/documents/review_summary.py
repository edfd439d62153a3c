"""The first sheet of the review: what the jobs left, variances, months, hours, and what is proposed."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.costing_style import amount, head, hours, note, section
from quotekit.documents.money_text import money_format
from quotekit.documents.review_blocks import Block, Drawing, block, equal, lay_out_blocks
from quotekit.documents.review_words import (
    SIGN_WORDS,
    VARIANCES,
    days_words,
    in_hours,
    in_money,
    in_percent,
    proposal_words,
)
from quotekit.documents.sheet import Cell, Row, Sheet, number, row, text
from quotekit.documents.wording import counted
from quotekit.model.review import Review, Variance

NAME = "Review"
COLUMNS = 8
_WIDTHS = equal(COLUMNS)
_LABEL, _SAID = 3, 4


def lay_out_summary(review: Review) -> Sheet:
    """The sheet."""
    return lay_out_blocks(review, NAME, _WIDTHS, _blocks(review))


def _blocks(review: Review) -> Iterator[Block]:
    yield block([*_opening(review), *_money(review)], _WIDTHS)
    if review.jobs:
        yield block(_variances(review), _WIDTHS)
    yield block(_hours(review), _WIDTHS)
    if review.months:
        yield _months(review)
    yield block(_proposed(review), _WIDTHS)


def _opening(review: Review) -> Iterator[Row]:
    yield row(text(f"What was learned, {days_words(review)}", "title", COLUMNS))
    shop = f"{review.shop_name}. " if review.shop_name else ""
    money = f"Amounts in {review.currency}, before tax. " if review.currency else ""
    yield note(f"{shop}{money}Nothing here changes a price or a time.", COLUMNS)
    if review.other_currency:
        left_out = counted(review.other_currency, "job")
        yield note(f"Left out: {left_out} in another currency.", COLUMNS)


def _line(words: str, figure: Cell, said: str = "", style: str = "body") -> Row:
    return row(text(words, style, _LABEL), figure, text(said, "aside", _SAID))


def _money(review: Review) -> Iterator[Row]:
    totals, none = review.totals, not review.totals.known
    yield from section("Jobs closed", COLUMNS)
    known = "" if totals.known == totals.jobs else f"profit known of {totals.known}: the amounts below are theirs"
    yield _line("Jobs", number(totals.jobs), known)
    yield _line("Invoiced before tax", amount(None if none else totals.invoiced))
    yield _line("Less parts, as they really cost", amount(None if none else totals.parts))
    yield _line("Less labour, at what an hour costs the shop", amount(None if none else totals.labour))
    yield _line("Less outside work", amount(None if none else totals.sublet))
    yield _line("Less freight", amount(None if none else totals.freight))
    yield _line(
        "Profit of the jobs",
        amount(None if none else totals.profit, "grand money"),
        "before overhead; fees of cards not known",
        "grand",
    )
    contribution = "invoiced less parts, outside work and freight, by hours worked: it ranks jobs"
    yield _line("Contribution per bench hour", amount(totals.per_bench_hour, "strong money"), contribution)
    if totals.first_agreed:
        figures = (
            f"first quoted {in_money(review, totals.first_quoted)}, invoiced {in_money(review, totals.first_invoiced)}"
        )
        yield _line("Agreed, of the jobs whose option was in the first quote", amount(totals.first_agreed), figures)
    if review.comebacks:
        results = [one.result for one in review.comebacks if one.result is not None]
        said = f"{counted(len(review.comebacks), 'comeback')}, {len(results)} of known result; the first jobs bear them"
        yield _line("Of the profit, comebacks", amount(sum(results, Decimal(0))), said)


def _variances(review: Review) -> Iterator[Row]:
    yield from section("Actual against standard", COLUMNS)
    yield head(("Variance", 2), "Amount", "", ("What it compares", _SAID), right=(1,))
    for field, title, meaning in VARIANCES:
        variance: Variance | None = getattr(review.totals.variances, field)
        sign = "" if variance is None else SIGN_WORDS[variance.sign]
        figure = amount(None if variance is None else variance.amount)
        yield row(text(title, across=2), figure, text(sign, "beside"), text(meaning, across=_SAID))
    yield note("Actual minus standard: F, favourable, is below zero; U, unfavourable, above.", COLUMNS)
    if review.totals.variances.parts_left_out:
        left_out = counted(review.totals.variances.parts_left_out, "part")
        yield note(f"In no variance: {left_out} without a known cost.", COLUMNS)


def _months(review: Review) -> Block:
    titles = ("Month", "Jobs", "Invoiced", "Profit", "A bench hour", "Sold hours", "Hours worked", "")
    rows = [*section("By month", COLUMNS), head(*titles, right=range(1, 7))]
    for month in review.months:
        none = not month.known
        money = (None if none else month.invoiced, None if none else month.profit, month.per_bench_hour)
        figures = (amount(each) for each in money)
        worked = (hours(month.sold_hours), hours(month.actual_hours))
        rows.append(row(text(f"{month.first:%Y-%m}"), number(month.jobs), *figures, *worked, text("")))
    scale = money_format(review.currency or "USD", review.language)
    count = len(review.months)
    losses = any(month.profit < 0 or (month.per_bench_hour or 0) < 0 for month in review.months)
    drawings = (
        Drawing(
            title="Invoiced and profit", head=2, count=count, values=(2, 3), number_format=scale, below_zero=losses,
            shown=any(month.known for month in review.months),
            alt="Bars of what was invoiced and what it left, by month.",
        ),
        Drawing(
            title="Contribution per bench hour", head=2, count=count, values=(4,), number_format=scale,
            below_zero=losses, shown=any(month.per_bench_hour is not None for month in review.months),
            alt="Bars of what a bench hour left, by month.",
        ),
    )  # fmt: skip
    return block(rows, _WIDTHS, drawings, sheet=NAME)


def _hours(review: Review) -> Iterator[Row]:
    found = review.productivity
    yield from section("Hours", COLUMNS)
    planned = "" if found.planned_sold is None else f"the Rate builder counts on {in_hours(review, found.planned_sold)}"
    yield _line("Sold hours", hours(found.sold), planned)
    yield _line("Hours worked on jobs", hours(found.actual), _of_clock(review))
    if found.without_hours:
        without = counted(found.without_hours, "job")
        yield note(f"In no ratio of hours: {without} whose hours were not written down.", COLUMNS)
    yield _line(
        "Efficiency: sold by worked", _share(found.efficiency), "above 100 % may mean standard times that are too long"
    )
    yield _line("Productivity: sold by clock hours", _share(found.productivity), _clock(review))
    sales = f"labour sales {in_money(review, found.labour_sales)}"
    yield _line("Labour sales per sold hour", amount(found.rate_sold), sales)
    break_even = (
        "" if found.break_even_rate is None else f"break-even {in_money(review, found.break_even_rate)} a sold hour"
    )
    yield _line("Labour sales per hour worked", amount(found.rate_actual), break_even)


def _clock(review: Review) -> str:
    clock = review.productivity.clock
    return "give --book with a Rate builder" if clock is None else f"of {in_hours(review, clock)} clock hours"


def _of_clock(review: Review) -> str:
    share = review.productivity.on_jobs
    return "" if share is None else f"{in_percent(review, share)} of the clock hours"


def _share(value: Decimal | None) -> Cell:
    return text("not known", "right") if value is None else number(value, kind="percent")


def _proposed(review: Review) -> Iterator[Row]:
    yield from section("Proposed times", COLUMNS)
    if not review.proposals:
        yield note("None: no time is off by a tenth beyond what chance explains.", COLUMNS)
    for one in review.proposals:
        yield row(text(proposal_words(review, one), across=COLUMNS))
    if review.proposals:
        yield note("Tick them in the workbook of proposals; nothing changes by itself.", COLUMNS)
