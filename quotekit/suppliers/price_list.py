"""A list that was read: every row as columns, and the few rows that somebody asks for as records.

A million rows stay columns; looking up thousands of numbers makes records of their rows alone. What is looked up is the
number as it stands in the list; one that is only alike is told as near, and one with two sets of terms has no price.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quotekit.model.price_list import FATES, Fate, Finding, FoundPrice, ListedPrice, ListReport
from quotekit.record import record
from quotekit.suppliers.list_columns import value_of
from quotekit.suppliers.mapping import units_of
from quotekit.suppliers.near_numbers import alike, one_slip_away
from quotekit.suppliers.number_column import from_millionths
from quotekit.suppliers.row_fates import CODES, FATE

if TYPE_CHECKING:
    import polars

_BY_CODE: tuple[Fate, ...] = tuple(FATES)
_NO_NUMBER: tuple[Fate, ...] = ("blank", "note", "total", "heading", "no number")
MOST_ROWS = 8
"""Rows shown of a number that has no price."""


@record
class PriceList:
    """A supplier's list on a day: what is to be known of it, and its rows as columns."""

    report: ListReport
    frame: polars.DataFrame
    cost_is_for: str = "each"
    list_is_for: str = "each"

    def find(self, numbers: Iterable[str], *, nearest: bool = True) -> dict[str, FoundPrice]:
        """What the list says of some supplier's numbers, in the order asked.

        Numbers that are not there at all come with those one slip away; that takes a moment and may be left out.
        """
        asked = list(dict.fromkeys(numbers))
        wanted = {number: number.strip() for number in asked}
        rows = self._rows_of(set(wanted.values()))
        missing = [number for number in asked if wanted[number] not in rows]
        near = alike({wanted[number] for number in missing}, self._numbers()) if missing else {}
        rows |= self._rows_of({each for found in near.values() for each in found})
        lost = {wanted[number] for number in missing if wanted[number] not in near}
        slips = one_slip_away(sorted(lost), self._numbers()) if nearest and lost else {}
        return {number: _found(number, wanted[number], rows, near, slips) for number in asked}

    def _numbers(self) -> polars.Series:
        """Every number that some row of the table has, as often as it stands there."""
        import polars as pl

        held = ~pl.col(FATE).is_in([CODES[fate] for fate in _NO_NUMBER])
        return self.frame.select(pl.col("number").filter(held)).to_series()

    def _rows_of(self, numbers: set[str]) -> dict[str, tuple[ListedPrice, ...]]:
        """The rows of some numbers as records, in the order of the list."""
        import polars as pl

        if not numbers:
            return {}
        structural = [CODES[fate] for fate in _NO_NUMBER]
        chosen = self.frame.filter(pl.col("number").is_in(sorted(numbers)) & ~pl.col(FATE).is_in(structural))
        found: dict[str, list[ListedPrice]] = {}
        for row in chosen.iter_rows(named=True):
            found.setdefault(row["number"], []).append(_listed(row, self.cost_is_for, self.list_is_for))
        return {number: tuple(rows) for number, rows in found.items()}


def _found(
    asked: str,
    wanted: str,
    rows: dict[str, tuple[ListedPrice, ...]],
    near: dict[str, tuple[str, ...]],
    slips: dict[str, tuple[str, ...]],
) -> FoundPrice:
    """What is told of one number."""
    if wanted in rows:
        return _of_rows(asked, rows[wanted], "exact")
    names = near.get(wanted, ())
    if len(names) == 1:
        return _of_rows(asked, rows[names[0]], "near")
    if names:
        shown = tuple(row for name in names for row in rows[name])[:MOST_ROWS]
        return FoundPrice(asked=asked, how="several", rows=shown, nearest=names[:MOST_ROWS])
    return FoundPrice(asked=asked, how="not found", nearest=slips.get(wanted, ()))


def _of_rows(asked: str, rows: tuple[ListedPrice, ...], how: Finding) -> FoundPrice:
    in_force = next((row for row in rows if row.fate == "in force"), None)
    if in_force is not None:
        return FoundPrice(asked=asked, how=how, price=in_force)
    contradicted = any(row.fate == "contradicted" for row in rows)
    return FoundPrice(asked=asked, how="contradicted" if contradicted else "no price", rows=rows[:MOST_ROWS])


def _listed(row: dict[str, Any], cost_is_for: str, list_is_for: str) -> ListedPrice:
    """One row of the columns as a record."""
    pack = from_millionths(row.get(value_of("pack")))
    price_for = from_millionths(row.get(value_of("price_for")))
    return ListedPrice(
        number=row["number"],
        row=row["row"],
        fate=_BY_CODE[row[FATE]],
        cost=from_millionths(row.get(value_of("cost"))),
        pack=pack,
        list_price=from_millionths(row.get(value_of("list_price"))),
        lead_days=row.get(value_of("lead_days")),
        superseded_by=row.get("superseded_by") or "",
        currency=row[value_of("currency")],
        dated=row.get(value_of("dated")),
        until=row.get(value_of("until")),
        unit=row.get("unit") or "",
        description=(row.get("description") or "").strip(),
        cost_for=price_for or (pack if cost_is_for == "pack" and pack else Decimal(units_of(cost_is_for))),
        list_for=price_for or Decimal(units_of(list_is_for)),
    )
