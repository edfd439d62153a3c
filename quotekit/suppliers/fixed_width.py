"""Lists of fixed width: each column takes the same characters of every line.

Columns are told apart by characters that are blank in nearly every line of the table. Places are counted from 1, as a
person counts, and are characters, not bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from quotekit.record import record
from quotekit.suppliers.delimited import BLANK, REGULAR, ROW, SHAPE, SHORT, TextColumns

if TYPE_CHECKING:
    import polars

THROUGH = "cut through"
_NEARLY_ALL = 0.98
_FEWEST_LINES = 3


@record
class Cut:
    """Characters `start` to `end` of a line, from 1, both included; the last column's `end` is 0: the rest."""

    start: int
    end: int = 0

    def of(self, line: str) -> str:
        """What stands there.

        >>> Cut(start=3, end=4).of("abcdef"), Cut(start=5).of("abcdef")
        ('cd', 'ef')
        """
        return line[self.start - 1 : self.end or None].strip()


def guess_cuts(lines: Sequence[str], header: str = "") -> tuple[Cut, ...]:
    """Where the columns of a table stand, from some of its lines.

    No cut goes through a word of the header: with few lines, blanks between words may line up by chance.

    What stands at the right of its column (amounts) may grow to the left, so that the blanks before it are its own.

    >>> lines = ["A-1   Belt       12.50", "A-22  Long belt   3.00", "B-3   Seal kit   99.00", "B-4   V-ring      1.00"]
    >>> guess_cuts(lines)
    (Cut(start=1, end=6), Cut(start=7, end=15), Cut(start=16, end=0))
    """
    used = [line.rstrip() for line in lines if line.strip()]
    if len(used) < _FEWEST_LINES:
        return ()
    width = max(map(len, [*used, header.rstrip()]))
    filled = [sum(line[at : at + 1] not in ("", " ") for line in used) / len(used) for at in range(width)]
    blank = [share <= 1 - _NEARLY_ALL and header[at : at + 1] in ("", " ") for at, share in enumerate(filled)]
    starts = [at for at in range(width) if not blank[at] and (at == 0 or blank[at - 1])]
    ends = [next((at for at in range(start, width) if blank[at]), width) for start in starts]
    starts, ends = _with_words_joined(starts, ends, filled)
    begins = [0]
    for start, end, before in zip(starts[1:], ends[1:], ends, strict=False):
        at_right = filled[end - 1] >= _NEARLY_ALL > filled[start]
        begins.append(before if at_right else start)
    return tuple(Cut(start=begin + 1, end=end) for begin, end in zip(begins, [*begins[1:], 0], strict=True))


def _with_words_joined(
    starts: Sequence[int], ends: Sequence[int], filled: Sequence[float]
) -> tuple[list[int], list[int]]:
    """Columns without those that are only one more word of a header (`Pack size` above 1, 10): it is the one before's.

    Such a word stands one blank behind another, with nothing below it.
    """
    joined: list[tuple[int, int]] = []
    for start, end in zip(starts, ends, strict=True):
        empty = max(filled[start:end]) <= 1 - _NEARLY_ALL
        if joined and empty and start - joined[-1][1] == 1:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return [start for start, _ in joined], [end for _, end in joined]


def cut_through(cuts: Sequence[Cut]) -> polars.Expr:
    """Whether a cut goes through what stands there in a `line`: it may be wider than its column."""
    import polars as pl

    through = pl.lit(False)
    for cut in cuts:
        if cut.start > 1:
            pair = pl.col("line").str.slice(cut.start - 2, 2)
            through = through | pair.str.contains(r"^\S\S$")
    return through


def read_fixed_width(data: bytes, cuts: Sequence[Cut], above: int) -> TextColumns:
    """The columns of UTF-8 bytes, one a cut, in their order."""
    import polars as pl

    lines = _lines(data)
    rows = lines.len()
    frame = pl.DataFrame({ROW: pl.arange(1, rows + 1, eager=True, dtype=pl.UInt32), "line": lines}).slice(above)
    last = max(cut.start for cut in cuts)
    through = cut_through(cuts).alias(THROUGH)
    return TextColumns(frame=frame.select(*_columns(cuts), ROW, _shape(last), through), rows=rows)


def _columns(cuts: Sequence[Cut]) -> list[polars.Expr]:
    import polars as pl

    return [
        pl.col("line").str.slice(cut.start - 1, cut.end - cut.start + 1 if cut.end else None).alias(f"column_{at}")
        for at, cut in enumerate(cuts)
    ]


def _shape(last: int) -> polars.Expr:
    """A line that ends before the last column begins is short, one of spaces blank."""
    import polars as pl

    line = pl.col("line")
    empty = line.str.strip_chars().str.len_bytes() == 0
    short = line.str.len_chars() < last
    shape = pl.when(empty).then(BLANK).when(short).then(SHORT).otherwise(REGULAR)
    return shape.cast(pl.UInt8).alias(SHAPE)


def _lines(data: bytes) -> polars.Series:
    """Every line, blank ones too, without its end."""
    import polars as pl

    if not data:
        return pl.Series("line", [], dtype=pl.String)
    free = next(code for code in range(1, 32) if code not in (9, 10, 13) and bytes([code]) not in data)
    frame = pl.read_csv(
        data,
        has_header=False,
        separator=chr(free),
        quote_char=None,
        schema={"line": pl.String},
        infer_schema=False,
        empty_string_is_null=False,
    )
    found: polars.Series = frame["line"].fill_null("").str.strip_chars_end("\r")
    return found
