"""A column of number texts as whole millionths, exactly: no float on the way.

Most texts are plain digits with one mark. These are read by polars, which would round silently and takes `1e3` for a
number, so that only texts of at most twelve digits, a mark and six digits reach it. Every other text is read once by
`read_number`, and the rows that have it get its value or the reason why it has none.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.record import record
from quotekit.suppliers.number_texts import DECIMALS, WHOLE_DIGITS, NumberStyle, NumberText, read_number

if TYPE_CHECKING:
    import polars

MILLION = 10**DECIMALS
ReadText = Callable[[str], NumberText | str]


@record
class NumberColumn:
    """Values as whole millionths, null where a text is blank or no number; currencies of the texts that name one."""

    values: polars.Series
    odd: dict[str, NumberText | str]
    """Every text that is not plain digits, as it was read, or why it is no number."""


def read_number_column(texts: polars.Series, style: NumberStyle, read_text: ReadText | None = None) -> NumberColumn:
    """The exact values of a column of stripped texts. `read_text` reads what is not plain digits."""
    import polars as pl

    mark = "," if style.decimal_mark == "," else r"\."
    plain = texts.str.contains(rf"^[0-9]{{1,{WHOLE_DIGITS}}}(?:{mark}[0-9]{{1,{DECIMALS}}})?$")
    rest = texts.filter(~plain)
    with_point = texts.str.replace(",", ".", literal=True) if style.decimal_mark == "," else texts
    values = with_point.str.to_decimal(scale=DECIMALS).to_physical().cast(pl.Int64, strict=False)
    if not rest.len():
        return NumberColumn(values=values, odd={})
    read = read_text or (lambda text: read_number(text, style))
    odd = {text: read(text) for text in rest.unique().to_list() if text}
    known = {text: in_millionths(found.value) for text, found in odd.items() if isinstance(found, NumberText)}
    others = (
        texts.replace_strict(list(known), list(known.values()), default=None, return_dtype=pl.Int64)
        if known
        else pl.Series([None], dtype=pl.Int64)
    )
    return NumberColumn(values=pl.select(pl.when(plain).then(values).otherwise(others)).to_series(), odd=odd)


def in_millionths(value: Decimal) -> int:
    """A value as whole millionths; it has no more decimals than that.

    >>> in_millionths(Decimal("1.25"))
    1250000
    """
    scaled = value.scaleb(DECIMALS)
    whole = int(scaled)
    if whole != scaled:
        raise ValueError(f"{value} has more than {DECIMALS} decimals")
    return whole


def from_millionths(whole: int | None) -> Decimal | None:
    """The exact value of whole millionths, without needless zeros.

    >>> from_millionths(1250000), from_millionths(100000000), from_millionths(None)
    (Decimal('1.25'), Decimal('100'), None)
    """
    if whole is None:
        return None
    units, rest = divmod(abs(whole), MILLION)
    text = f"{'-' if whole < 0 else ''}{units}.{rest:0{DECIMALS}d}".rstrip("0").rstrip(".")
    return Decimal(text)
