"""The currency of each row of a list: nothing is converted, so a row counts only where all it says is in the shop's.

A row is in the currency that it names itself, else in the list's. An amount with the sign or code of another one is in
that: beside an amount without a sign, or in a row that names its currency, the row then speaks of two, and is told by
the one that is not the shop's.
Worked example, a list in EUR for a shop that counts in USD: `US$5` beside a blank list price is in USD; `US$5` beside
a list price of `9` is in EUR too, and does not count.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from quotekit.suppliers.number_texts import SIGNS, is_currency

if TYPE_CHECKING:
    import polars


def row_currencies(
    frame: polars.DataFrame, ours: str, shop: str, signs: Mapping[str, Mapping[str, str]]
) -> polars.Series:
    """The currency of each row.

    Parameters
    ----------
    frame
        Stripped texts; `currency` is the row's own, where the list has it.
    ours, shop
        What a row without a word is in, and what the shop counts in.
    signs
        Amount field to those of its texts that name a currency, with the sign or code.
    """
    import polars as pl

    said = _said(frame, ours)
    others = {field: _other_than_said(frame[field], said, named) for field, named in signs.items()}
    foreign = [found for found in others.values() if found is not None]
    if not foreign:
        return said
    bare = [
        frame[field] != "" if other is None else (frame[field] != "") & other.is_null()
        for field, other in others.items()
    ]
    if "currency" in frame.columns:
        bare.append(frame["currency"] != "")
    not_ours = [pl.when(pl.any_horizontal(*bare) & (said != shop)).then(said)]
    not_ours += [pl.when(other != shop).then(other) for other in foreign]
    two = pl.any_horizontal(*(other.is_not_null() for other in foreign))
    found = pl.when(two).then(pl.coalesce(*not_ours, pl.lit(shop))).otherwise(said)
    return pl.select(found.alias("currency")).to_series()


def _said(frame: polars.DataFrame, ours: str) -> polars.Series:
    """What each row names itself, else the list's; a sign that may stand for the list's does."""
    import polars as pl

    if "currency" not in frame.columns:
        return pl.Series("currency", [ours], dtype=pl.String).new_from_index(0, frame.height)
    texts = pl.col("currency")
    alike = [text for text in frame["currency"].unique().to_list() if text and is_currency(text, ours)]
    own = pl.when((texts == "") | texts.is_in(alike)).then(pl.lit(ours)).otherwise(texts.str.to_uppercase())
    return frame.select(own.alias("currency")).to_series()


def _other_than_said(texts: polars.Series, said: polars.Series, named: Mapping[str, str]) -> polars.Series | None:
    """The currency of each text that names another one than its row is in; None where no text may."""
    import polars as pl

    rows_are_in = said.unique().to_list()
    odd = {text: sign for text, sign in named.items() if not all(is_currency(sign, each) for each in rows_are_in)}
    if not odd:
        return None
    sign = texts.replace_strict(list(odd), list(odd.values()), default=None, return_dtype=pl.String)
    found = [
        pl.when((sign == each) & ~said.is_in([row for row in rows_are_in if is_currency(each, row)])).then(
            pl.lit(_code(each))
        )
        for each in sorted(set(odd.values()))
    ]
    return pl.select(pl.coalesce(*found).alias(texts.name)).to_series()


def _code(sign: str) -> str:
    """The code of a sign that stands for one currency only; else as it is."""
    return SIGNS[sign][0] if len(SIGNS.get(sign, ())) == 1 else sign
