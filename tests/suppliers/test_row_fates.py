"""Every row of a list has one fate, and the fates add up to the rows: the rules of `row_fates` one by one."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import polars as pl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotekit.model.price_list import Fate
from quotekit.suppliers.read_list import read_list
from quotekit.suppliers.row_fates import _ascending
from tests.suppliers.lists import DAY, fates, mapping, read, write_list

H = "Part No,Description,Net,List,Pack,Valid from,Valid to,Currency"
FIELDS = ("number", "description", "cost", "list_price", "pack", "dated", "until", "currency")


def fates_of(folder: Path, *rows: str) -> list[Fate]:
    """Fates of the rows below the header."""
    return list(fates(read(folder, "\n".join([H, "GOOD,x,1,2,1,,,", *rows]) + "\n", *FIELDS)).values())[1:]


@pytest.mark.parametrize(
    ("row", "fate"),
    [
        ("A,Belt,12.50,20,1,,,", "in force"),
        ("A,Belt,12.50,,,,,", "in force"),
        ("A,Belt,12.50,10,1,,,", "in force"),
        ("A,Belt,12.50,20,1,2026-03-15,,", "in force"),
        ("A,Belt,12.50,20,1,2026-03-16,,", "to come"),
        ("A,Belt,12.50,20,1,2025-01-01,2026-03-15,", "in force"),
        ("A,Belt,12.50,20,1,2025-01-01,2026-03-14,", "ended"),
        ("A,Belt,12.50,20,1,03/04/2026,,", "unreadable date"),
        ("A,Belt,12.50,20,1,,soon,", "unreadable date"),
        ("A,Belt,,20,1,,,", "no cost"),
        ("A,Belt,POA,20,1,,,", "unreadable cost"),
        ("A,Belt,25%,20,1,,,", "unreadable cost"),
        ('A,Belt,"1,25",20,1,,,', "unreadable cost"),
        ("A,Belt,0.0000001,20,1,,,", "unreadable cost"),
        ("A,Belt,0.00,20,1,,,", "zero cost"),
        ("A,Belt,-1,20,1,,,", "negative cost"),
        ("A,Belt,1-,20,1,,,", "negative cost"),
        ("A,Belt,1,20,some,,,", "unreadable quantity"),
        ("A,Belt,1,20,0,,,", "unreadable quantity"),
        ("A,Belt,1,20,1,,,USD", "in force"),
        ("A,Belt,1,20,1,,,usd", "in force"),
        ("A,Belt,1,20,1,,,$", "in force"),
        ("A,Belt,1,20,1,,,EUR", "other currency"),
        ("A,Belt,€1,20,1,,,", "other currency"),
        ("A,Belt,1,20,1,,,XXX", "unreadable currency"),
        (",Belt,1,20,1,,,", "no number"),
        (",Belts and pulleys,,,,,,", "note"),
        ("Belts and pulleys,,,,,,,", "heading"),
        ("Belts", "heading"),
        (H, "heading"),
        ("Total,,13.50,22,,,,", "total"),
        ("TOTAL:,,13.50,22,,,,", "total"),
        (",Grand total,13.50,22,,,,", "total"),
        ("Total of 2 items,,,,,,,", "total"),
        ("", "blank"),
        (",,,,,,,", "note"),
        ("A,Belt, black,12.50,20,1,,,", "ragged"),
        ("A,Belt,12.50,20,1,,,,,,", "ragged"),
        ("A,Belt,$12.50,20,1,,,", "in force"),
        ("A,Belt,¥12.50,20,1,,,", "other currency"),
        ("A,Belt,12.50", "in force"),
    ],
)
def test_the_fate_of_one_row(tmp_path: Path, row: str, fate: Fate) -> None:
    assert fates_of(tmp_path, row) == [fate]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (
            ["A,x,1,2,1,2026-01-01,,", "A,x,2,3,1,2026-02-01,,", "A,x,3,4,1,2026-06-01,,"],
            ["earlier", "in force", "to come"],
        ),
        (["A,x,2,3,1,2026-02-01,,", "A,x,1,2,1,,,"], ["in force", "earlier"]),
        (["A,x,1,2,1,,,", "A,x,1,2,1,,,"], ["in force", "repeated"]),
        (["A,x,1,2,1,,,", "A,other words,1.00,2.0,1,,,"], ["in force", "repeated"]),
        (["A,x,1,2,1,,,", "A,x,1,2,,,,"], ["in force", "repeated"]),
        (["A,x,1,2,,,,", "A,x,1,2,some,,,"], ["contradicted", "contradicted"]),
        (["A,x,1,2,1,,,", "A,x,3,2,1,,,"], ["contradicted", "contradicted"]),
        (["A,x,1,2,1,,,", "A,x,1,2,10,,,"], ["contradicted", "contradicted"]),
        (["A,x,1,2,1,,,", "A,x,1,2,1,,,", "A,x,3,2,1,,,"], ["contradicted"] * 3),
        (["A,x,1,2,1,2026-01-01,,", "A,x,,2,1,2026-02-01,,"], ["earlier", "no cost"]),
        (["A,x,POA,2,1,,,", "A,x,call,2,1,,,"], ["contradicted", "contradicted"]),
        (["A,x,POA,2,1,,,", "A,x,POA,2,1,,,"], ["unreadable cost", "repeated"]),
        (["A,x,1,2,1,,,EUR", "A,x,1.10,2,1,,,USD"], ["other currency", "in force"]),
        (["A,x,1,2,1,2025-01-01,2025-12-31,", "A,x,2,3,1,,,"], ["ended", "in force"]),
        (["A,x,1,2,1,,,", "a,x,3,2,1,,,"], ["in force", "in force"]),
        (["A-1,x,1,2,1,,,", "A1,x,3,2,1,,,"], ["in force", "in force"]),
        (["007,x,1,2,1,,,", "7,x,3,2,1,,,"], ["in force", "in force"]),
        ([" A ,x,1,2,1,,,", "A,x,1,2,1,,,"], ["in force", "repeated"]),
    ],
)
def test_several_rows_of_one_number(tmp_path: Path, rows: list[str], expected: list[Fate]) -> None:
    """A later row without a cost does not bring the earlier cost back; two sets of terms are nobody's to choose."""
    assert fates_of(tmp_path, *rows) == expected


