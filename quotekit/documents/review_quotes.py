"""The sheets of quotes and of parts: options won, ages, reasons, chances of loss; parts margin by band."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.costing_style import amount, head, note, section
from quotekit.documents.money_text import money_format
from quotekit.documents.review_blocks import Block, Drawing, block, equal, lay_out_blocks
from quotekit.documents.review_words import TOO_FEW, in_money, in_percent
from quotekit.documents.sheet import Cell, Row, Sheet, number, row, text
from quotekit.documents.wording import counted
from quotekit.model.review import LossChance, PartsBand, Review, TierLoss

QUOTES, PARTS = "Quotes", "Parts"
COLUMNS = 9
_WIDTHS = equal(COLUMNS)


def lay_out_quotes(review: Review) -> Sheet:
    """Options, ages, reasons, chances."""
    blocks = [_wins(review)] if review.wins else []
    blocks += [
        _ages(review),
        block([*_reasons(review), *_tier_losses(review)], _WIDTHS),
        block(_losses(review), _WIDTHS),
    ]
    return lay_out_blocks(review, QUOTES, _WIDTHS, blocks)


def lay_out_parts(review: Review) -> Sheet:
    """Bands of what a unit costs."""
    return lay_out_blocks(review, PARTS, _WIDTHS, [_bands(review), block(_parts_notes(review), _WIDTHS)])


def _wins(review: Review) -> Block:
    titles = ("Option", "Shown", "Still open", "Chosen", "Other chosen", "Declined", "Lapsed", "Win rate", "")
    rows = [*section(f"Options where they were shown, {counted(review.quotes, 'quote')}", COLUMNS)]
    rows.append(head(*titles, right=range(1, 8)))
    for one in review.wins:
        counts = (one.shown, one.open, one.chosen, one.other_chosen, one.declined, one.lapsed)
        rows.append(row(text(one.name), *map(number, counts), _share(one.rate), text("")))
    words = "Win rate: chosen by shown and no longer open. An option counts only in the quotes that showed it."
    drawing = Drawing(
        title="Win rate where shown", shown=any(one.rate for one in review.wins), head=2,
        count=len(review.wins), values=(7,), number_format="0%",
        alt="Bars of the win rate of each option.",
    )  # fmt: skip
    made = block(rows, _WIDTHS, (drawing,), sheet=QUOTES)
    return Block(rows=(*made.rows, *block([note(words, COLUMNS)], _WIDTHS).rows), charts=made.charts)


def _ages(review: Review) -> Block:
    rows = [*section("Age of quotes", COLUMNS)]
    rows.append(
        head(
            "Days", "Still open", "They bring at least", "Agreed within", "Declined within", ("", 4), right=(1, 2, 3, 4)
        )
    )
    for one in review.ageing:
        figures = (number(one.open), amount(one.open_from), number(one.accepted), number(one.declined))
        rows.append(row(text(f"{one.name} days"), *figures, text("", across=4)))
    drawing = Drawing(
        title="Quotes by days", shown=review.quotes > 0, head=2, count=len(review.ageing), values=(1, 3, 4),
        alt="Bars of open, agreed and declined quotes by days since they were handed over.",
    )  # fmt: skip
    return block(rows, _WIDTHS, (drawing,), sheet=QUOTES)


def _reasons(review: Review) -> Iterator[Row]:
    yield from section("Why quotes were lost", COLUMNS)
    if not review.lost:
        yield note("None was.", COLUMNS)
        return
    yield head(("Reason", 2), "Quotes", ("", 6), right=(1,))
    for one in review.lost:
        yield row(text(one.reason, across=2), number(one.quotes), text("", across=6))


def _tier_losses(review: Review) -> Iterator[Row]:
    yield from section("Closed jobs that lost money", COLUMNS)
    yield head(
        ("Option", 2), "Billed jobs", "Lost money", "Share", "From", "To", "Cost by agreed", "", right=range(1, 7)
    )
    for one in review.tier_losses:
        ratio = text("-", "right") if one.cost_ratio is None else _ratio(one.cost_ratio)
        counts = (number(one.jobs), number(one.losing))
        yield row(text(one.name, across=2), *counts, *_chance(one), ratio, text(""))
    words = (
        "Comebacks counted with their first job. From and to: the middle nine tenths of the bootstrap; where none or "
        "all lost money, as far as so many jobs leave it open (one in twenty)."
    )
    yield note(words, COLUMNS)


def _losses(review: Review) -> Iterator[Row]:
    yield from section("The chance that an open quote loses money", COLUMNS)
    if not review.losses:
        yield note("No quote is open whose cost is known.", COLUMNS)
        return
    titles = ("Quote", "Option", "Before tax", "Cost", "Jobs like it", "Would lose", "Chance", "From", "To")
    yield head(*titles, right=range(2, 9))
    for one in review.losses:
        like = f"{one.jobs}{'' if one.same_tier else ', all options'}"
        yield row(
            text(f"{one.job}-{one.version}"),
            text(one.name),
            amount(one.subtotal),
            amount(one.cost),
            text(like, "right"),
            number(one.losing),
            *_chance(one),
        )
    words = "From how the actual cost of closed jobs spread about their agreed cost; fewer than ten jobs tell nothing."
    yield note(words, COLUMNS)


def _chance(one: LossChance | TierLoss) -> tuple[Cell, ...]:
    if one.chance is None:
        return text(TOO_FEW, "right"), text("", "right"), text("", "right")
    return _share(one.chance), _share(one.low), _share(one.high)


def _bands(review: Review) -> Block:
    found = review.parts
    title = (
        "Parts by what a unit costs: the bands of the sheet Markup" if found.from_book else "Parts by what a unit costs"
    )
    rows = [*section(title, COLUMNS)]
    rows.append(head(("Cost of a unit", 2), "Lines", "Sales", "Cost", "Margin", "Of sales", ("", 2), right=range(1, 6)))
    for one in found.bands:
        figures = (amount(one.sales), amount(one.cost), amount(one.margin), _share(one.share))
        rows.append(row(text(_band_words(review, one), across=2), number(one.lines), *figures, text("", across=2)))
    drawing = Drawing(
        title="Sales and cost of parts",
        shown=any(one.lines for one in found.bands),
        head=2,
        count=len(found.bands),
        values=(3, 4),
        number_format=money_format(review.currency or "USD", review.language),
        alt="Bars of sales and cost of parts by band.",
    )
    return block(rows, _WIDTHS, (drawing,), sheet=PARTS)


def _band_words(review: Review, one: PartsBand) -> str:
    if one.up_to is None:
        return f"over {in_money(review, one.over)}"
    return f"over {in_money(review, one.over)}, up to {in_money(review, one.up_to)}"


def _parts_notes(review: Review) -> Iterator[Row]:
    found = review.parts
    sales = sum((one.sales for one in found.bands), Decimal(0))
    margin = sum((one.margin for one in found.bands), Decimal(0))
    if sales:
        share = in_percent(review, margin / sales)
        yield row(
            text(f"Together {in_money(review, margin)} on sales of {in_money(review, sales)}, {share}.", across=COLUMNS)
        )
    yield note(
        "Sales: the agreed price of the units fitted, at most those agreed; cost: what the units really cost.", COLUMNS
    )
    if found.cost_unknown:
        lost = in_money(review, found.sales_unknown)
        lines = counted(found.cost_unknown, "line")
        yield note(f"In no band: {lines} of parts of unknown cost, sold for {lost}.", COLUMNS)


def _share(value: Decimal | None) -> Cell:
    return text("-", "right") if value is None else Cell(content=value, kind="percent", style="number", format="0.0%")


def _ratio(value: Decimal) -> Cell:
    return Cell(content=value, kind="number", style="number", format="0.00")
