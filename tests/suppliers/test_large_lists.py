"""Large lists with known figures, through the reader: rows, holes, costs above prices, and sums to the cent.

CHECKS 10.01 and 10.02: item of TPC-DS (tpcgen-cli 4.0.0), part and partsupp of TPC-H (tpchgen-cli 4.0.0; the price
formula is that of the TPC-H specification, clause 4.2.3).
"""

from __future__ import annotations

import hashlib
from datetime import date
from pathlib import Path

import polars as pl
import pytest

from quotekit.suppliers.guess import guess_mapping
from quotekit.suppliers.price_list import PriceList
from quotekit.suppliers.read_list import read_list
from tests.suppliers.lists import fates, mapping, remark
from tests.suppliers.made_lists import make_items, make_part_costs, make_parts, program

needs_items = pytest.mark.skipif(program("tpcgen-cli") is None, reason="tpcgen-cli is not installed")
needs_parts = pytest.mark.skipif(program("tpchgen-cli") is None, reason="tpchgen-cli is not installed")
CENT = 10_000
"""A cent in millionths."""

SHA256 = {
    "item.csv": "3afe878714a5a852294d007bc9c619ce2a4bb9be40d62230820989d08878f078",
    "part.csv": "ef61bfc54445036698ba773bf0a08ffdc691ea46f84075be60b05189f33274a6",
    "partsupp.csv": "365804a446cef188d422d875ee68c5711e7662fb011acc1cc4e9e5af4d7222e1",
}


def priced(path: Path, day: date, *told: str, **columns: str) -> PriceList:
    prices, problems = read_list(path, mapping(columns=columns), "USD", day)
    assert prices is not None and [problem.code for problem in problems] == list(told)
    assert prices.report.sha256 == hashlib.sha256(path.read_bytes()).hexdigest() == SHA256[path.name]
    assert sum(prices.report.fates.values()) == prices.report.rows
    return prices


def cents(prices: PriceList, column: str) -> int:
    """The sum of a column in cents; a rest below a cent fails."""
    whole, rest = divmod(int(prices.frame[column].sum()), CENT)
    assert rest == 0
    return whole


@pytest.fixture(scope="module")
def items(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_items(tmp_path_factory.mktemp("items"))


@needs_items
def test_the_item_table(items: Path) -> None:
    """Half the numbers stand there more than once, under other days."""
    prices = priced(
        items,
        date(2026, 3, 15),
        number="i_item_id",
        cost="i_wholesale_cost",
        list_price="i_current_price",
        description="i_item_desc",
        dated="i_rec_start_date",
    )
    assert prices.report.rows == 204_000 + 1
    assert prices.frame["number"].n_unique() == 102_000
    assert remark(prices, "missing-list-price").rows == 518
    assert remark(prices, "missing-cost").rows == 489
    assert remark(prices, "cost-above-list").rows == 17_770
    assert int((prices.frame["description"] == "").sum()) == 508
    assert cents(prices, "list_price value") == 189_614_509
    assert cents(prices, "cost value") == 113_582_576
    counted = prices.report.fates
    assert counted["in force"] + counted["no cost"] + counted["earlier"] + counted["contradicted"] == 204_000


@needs_items
def test_the_row_in_force_is_the_latest_not_after_the_day(items: Path) -> None:
    """Against plain Python: for each number its latest start that is not after the day, unless it stands twice."""
    columns = {"number": "i_item_id", "cost": "i_wholesale_cost", "dated": "i_rec_start_date"}
    day = date(2000, 3, 1)
    prices = priced(items, day, **columns)
    latest: dict[str, list[tuple[str, int]]] = {}
    raw = pl.read_csv(items, infer_schema=False, columns=[1, 2, 6], empty_string_is_null=False)
    for row, (number, start, _) in enumerate(raw.iter_rows(), start=2):
        if start <= day.isoformat():
            kept = latest.setdefault(number, [])
            if kept and start > kept[0][0]:
                kept.clear()
            if not kept or start == kept[0][0]:
                kept.append((start, row))
    expected = {rows[0][1] for rows in latest.values() if len(rows) == 1}
    chosen = {row for row, fate in fates(prices).items() if fate in ("in force", "no cost")}
    assert expected == chosen


@needs_items
def test_its_mapping_is_guessed(items: Path) -> None:
    guess, _ = guess_mapping(items, "ITEMS")
    assert guess is not None
    assert {name: guess.mapping.columns[name] for name in ("number", "cost", "list_price", "dated", "until")} == {
        "number": "i_item_id",
        "cost": "i_wholesale_cost",
        "list_price": "i_current_price",
        "dated": "i_rec_start_date",
        "until": "i_rec_end_date",
    }


@needs_parts
def test_the_part_table(tmp_path: Path) -> None:
    """Every price is that of the published formula, in whole cents."""
    prices = priced(make_parts(tmp_path), date(2026, 3, 15), number="p_partkey", list_price="p_retailprice")
    assert prices.report.fates == {"in force": 200_000, "above the table": 1}
    assert prices.report.remarks == ()
    key = pl.col("number").cast(pl.Int64)
    formula = 90_000 + (key // 10) % 20_001 + 100 * (key % 1000)
    matches = prices.frame.select((pl.col("list_price value") == formula * CENT).sum()).item()
    assert matches == 200_000
    assert cents(prices, "list_price value") == 29_989_920_000
    assert (prices.frame["list_price value"].min(), prices.frame["list_price value"].max()) == (
        901_000_000,
        2_098_990_000,
    )


@needs_parts
def test_the_cost_table(tmp_path: Path) -> None:
    """Four costs for each part: a list of several suppliers contradicts itself, and no cost is picked from it."""
    path = make_part_costs(tmp_path)
    prices = priced(path, date(2026, 3, 15), "no-usable-row", number="ps_partkey", cost="ps_supplycost")
    assert prices.report.rows == 800_000 + 1
    assert cents(prices, "cost value") == 40_042_063_854
    assert prices.report.fates["contradicted"] > 799_000
    assert prices.find(["1"])["1"].how == "contradicted"
