"""The columns of a list as values: exact amounts, days, quantities, currencies; what can't be read keeps its reason.

Amounts are whole millionths. A price quantity or a pack may be words (`per 100`, `C`, `10 pcs`).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quotekit.record import record
from quotekit.suppliers.date_texts import read_date, read_lead_days, read_quantity_words
from quotekit.suppliers.list_texts import ListTexts
from quotekit.suppliers.mapping import PriceMapping
from quotekit.suppliers.number_column import NumberColumn, read_number_column
from quotekit.suppliers.number_texts import NumberStyle, NumberText, read_number
from quotekit.suppliers.replacement_words import with_plain_replacements
from quotekit.suppliers.row_currencies import row_currencies

if TYPE_CHECKING:
    import polars

_AMOUNTS, _QUANTITIES, _DAYS = ("cost", "list_price"), ("pack", "price_for"), ("dated", "until")
MONEY_NEVER = "it is a percentage"


@record
class ListColumns:
    """Stripped texts and, beside those that are more than text, `<field> value`; `reasons` of odd texts by field."""

    frame: polars.DataFrame
    spaced: int
    """Numbers with spaces around them, which were taken off."""

    spaced_row: int
    reasons: dict[str, dict[str, str]]


def value_of(field: str) -> str:
    """The name of the column that holds a field's values.

    >>> value_of("cost")
    'cost value'
    """
    return f"{field} value"


def read_columns(texts: ListTexts, mapping: PriceMapping, currency: str) -> ListColumns:
    """Every mapped column of a list as values, beside its stripped texts."""
    import polars as pl

    fields = [name for name in texts.frame.columns if name in mapping.columns or name in mapping.places]
    raw = texts.frame["number"]
    stripped = [name for name in fields if name != "description"]
    frame = texts.frame.with_columns(pl.col(stripped).str.strip_chars())
    spaced = (raw.str.len_bytes() != frame["number"].str.len_bytes()) & (frame["number"] != "")
    first = spaced.arg_true()
    values: list[polars.Series] = []
    reasons: dict[str, dict[str, str]] = {}
    signs: dict[str, dict[str, str]] = {}
    for field in fields:
        column = frame[field]
        if field in _AMOUNTS:
            amounts = read_number_column(column, mapping.style, _money(mapping.style))
            values.append(amounts.values.alias(value_of(field)))
            reasons[field] = _reasons(amounts)
            signs[field] = _signs(amounts)
        elif field in _QUANTITIES:
            amounts = read_number_column(column, mapping.style, _quantity(mapping.style))
            values.append(amounts.values.alias(value_of(field)))
            reasons[field] = _reasons(amounts)
        elif field in _DAYS:
            values.append(
                _each(column, lambda text: read_date(text, mapping.date_order), pl.Date).alias(value_of(field))
            )
        elif field == "lead_days":
            values.append(_each(column, read_lead_days, pl.Int32).alias(value_of(field)))
    named = row_currencies(frame, mapping.currency or currency, currency, signs)
    values.append(named.alias(value_of("currency")))
    return ListColumns(
        frame=with_plain_replacements(frame.with_columns(values)),
        spaced=first.len(),
        spaced_row=int(frame["row"][first[0]]) if first.len() else 0,
        reasons=reasons,
    )


def _money(style: NumberStyle) -> Callable[[str], NumberText | str]:
    def read(text: str) -> NumberText | str:
        found = read_number(text, style)
        return MONEY_NEVER if isinstance(found, NumberText) and found.percent else found

    return read


def _quantity(style: NumberStyle) -> Callable[[str], NumberText | str]:
    def read(text: str) -> NumberText | str:
        words = read_quantity_words(text)
        if words is not None:
            return NumberText(value=Decimal(words))
        found = read_number(text, style)
        return MONEY_NEVER if isinstance(found, NumberText) and found.percent else found

    return read


def _reasons(column: NumberColumn) -> dict[str, str]:
    return {text: found for text, found in column.odd.items() if isinstance(found, str)}


def _signs(column: NumberColumn) -> dict[str, str]:
    """Texts that name a currency, with its sign or code."""
    return {
        text: found.currency for text, found in column.odd.items() if isinstance(found, NumberText) and found.currency
    }


def _each(column: polars.Series, read: Callable[[str], Any], kind: Any) -> polars.Series:
    """Each different text read once: days and lead times are few."""
    import polars as pl

    known = {text: value for text in column.unique().to_list() if text and (value := read(text)) is not None}
    if not known:
        return pl.Series(column.name, [None], dtype=kind).new_from_index(0, column.len())
    found: polars.Series = column.replace_strict(list(known), list(known.values()), default=None, return_dtype=kind)
    return found
