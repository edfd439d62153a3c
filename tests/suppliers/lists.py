"""Small price lists for tests: a text as a file, a mapping for it, and what was read."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from quotekit.model.price_list import Fate, Remark
from quotekit.problems import Problem
from quotekit.suppliers.mapping import PriceMapping
from quotekit.suppliers.price_list import PriceList
from quotekit.suppliers.read_list import read_list

DAY = date(2026, 3, 15)
HEADERS = {
    "number": "Part No",
    "description": "Description",
    "cost": "Net",
    "list_price": "List",
    "pack": "Pack",
    "price_for": "Per",
    "unit": "Unit",
    "currency": "Currency",
    "dated": "Valid from",
    "until": "Valid to",
    "lead_days": "Lead",
    "superseded_by": "Replaced by",
}


def mapping(*fields: str, **changed: Any) -> PriceMapping:
    """A mapping of some fields by their usual headers."""
    named = {field: HEADERS[field] for field in (fields or ("number", "cost"))}
    return PriceMapping(**{"supplier": "ACME", "kind": "delimited", "columns": named, **changed})


def write_list(folder: Path, text: str | bytes, name: str = "acme.csv") -> Path:
    """A list as a file."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def read(folder: Path, text: str | bytes, *fields: str, currency: str = "USD", **changed: Any) -> PriceList:
    """A list that can be read, as it was read on the day."""
    prices, problems = read_list(write_list(folder, text), mapping(*fields, **changed), currency, DAY)
    assert prices is not None, problems
    return prices


def problems(folder: Path, text: str | bytes, *fields: str, **changed: Any) -> list[Problem]:
    """What is wrong with a list."""
    return read_list(write_list(folder, text), mapping(*fields, **changed), "USD", DAY)[1]


def fates(prices: PriceList) -> dict[int, Fate]:
    """Row to fate, below the header."""
    from quotekit.model.price_list import FATES

    names = list(FATES)
    return {row: names[code] for row, code in prices.frame.select("row", "fate").iter_rows()}


def remark(prices: PriceList, code: str) -> Remark:
    """One remark; a test that asks for one that was not made fails."""
    return next(each for each in prices.report.remarks if each.code == code)


def codes(prices: PriceList) -> list[str]:
    """The codes of all remarks."""
    return [each.code for each in prices.report.remarks]
