"""What became of every row of a list: one fate a row, so that nothing is dropped in silence and the counts add up.

1. Rows that are no rows of the table: blank, more fields than columns, the header again, sums, notes.
2. Rows without a number; in another currency than the shop's (never converted); with a day that can't be read.
3. By day: rows dated after the day are to come, rows that ended before it have ended. Of what is left of a number the
   latest dated rows count; others are earlier. A row without a day is earlier than one with a day.
4. Several such rows of a number: where they say the same, the first counts and the others are repeated; where they do
   not, none counts, and all are contradicted.
5. Of those that would count: a pack or price quantity that is no number above zero, no cost, a cost that can't be read,
   of zero or below zero. All others are in force.

A later row without a cost does not bring an earlier cost back: that price is no longer true.
Shop policy. Worked example: A 10.00 from 1 January, A 11.00 from 1 June, on 15 March: the first is in force, the second
to come.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from quotekit.model.price_list import FATES
from quotekit.suppliers.delimited import BLANK, LONG, SHORT
from quotekit.suppliers.list_columns import ListColumns, value_of
from quotekit.suppliers.number_column import MILLION
from quotekit.suppliers.number_texts import SIGNS
from quotekit.workbook.currencies import CURRENCIES

if TYPE_CHECKING:
    import polars

FATE = "fate"
CODES = {fate: code for code, fate in enumerate(FATES)}
"""Fates as small whole numbers: a million texts would take their room."""

_TOTAL = (
    r"(?i)^\W*(?:grand |sub|zwischen|end|gesamt)?[ -]?(?:totals?|totale|totaal|sum|summe|gesamt|somme|suma|razem|celkem"
    r"|total general)\b(?: |:|$)"
)
_TOTAL_WORDS = frozenset(
    form(f"{word}{end}")
    for word in (
        *"total totals totale totaal sum summe gesamt somme suma razem celkem subtotal zwischensumme endsumme".split(),
        *("gesamtsumme", "grand total", "sub total", "sub-total", "sous-total", "total general"),
    )
    for end in ("", ":")
    for form in (str, str.capitalize, str.title, str.upper)
)
"""What stands for a number in a row of sums, exactly."""

_TERMS = ("cost", "price_for", "pack", "list_price", "unit", "lead_days", "superseded_by")


def rows_with_fates(columns: ListColumns, headers: dict[str, str], currency: str, day: date) -> polars.DataFrame:
    """The rows with a column `fate`."""
    import polars as pl

    frame = columns.frame
    fate = pl.lit(None, dtype=pl.UInt8)
    for code, mask in _before_days(frame, headers, currency):
        fate = pl.coalesce(fate, pl.when(mask).then(pl.lit(code, dtype=pl.UInt8)))
    fate = pl.coalesce(fate, *_by_day(frame, day))
    frame = frame.with_columns(fate.alias(FATE))
    frame = _among_several(frame)
    return frame.with_columns(pl.coalesce(pl.col(FATE), *_by_cost(frame), _is(pl.lit(True), "in force")).alias(FATE))


def _is(mask: polars.Expr, fate: str) -> polars.Expr:
    import polars as pl

    code = pl.lit(CODES[fate], dtype=pl.UInt8)  # type: ignore[index]
    return pl.when(mask).then(code)


def _before_days(frame: polars.DataFrame, headers: dict[str, str], currency: str) -> list[tuple[int, polars.Expr]]:
    """What makes a row no row of the table, or one that can't be compared with others."""
    import polars as pl

    number = pl.col("number")
    amounts = [pl.col(name) != "" for name in ("cost", "list_price") if name in frame.columns]
    amount = pl.any_horizontal(amounts)
    texts = [name for name in ("number", "description", "unit") if name in frame.columns]
    odd = (number == "") | pl.all_horizontal(pl.col(value_of(name)).is_null() for name in _amounts(frame))
    suspects = frame.select(odd.fill_null(True).alias("odd"))["odd"]
    total = number.is_in(sorted(_TOTAL_WORDS))
    again = alone = pl.lit(False)
    if suspects.any():
        said = pl.any_horizontal(pl.col(name).str.contains(_TOTAL) for name in texts)
        total = total | (odd & said & (number.str.contains(_TOTAL) | (number == "")))
        held = {name: pl.col(name).str.strip_chars() for name in headers}
        again = odd & pl.all_horizontal(held[name] == headers[name].strip() for name in headers) & (number != "")
        others = [held[name] == "" for name in headers if name != "number"]
        title = number.str.contains(r"\S\s+\S") | (pl.col("shape") == SHORT)
        alone = (
            odd & title & (number != "") & pl.all_horizontal(others) & ~number.str.contains("[0-9]")
            if others
            else alone
        )
    said_currency = pl.col(value_of("currency"))
    found = [
        ("blank", pl.col("shape") == BLANK),
        ("ragged", pl.col("shape") == LONG),
        ("heading", again | alone),
        ("total", total),
        ("note", (number == "") & ~amount),
        ("no number", number == ""),
        ("other currency", (said_currency != currency) & said_currency.is_in(sorted({*CURRENCIES, *SIGNS}))),
        ("unreadable currency", said_currency != currency),
    ]
    if frame[value_of("currency")].n_unique() == 1 and frame[value_of("currency")][0] == currency:
        del found[-2:]
    return [(CODES[name], mask) for name, mask in found]  # type: ignore[index]


