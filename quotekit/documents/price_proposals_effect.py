"""The sheet of the effect on the shop: sums, and the ten largest parts with a chart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from quotekit.documents.costing_style import WIDEST, head, note, section
from quotekit.documents.money_text import money_format
from quotekit.documents.price_proposals_style import amount, page_of, share, units
from quotekit.documents.price_proposals_words import LEFT_WORDS, short
from quotekit.documents.review_blocks import Block, Drawing, block
from quotekit.documents.sheet import Cell, Row, Sheet, blank, number, row, text
from quotekit.documents.wording import counted
from quotekit.model.proposed_prices import PriceProposal, ProposedPrices

NAME = "Effect"
LARGEST = 10
"""Parts in the chart."""

_WIDTHS = (17.0, 33.0, 13.0, 13.0, 15.0, 19.0, 12.0)
_COLUMNS = len(_WIDTHS)
assert sum(_WIDTHS) <= WIDEST


def lay_out_effect(found: ProposedPrices) -> Sheet:
    """The sheet."""
    blocks = [block([*_opening(found), *_sums(found)], _WIDTHS)]
    far = largest(found)
    if far:
        blocks.append(_chart(far, found))
    elif changed := largest_changes(found):
        blocks.append(_chart_of_changes(changed))
    rows: list[Row] = []
    charts = []
    for each in blocks:
        charts += [make(len(rows)) for make in each.charts]
        rows += each.rows
    return Sheet(
        name=NAME, rows=tuple(rows), widths=_WIDTHS, page=page_of(found, NAME), charts=tuple(charts), protected=True
    )  # fmt: skip


def largest(found: ProposedPrices) -> Sequence[PriceProposal]:
    """The proposals with the largest effects; those without one are left out."""
    return [one for one in found.proposals if one.effect][:LARGEST]


def largest_changes(found: ProposedPrices) -> Sequence[PriceProposal]:
    """The proposals with the largest changes in the cost of one, where nothing is known of a year."""
    known = [one for one in found.proposals if one.cost_change_then]
    return sorted(known, key=lambda one: -abs(one.cost_change_then or _ZERO))[:LARGEST]


def cost_sum(found: ProposedPrices) -> Fraction | None:
    """What all proposals together would cost more in a year; None where no ledger tells."""
    return None if found.used_from is None else sum((one.cost_effect or Fraction(0) for one in found.proposals), _ZERO)


def price_sum(found: ProposedPrices) -> Fraction | None:
    """What all proposals together would sell for more in a year."""
    return None if found.used_from is None else sum((one.price_effect or Fraction(0) for one in found.proposals), _ZERO)


_ZERO = Fraction(0)


def _opening(found: ProposedPrices) -> Iterator[Row]:
    yield row(text("What the new prices do to the shop", "title", _COLUMNS))
    yield note("Counted as if every row were taken. Nothing here changes a price.", _COLUMNS)


def _line(words: str, figure: Cell, said: str = "") -> Row:
    return row(text(words, across=2), figure, text(said, "aside", _COLUMNS - 3))


def _sums(found: ProposedPrices) -> Iterator[Row]:
    yield from section("Rows of the shop book", _COLUMNS)
    second = sum(bool(one.over) for one in found.proposals)
    yield _line("Differ from the list", number(len(found.proposals)), f"{second} of them need a second tick")
    yield _line("Say what the list says", number(found.same))
    yield _line("Nothing proposed", number(len(found.left)), _left(found))
    yield from section("A year", _COLUMNS)
    cost, price = cost_sum(found), price_sum(found)
    if cost is None or price is None:
        yield note(
            "Units are not known: there is no ledger here. Changes in percent are on the sheet Figures.", _COLUMNS
        )
    else:
        used = sum(bool(one.used) for one in found.proposals)
        yield _line("Parts among them that were used", number(used), f"in jobs closed since {found.used_from}")
        yield _line("More to pay to suppliers", amount(cost, found))
        yield _line("More to sell for, at the shop's own markup", amount(price, found))
        yield _line("More left to the shop", amount(price - cost, found, "strong money"), "where as many are sold")
    yield from _quotes(found)


def _quotes(found: ProposedPrices) -> Iterator[Row]:
    tiers = [tier for quote in found.quotes for tier in quote.tiers]
    losing = sum(tier.loses is True for tier in tiers)
    touched = sum(bool(quote.parts) for quote in found.quotes)
    extra = sum(quote.touched and not quote.parts for quote in found.quotes)
    yield from section("Open quotes", _COLUMNS)
    others = f"{counted(found.quotes_untouched, 'other')} not touched"
    yield _line("Hold a part that would change", number(touched), others if found.quotes_untouched else "")
    if extra:
        yield _line("Offer one as an extra only", number(extra))
    look = "see the sheet Open quotes" if touched or extra else ""
    yield _line("Options that would lose money if held", number(losing), look)


def _left(found: ProposedPrices) -> str:
    counts = {why: sum(one.why == why for one in found.left) for why in LEFT_WORDS}
    return "; ".join(f"{count} {LEFT_WORDS[why]}" for why, count in counts.items() if count)


def _chart(far: Sequence[PriceProposal], found: ProposedPrices) -> Block:
    titles = ("Part", "What it is", "Used in a year", "Change of cost", "More to pay a year", "More to sell for a year")
    count = f"The {len(far)} largest effects" if len(far) > 1 else "The largest effect"
    rows = [*section(count, _COLUMNS), head(*titles, "", right=range(2, 6))]
    for one in far:
        names = (text(short(one.row.code, 24)), text(short(one.row.name, 44)))
        effects = (amount(one.cost_effect, found), amount(one.price_effect, found))
        rows.append(row(*names, units(one.used), share(one.cost_change_then), *effects, blank()))
    below = any((one.cost_effect or 0) < 0 or (one.price_effect or 0) < 0 for one in far)
    drawing = Drawing(
        title="More to pay and more to sell for in a year",
        head=2,
        count=len(far),
        values=(4, 5),
        number_format=_whole(money_format(found.currency, found.language)),
        below_zero=below,
        alt="Bars of what the largest parts would cost more, and sell for more, in a year.",
    )
    return block(rows, _WIDTHS, (drawing,), sheet=NAME)


def _chart_of_changes(far: Sequence[PriceProposal]) -> Block:
    rows = [*section("The largest changes in the cost of one", _COLUMNS)]
    rows.append(head("Part", "What it is", "Change of cost", "Change of price", ("", 3), right=(2, 3)))
    for one in far:
        names = (text(short(one.row.code, 24)), text(short(one.row.name, 44)))
        rows.append(row(*names, share(one.cost_change_then), share(one.price_change_then), blank(across=3)))
    drawing = Drawing(
        title="Change in the cost of one",
        head=2,
        count=len(far),
        values=(2,),
        number_format="0%",
        below_zero=any((one.cost_change_then or 0) < 0 for one in far),
        alt="Bars of the largest changes in the cost of one.",
    )
    return block(rows, _WIDTHS, (drawing,), sheet=NAME)


def _whole(form: str) -> str:
    """A money format without decimals, for the scale of a chart.

    >>> _whole('"$"#,##0.00;"-$"#,##0.00')
    '"$"#,##0;"-$"#,##0'
    """
    head_, _, _ = form.partition(";")
    decimals = head_.count("0") - 1
    return form.replace("." + "0" * decimals, "") if "." in form and decimals > 0 else form