def test_the_counts_of_a_list_add_up(tmp_path: Path) -> None:
    text = f"Acme prices\n\n{H}\nA,x,1,2,1,,,\n\nA,x,1,2,1,,,\nB,x,,2,1,,,\nTotal,,2,,,,,\n"
    report = read(tmp_path, text, *FIELDS, header_row=3).report
    assert report.rows == 8
    assert report.fates == {
        "in force": 1,
        "repeated": 1,
        "no cost": 1,
        "above the table": 3,
        "total": 1,
        "blank": 1,
    }


def test_a_list_without_a_cost_column(tmp_path: Path) -> None:
    """A price list of retail prices alone is of use too."""
    assert fates(read(tmp_path, "Part No,List\nA,5\nB,\n", "number", "list_price")) == {2: "in force", 3: "in force"}


def test_a_whole_list_in_another_currency(tmp_path: Path) -> None:
    """The mapping says euro, the shop counts in dollars: no price counts, and the owner is told why."""
    path = write_list(tmp_path, "Part No,Net\nA,5\nB,6\n")
    prices, problems = read_list(path, mapping(currency="EUR"), "USD", DAY)
    assert prices is not None and prices.report.fates == {"other currency": 2, "above the table": 1}
    assert [problem.code for problem in problems] == ["no-usable-row"]


cell = st.sampled_from(["", "A", "B", "1", "2.50", "0", "POA", "Total", "2026-01-01", "2026-09-01", "EUR", "x y", "-1"])


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(cell, min_size=1, max_size=10), max_size=12))
def test_any_rows_at_all_are_accounted_for(tmp_path: Path, rows: list[list[str]]) -> None:
    """Whatever a supplier sends, the counts of the fates are the rows, and of a number one row counts at most."""
    text = "\n".join([H, "GOOD,x,1,2,1,,,", *(",".join(row) for row in rows)]) + "\n"
    prices = read(tmp_path, text, *FIELDS)
    assert sum(prices.report.fates.values()) == prices.report.rows == len(rows) + 2
    assert set(fates(prices)) == set(range(2, len(rows) + 3))
    numbers = prices.frame.filter(prices.frame["fate"] == 0)["number"].to_list()
    assert len(numbers) == len(set(numbers)) == prices.report.fates["in force"]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(
            st.sampled_from("AB"), st.sampled_from(["1", "2"]), st.sampled_from(["", "2026-01-01", "2026-02-01"])
        ),
        min_size=1,
        max_size=6,
    ),
    st.randoms(use_true_random=False),
)
def test_the_order_of_rows_changes_no_price(tmp_path: Path, rows: list[tuple[str, str, str]], draw: object) -> None:
    """A supplier may sort its list as it likes."""

    def priced(listed: list[tuple[str, str, str]]) -> dict[str, object]:
        text = "Part No,Net,Valid from\nGOOD,1,\n" + "".join(f"{','.join(row)}\n" for row in listed)
        prices = read(tmp_path, text, "number", "cost", "dated")
        return {number: found.price and found.price.cost for number, found in prices.find(["A", "B"]).items()}

    shuffled = list(rows)
    draw.shuffle(shuffled)  # type: ignore[attr-defined]
    assert priced(rows) == priced(shuffled)


@given(st.lists(st.text("0129A-", max_size=3), max_size=5), st.booleans())
def test_numbers_that_ascend_are_all_different(numbers: list[str], sort: bool) -> None:
    """A list in the order of its numbers (by length, then as text) needs no search for numbers that stand twice."""
    ordered = sorted(numbers, key=lambda number: (len(number), number)) if sort else numbers
    ascending = _ascending(pl.Series("number", ordered, dtype=pl.String))
    expected = all((len(a), a) < (len(b), b) for a, b in pairwise(ordered))
    assert ascending is expected
    assert not ascending or len(set(ordered)) == len(ordered)
