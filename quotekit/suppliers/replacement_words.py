"""Replacements that a list tells in words: `NLA, use 2-0312`, `see 2-0326`.

Taken is the one number of the list among the words, and that is told; where none or several of the words are numbers
of the list, the text stays as it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars

SAID = "replacement said"
"""The text as it stands in the list, of rows whose replacement was found among its words."""


def with_plain_replacements(frame: polars.DataFrame) -> polars.DataFrame:
    """The rows with the number alone in `superseded_by`, and `SAID` where there were such; others as they are."""
    import polars as pl

    if "superseded_by" not in frame.columns:
        return frame
    texts = frame["superseded_by"].unique()
    words = {text: _words(text) for text in texts.filter(texts.str.contains(r"\S\s+\S")).to_list()}
    if not words:
        return frame
    wanted = sorted({*words, *(word for each in words.values() for word in each)})
    listed = set(frame["number"].filter(frame["number"].is_in(wanted)).unique().to_list())
    plain = {
        text: among.pop() for text, each in words.items() if text not in listed and len(among := each & listed) == 1
    }
    if not plain:
        return frame
    said = pl.col("superseded_by")
    return frame.with_columns(
        said.replace_strict(list(plain), list(plain.values()), default=said, return_dtype=pl.String),
        pl.when(said.is_in(sorted(plain))).then(said).alias(SAID),
    )


def _words(text: str) -> set[str]:
    """What stands between the blanks of a text, without marks around it.

    >>> sorted(_words("NLA, use 2-0312."))
    ['2-0312', 'NLA', 'use']
    """
    return {word.strip(".,;:()[]=>\"'") for word in text.split()} - {""}
