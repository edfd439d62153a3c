"""Numbers of a list that are nearly the one asked for: alike but for case, marks or zeros, or one slip away.

Alike: without case, spaces, dashes, dots, slashes and underscores the same; then also without zeros at the front. An
alike number may be taken with a word about it where it is the only one. One slip away (a character too many, missing,
wrong, or two exchanged) is only ever shown.
Every text one slip away from the number asked for is made, and looked for among the list's: a few hundred texts a
number, so that a million numbers need no comparing one by one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars

MOST_SHOWN = 5
MOST_ASKED = 5_000
"""Numbers for which nearest ones are looked for; a book of which more are missing has another supplier's list."""

_MARKS = r"[\s\-–—‐‑./_\\]+"
_LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789"
LETTERS_AND_DIGITS = _LETTERS + _LETTERS[:26].upper()
_LONGEST = 40


def number_key(number: str) -> str:
    """The form in which numbers are alike.

    >>> number_key("AB-12.3/4"), number_key("ab 1234")
    ('ab1234', 'ab1234')
    """
    return re.sub(_MARKS, "", number).lower()


def key_of(numbers: polars.Expr) -> polars.Expr:
    """The same for a column."""
    return numbers.str.replace_all(_MARKS, "").str.to_lowercase()


def keys_of(numbers: polars.Series) -> polars.Series:
    """The same for the numbers of a list; those of digits and small letters are their keys."""
    import polars as pl

    if made_of(numbers, _LETTERS):
        return numbers
    return pl.select(key_of(pl.lit(numbers))).to_series()


def made_of(texts: polars.Series, characters: str) -> bool:
    """Whether no text holds any but some plain characters: all are looked at together, as one text.

    >>> import polars as pl
    >>> made_of(pl.Series(["12", "34"]), "1234"), made_of(pl.Series(["12", "3-4"]), "1234")
    (True, False)
    """
    return not any(text.encode().translate(None, characters.encode()) for text in texts.str.join("").to_list())


def zeroless(key: polars.Expr) -> polars.Expr:
    """A key without the zeros at its front."""
    return key.str.strip_chars_start("0")


def alike(asked: Iterable[str], numbers: polars.Series) -> dict[str, tuple[str, ...]]:
    """For each number the list's numbers that are alike; those with other zeros only where no other is."""
    import polars as pl

    wanted = pl.DataFrame({"asked": list(asked)}, schema={"asked": pl.String})
    keys = wanted.with_columns(key_of(pl.col("asked")).alias("key")).filter(pl.col("key") != "")
    listed = pl.DataFrame({"number": numbers, "key": keys_of(numbers)})
    found = _joined(keys, listed)
    rest = keys.filter(~pl.col("asked").is_in(list(found))).with_columns(zeroless(pl.col("key")))
    if rest.height:
        found |= _joined(rest.filter(pl.col("key") != ""), listed.with_columns(zeroless(pl.col("key"))))
    return found


def _joined(keys: polars.DataFrame, listed: polars.DataFrame) -> dict[str, tuple[str, ...]]:
    import polars as pl

    wanted = listed.filter(pl.col("key").is_in(keys["key"].unique().to_list()))
    pairs = keys.join(wanted, on="key").select("asked", "number").unique().sort("asked", "number")
    found: dict[str, list[str]] = {}
    for number, near in pairs.iter_rows():
        found.setdefault(number, []).append(near)
    return {number: tuple(near) for number, near in found.items()}


def one_slip_away(asked: Iterable[str], numbers: polars.Series) -> dict[str, tuple[str, ...]]:
    """For each number those of the list that are one slip away, in text order, at most a few."""
    import polars as pl

    listed = pl.DataFrame({"number": numbers, "key": keys_of(numbers)})
    found: dict[str, tuple[str, ...]] = {}
    numbers_asked = [number for number in asked if 3 <= len(number_key(number)) <= _LONGEST][:MOST_ASKED]
    for start in range(0, len(numbers_asked), 200):
        some = numbers_asked[start : start + 200]
        slips = [(number, text) for number in some for text in set(slips_of(number_key(number)))]
        made = pl.DataFrame(slips, schema={"asked": pl.String, "key": pl.String}, orient="row")
        pairs = listed.join(made, on="key").select("asked", "number").unique().sort("asked", "number")
        for number, near in pairs.iter_rows():
            found[number] = (*found.get(number, ()), near)[:MOST_SHOWN]
    return found


def slips_of(key: str) -> Iterator[str]:
    """Every key that is one slip of the hand away.

    >>> sorted(set(slips_of("ab")) & {"ba", "b", "aab", "xb", "ab"})
    ['aab', 'b', 'ba', 'xb']
    """
    for at in range(len(key) + 1):
        before, after = key[:at], key[at:]
        if after:
            yield before + after[1:]
        if len(after) > 1 and after[0] != after[1]:
            yield before + after[1] + after[0] + after[2:]
        for letter in _LETTERS:
            yield before + letter + after
            if after and after[0] != letter:
                yield before + letter + after[1:]
