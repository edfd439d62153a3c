"""The shop rate as lines on a screen: the figures, the table, and how the rates in force stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.rate_words import (
    burden_words,
    in_hours,
    in_money,
    parts_words,
    profit_words,
    standing_words,
    swing_words,
)
from quotekit.model.rate import Rates, ShopRate
from quotekit.money import minor_digits, round_to

Cells = tuple[str, ...]

_BAR = 40
"""Letters of the longest bar."""


def lay_out_rate_text(rate: ShopRate) -> list[str]:
    """Every line, in the order of the sum."""
    return [
        f"What an hour must sell for: {rate.shop_name}, a year in {rate.currency}",
        "",
        *_in_columns(list(_sums(rate)), right=(1,)),
        *(words for words in (burden_words(rate), swing_words(rate)) if words),
        "",
        *_table(rate),
        "",
        *_in_force(rate),
    ]


def _sums(rate: ShopRate) -> Iterator[Cells]:
    build, digits = rate.build, minor_digits(rate.currency)
    yield "Cost to cover", in_money(rate, rate.cost_to_cover), ""
    yield "Parts leave", in_money(rate, round_to(build.parts_contribution, digits)), parts_words(rate)
    yield "Labour to break even", in_money(rate, rate.rates.break_even_sales), ""
    yield "Sold hours", in_hours(rate, build.sold_hours), f"of {in_hours(rate, build.clock_hours)} clock hours"
    yield "Break-even rate", in_money(rate, rate.rates.break_even), "an hour"
    yield from _wanted(rate)
    yield "Break-even rate without parts", in_money(rate, rate.without_parts.break_even), "an hour"
    yield from _wanted_without_parts(rate)


def _wanted(rate: ShopRate) -> Iterator[Cells]:
    rates: Rates = rate.rates
    if rates.labour_sales is None or rates.for_profit is None or rate.profit is None:
        yield "Rate for a profit", "not known", "there is no row of the kind profit share"
        return
    yield "Labour with the profit", in_money(rate, rates.labour_sales), f"profit {in_money(rate, rate.profit)}"
    yield "Rate with the profit", in_money(rate, rates.for_profit), f"an hour, for {profit_words(rate)}"


def _wanted_without_parts(rate: ShopRate) -> Iterator[Cells]:
    if rate.without_parts.for_profit is not None and rate.without_parts.labour_sales is not None:
        labour = in_money(rate, rate.without_parts.labour_sales)
        yield (
            "With the profit, without parts",
            in_money(rate, rate.without_parts.for_profit),
            f"an hour, for {labour} of labour",
        )


def _table(rate: ShopRate) -> list[str]:
    """The rates against sold hours; a bar shows the last of them."""
    wanted = rate.rates.for_profit is not None
    titles = ("Sold hours", "Break-even", *(("With profit",) if wanted else ()), "")
    longest = max((row.for_profit if row.for_profit is not None else row.break_even) for row in rate.table)
    rows = [titles]
    for row in rate.table:
        last = row.break_even if row.for_profit is None else row.for_profit
        bar = "#" * int(last * _BAR / longest) if longest else ""
        figures = (in_money(rate, each) for each in (row.break_even, row.for_profit) if each is not None)
        rows.append((in_hours(rate, row.sold_hours), *figures, bar))
    return _in_columns(rows, right=range(len(titles) - 1))


def _in_force(rate: ShopRate) -> list[str]:
    if not rate.in_force:
        return [f"No labour rate is in force on {rate.on.isoformat()}."]
    rows = []
    for row in rate.in_force:
        enough = f"breaks even at {in_hours(rate, row.break_even_hours)} hours" if row.break_even_hours else ""
        standing = standing_words(row, profit_wanted=rate.rates.for_profit is not None)
        rows.append((row.code, in_money(rate, row.rate), f"{standing}; {enough}" if enough else standing))
    covered = (
        "; hours that cover the year, the parts selling along with them"
        if any(one.break_even_hours for one in rate.in_force)
        else ""
    )
    return [f"Rates in force on {rate.on.isoformat()}{covered}:", *_in_columns(rows, right=(1,))]


def _in_columns(rows: Sequence[Cells], right: Sequence[int] = ()) -> list[str]:
    """Lines whose cells stand under each other.

    >>> _in_columns([("a", "1"), ("bc", "23")], right=(1,))
    ['a    1', 'bc  23']
    """
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))] if rows else []
    return [
        "  ".join(
            cell.rjust(width) if at in right else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
