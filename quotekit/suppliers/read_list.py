"""Reads a supplier's list under its mapping: every row accounted for, every amount exact."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.model.price_list import FATES, Fate, ListReport
from quotekit.problems import Place, Problem, error, has_errors
from quotekit.suppliers.dataframes import dataframes
from quotekit.suppliers.list_columns import ListColumns, read_columns
from quotekit.suppliers.list_remarks import remarks_of
from quotekit.suppliers.list_texts import ListTexts, read_list_texts
from quotekit.suppliers.mapping import PriceMapping, units_of
from quotekit.suppliers.price_list import PriceList
from quotekit.suppliers.row_fates import CODES, FATE, rows_with_fates

if TYPE_CHECKING:
    import polars

_KEPT = ("row", FATE, "number", "superseded_by", "description", "unit")


def read_list(path: Path, mapping: PriceMapping, currency: str, day: date) -> tuple[PriceList | None, list[Problem]]:
    """The list as it stands on a day, for a shop of a currency; or what stands in the way of reading it."""
    dataframes()
    texts, problems = read_list_texts(path, mapping)
    if texts is None or has_errors(problems):
        return None, problems
    columns = read_columns(texts, mapping, currency)
    frame = rows_with_fates(columns, texts.headers, currency, day)
    report = _report(texts, columns, frame, mapping, currency, day, problems)
    if not report.numbers:
        message = "no row of the list has a number and a price that counts"
        problems = [*problems, error(Place(path.name), "no-usable-row", message, _remedy(report, mapping))]
    kept = [name for name in frame.columns if name in _KEPT or name.endswith(" value")]
    for_units = {"cost_is_for": mapping.cost_is_for, "list_is_for": mapping.list_is_for}
    return PriceList(report=report, frame=frame.select(kept), **for_units), problems


def _report(
    texts: ListTexts,
    columns: ListColumns,
    frame: polars.DataFrame,
    mapping: PriceMapping,
    currency: str,
    day: date,
    problems: list[Problem],
) -> ListReport:
    fates = fate_counts(frame, texts)
    return ListReport(
        supplier=mapping.supplier,
        file=texts.file,
        sha256=texts.digest.result(),
        day=day,
        currency=currency,
        rows=texts.rows,
        numbers=fates.get("in force", 0),
        fates=fates,
        remarks=remarks_of(frame, texts, columns, mapping),
        read_as=(
            *texts.read_as,
            mapping.style.shown,
            f"amounts in {mapping.currency or currency}",
            *_for_units(mapping),
        ),
        problems=tuple(problems),
    )


def _remedy(report: ListReport, mapping: PriceMapping) -> str:
    """What to do about a list none of whose rows counts, by what became of most of them."""
    below = {fate: count for fate, count in report.fates.items() if fate != "above the table"}
    most = max(below, key=lambda fate: below[fate], default="blank")
    if most == "other currency":
        return f"It is not in {report.currency}, and nothing is converted: ask for a list in {report.currency}."
    if most == "unreadable date" and not mapping.date_order:
        return 'Write date_order in the mapping: "day month year" or "month day year".'
    if most in ("to come", "ended"):
        return "None of its prices is in force on the day: ask for the list of today, or give another day with --on."
    return "Check the columns, the header row and the decimal mark in the mapping."


def _for_units(mapping: PriceMapping) -> tuple[str, ...]:
    """What the mapping divides prices by, so that it is seen at each reading."""
    told = (("costs", mapping.cost_is_for), ("list prices", mapping.list_is_for))
    return tuple(f"{name} for {units_of(is_for)}" for name, is_for in told if units_of(is_for) > 1)


def fate_counts(frame: polars.DataFrame, texts: ListTexts) -> dict[Fate, int]:
    """How many rows have each fate; they add up to the rows of the list. Raises ValueError where they do not."""
    counted = dict(frame[FATE].value_counts().iter_rows())
    found: dict[Fate, int] = {fate: counted.get(CODES[fate], 0) for fate in FATES}
    found["above the table"] += texts.above
    if sum(found.values()) != texts.rows:
        raise ValueError(f"{sum(found.values())} rows accounted for, {texts.rows} read")
    return {fate: count for fate, count in found.items() if count}
