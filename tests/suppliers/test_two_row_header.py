"""Headers over two rows are one header; what only stands near one is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.suppliers.guess import guess_mapping
from quotekit.suppliers.read_list import read_list
from quotekit.suppliers.two_row_header import find_header_rows
from tests.suppliers.lists import DAY, write_list


@pytest.mark.parametrize(
    ("rows", "row", "columns"),
    [
        (["Artikel-|Bezeichnung|Einkaufs-", "nummer||preis"], 2, "number description cost"),
        (["Part|Part|Dealer|Pack", "Number|Description|Net|Qty"], 2, "number description cost pack"),
        (["Part No.|Description|Prices||", "||Dealer|Jobber|List"], 2, "number description cost . list_price"),
        (["Part No.|Dealer", "BELTS|"], 1, "number cost"),
        (["Part No.|Dealer|List", "A-0|call|call"], 1, "number cost list_price"),
        (["Price list 2026|", "Part No.|Dealer"], 2, "number cost"),
    ],
)
def test_which_rows_are_the_header(tmp_path: Path, rows: list[str], row: int, columns: str) -> None:
    """A section's heading, a first row without a price and a title are no part of it."""
    width = rows[0].count("|") + 1
    below = ["|".join([f"A-{at}", *(["Belt"] if "description" in columns else [])]) for at in range(1, 4)]
    below = [line + f"|{at}.50" * (width - line.count("|") - 1) for at, line in enumerate(below, start=2)]
    path = write_list(tmp_path, "\n".join([*rows, *below]) + "\n")
    guess, problems = guess_mapping(path, "ACME")
    assert guess is not None, problems
    assert guess.mapping.header_row == row
    prices, problems = read_list(path, guess.mapping, "USD", DAY)
    assert prices is not None and problems == []
    found = prices.find(["A-2"])["A-2"].price
    assert found is not None and str(found.cost) == "3.5"
    assert guess.mapping.columns.keys() == set(columns.split()) - {"."}


def test_a_column_that_only_the_upper_row_names_goes_by_its_place(tmp_path: Path) -> None:
    """A price in the upper row beside those below `Prices` is told as another that may be meant."""
    text = "Part No.|Description|Prices||Our cost\n||Dealer|List|\nA-1|Belt|4.20|9.45|2.10\nA-2|Pin|5.20|9.95|2.60\n"
    guess, _ = guess_mapping(write_list(tmp_path, text), "ACME")
    assert guess is not None
    assert guess.mapping.columns == {
        "number": "column 1",
        "description": "column 2",
        "cost": "Dealer",
        "list_price": "List",
    }
    assert any("it could also be “Our cost”" in doubt for doubt in guess.doubts)


def test_a_header_of_one_row_stays_one() -> None:
    assert find_header_rows([["Part", "Net"], ["A", "3"]])[0] == 1
    assert find_header_rows([["A", "3.00"], ["B", "4.00"]])[0] == 0
