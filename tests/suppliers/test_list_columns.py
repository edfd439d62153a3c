"""Columns of texts as values: amounts, days, quantities, lead times, and the currency of each row."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from quotekit.suppliers.list_columns import value_of
from quotekit.suppliers.number_column import from_millionths
from quotekit.suppliers.read_list import read_list
from tests.suppliers.lists import DAY, HEADERS, fates, mapping, read, write_list


def values(folder: Path, field: str, *texts: str, **changed: object) -> list[object]:
    """The values of one column, in rows that are sound otherwise."""
    lines = "".join(f"A{row}\t1\t{text}\n" for row, text in enumerate(texts))
    prices = read(
        folder,
        f"Part No\tNet\t{HEADERS[field]}\n{lines}GOOD\t1\t\n",
        "number",
        "cost",
        field,
        separator="\t",
        **changed,
    )
    return prices.frame[value_of(field)].to_list()[:-1]


@pytest.mark.parametrize("field", ["pack", "price_for"])
def test_quantities(tmp_path: Path, field: str) -> None:
    found = values(tmp_path, field, "10", "10 pcs", "C", "1,000", "2.5", "", "box", "50%")
    assert [whole if whole is None else str(from_millionths(whole)) for whole in found] == [  # type: ignore[arg-type]
        "10",
        "10",
        "100",
        None,
        "2.5",
        None,
        None,
        None,
    ]


def test_days(tmp_path: Path) -> None:
    texts = ("2026-03-14", "14.3.2026", "03/04/2026", "soon", "")
    assert values(tmp_path, "dated", *texts) == [date(2026, 3, 14), date(2026, 3, 14), None, None, None]
    ordered = values(tmp_path, "dated", "03/04/2026", date_order="month day year")
    assert ordered == [date(2026, 3, 4)]


def test_lead_days(tmp_path: Path) -> None:
    assert values(tmp_path, "lead_days", "3", "2 weeks", "ask", "") == [3, 10, None, None]


@pytest.mark.parametrize(
    ("text", "shop", "listed", "expected"),
    [
        ("", "USD", "", "USD"),
        ("", "USD", "EUR", "EUR"),
        ("usd", "USD", "", "USD"),
        ("$", "CAD", "", "CAD"),
        ("US$", "CAD", "", "US$"),
        ("EUR", "USD", "", "EUR"),
        ("kr", "SEK", "", "SEK"),
        ("beans", "USD", "", "BEANS"),
    ],
)
def test_the_currency_of_a_row(tmp_path: Path, text: str, shop: str, listed: str, expected: str) -> None:
    """Its own; else the list's; else the shop's. A sign that may be the shop's own is."""
    lines = f"Part No,Net,Currency\nA,1,{text}\nGOOD,1,{shop}\n"
    prices = read(tmp_path, lines, "number", "cost", "currency", currency=shop) if not listed else None
    if prices is None:
        told = mapping("number", "cost", "currency", currency=listed)
        prices, _ = read_list(write_list(tmp_path, lines), told, shop, DAY)
        assert prices is not None
    assert prices.frame[value_of("currency")].to_list()[0] == expected


def test_a_sign_in_an_amount_names_the_currency(tmp_path: Path) -> None:
    prices = read(tmp_path, "Part No,Net\nA,€5\nB,$5\nC,5 CHF\nD,5\n")
    assert prices.frame[value_of("currency")].to_list() == ["EUR", "USD", "CHF", "USD"]
    assert prices.report.fates == {"in force": 2, "other currency": 2, "above the table": 1}


@pytest.mark.parametrize(
    ("listed", "row", "expected"),
    [
        ("EUR", "A,US$5,,", "in force"),
        ("EUR", "A,US$5,9,", "other currency"),
        ("EUR", "A,5,US$9,", "other currency"),
        ("EUR", "A,US$5,US$9,", "in force"),
        ("EUR", "A,€5,9,USD", "other currency"),
        ("EUR", "A,US$5,9,EUR", "other currency"),
        ("EUR", "A,US$5,9,USD", "in force"),
        ("EUR", "A,$5,9,USD", "in force"),
        ("EUR", "A,$5,9,", "other currency"),
        ("", "A,$5,€9,", "other currency"),
        ("", "A,$5,9,USD", "in force"),
        ("", "A,€5,9,USD", "other currency"),
    ],
)
def test_a_row_counts_where_all_its_amounts_are_in_the_currency_of_the_shop(
    tmp_path: Path, listed: str, row: str, expected: str
) -> None:
    """A cost without a sign is in the list's currency, whatever sign the list price has; a row's own word is not
    overruled by a sign. The shop counts in USD."""
    text = f"Part No,Net,List,Currency\n{row}\nGOOD,1,2,USD\n"
    told = mapping("number", "cost", "list_price", "currency", currency=listed)
    prices, _ = read_list(write_list(tmp_path, text), told, "USD", DAY)
    assert prices is not None and fates(prices)[2] == expected