def _amounts(frame: polars.DataFrame) -> list[str]:
    return [name for name in ("cost", "list_price") if name in frame.columns]


def _by_day(frame: polars.DataFrame, day: date) -> list[polars.Expr]:
    import polars as pl

    found = []
    for name in ("dated", "until"):
        if name in frame.columns:
            found.append(_is((pl.col(name) != "") & pl.col(value_of(name)).is_null(), "unreadable date"))
    if "until" in frame.columns:
        found.append(_is(pl.col(value_of("until")) < day, "ended"))
    if "dated" in frame.columns:
        found.append(_is(pl.col(value_of("dated")) > day, "to come"))
    return found


def _among_several(frame: polars.DataFrame) -> polars.DataFrame:
    """Fates of rows whose number has several rows that could count."""
    import polars as pl

    waiting = frame[FATE].is_null()
    numbers = frame["number"] if waiting.all() else frame["number"].filter(waiting)
    if _ascending(numbers) or numbers.hash().n_unique() == numbers.len():
        return frame  # different hashes are different numbers
    dated = pl.col(value_of("dated")).fill_null(date.min) if "dated" in frame.columns else pl.lit(date.min)
    terms = [_term(frame, name).cast(pl.String).fill_null("") for name in _TERMS if name in frame.columns]
    said = pl.concat_str([*terms, *_texts_of(frame)], separator="\x1f", ignore_nulls=False)
    asked = [pl.col("row"), pl.col("number"), dated.alias("day"), said.alias("terms")]
    several = frame.lazy().filter(waiting).filter(pl.col("number").is_duplicated()).select(asked).collect()
    latest = pl.col("day") == pl.col("day").max().over("number")
    counts = several.filter(latest).with_columns(
        (pl.col("terms").n_unique().over("number") > 1).alias("contradicted"),
        (pl.col("row") != pl.col("row").min().over("number")).alias("repeated"),
    )
    decided = pl.concat(
        [
            several.filter(~latest).select("row", _is(pl.lit(True), "earlier").alias("decided")),
            counts.select(
                "row",
                pl.coalesce(_is(pl.col("contradicted"), "contradicted"), _is(pl.col("repeated"), "repeated")).alias(
                    "decided"
                ),
            ),
        ]
    )
    joined = frame.join(decided, on="row", how="left", maintain_order="left")
    return joined.with_columns(pl.coalesce(pl.col(FATE), pl.col("decided")).alias(FATE)).drop("decided")


def _term(frame: polars.DataFrame, name: str) -> polars.Expr:
    """What a row says of one of its terms; a pack or a price quantity that is blank is one."""
    import polars as pl

    value = pl.col(value_of(name) if value_of(name) in frame.columns else name)
    return pl.when(pl.col(name) == "").then(MILLION).otherwise(value) if name in ("pack", "price_for") else value


def _ascending(numbers: polars.Series) -> bool:
    """Whether each number is longer than the one before, or as long and later in text order: then none stands twice."""
    import polars as pl

    longer = numbers.str.len_bytes().cast(pl.Int64).diff().slice(1)
    later = numbers.slice(1) > numbers.slice(0, max(0, numbers.len() - 1))
    return bool(((longer > 0) | ((longer == 0) & later)).all())


def _texts_of(frame: polars.DataFrame) -> list[polars.Expr]:
    """Amounts that can't be read by their texts: two such are alike only where they are the same text."""
    import polars as pl

    return [
        pl.when(pl.col(value_of(name)).is_null()).then(pl.col(name)).otherwise(pl.lit("")).alias(f"{name} text")
        for name in ("cost", "list_price", "pack", "price_for")
        if name in frame.columns
    ]


def _by_cost(frame: polars.DataFrame) -> list[polars.Expr]:
    import polars as pl

    found = []
    for name in ("pack", "price_for"):
        if name in frame.columns:
            value = pl.col(value_of(name))
            found.append(_is((pl.col(name) != "") & (value.is_null() | (value <= 0)), "unreadable quantity"))
    if "cost" in frame.columns:
        value = pl.col(value_of("cost"))
        found += [
            _is(pl.col("cost") == "", "no cost"),
            _is(value.is_null(), "unreadable cost"),
            _is(value == 0, "zero cost"),
            _is(value < 0, "negative cost"),
        ]
    return found
