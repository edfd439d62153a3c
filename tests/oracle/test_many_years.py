"""Years, repair or replace, why, rates and lives beside the plain implementation in this folder, on random cases.

Set QUOTEKIT_YEARS_SEEDS for a longer run, QUOTEKIT_YEARS_START for other seeds; `many_years` is the door for thousands.
"""

from __future__ import annotations

import json
import os
from collections import Counter
from pathlib import Path

import pytest

from quotekit.cli.main import main
from tests.oracle.compare_lives import life_differences
from tests.oracle.compare_rates import rate_differences
from tests.oracle.many_years import job_differences
from tests.rate_rows import COSTS, HOURS, PARTS, PROFIT, Typed, write_book

SEEDS = int(os.environ.get("QUOTEKIT_YEARS_SEEDS", "150"))
START = int(os.environ.get("QUOTEKIT_YEARS_START", "0"))
BATCH = 25


@pytest.mark.parametrize("first", range(START, START + SEEDS, BATCH))
def test_rates_and_lives(first: int) -> None:
    """A shop typed in random order and spelling, a bearing, a planned replacement."""
    seen: Counter[str] = Counter()
    seeds = range(first, first + BATCH)
    assert [line for seed in seeds for line in rate_differences(seed, seen) + life_differences(seed, seen)] == []
    assert seen["shops"] + seen["shops asked about"] == seen["bearings"] == BATCH


@pytest.mark.parametrize("first", range(START, START + SEEDS // 6, BATCH))
def test_jobs_over_the_years(first: int) -> None:
    """Proof, cost over the years, order, choices made again, repair or replace."""
    seen: Counter[str] = Counter()
    wrong = [
        f"seed {seed} {line}" for seed in range(first, first + BATCH) for line in job_differences(seed, seen, False)
    ]
    assert wrong == []
    assert seen["jobs"] and seen["tiers over the years"]


@pytest.mark.parametrize("seed", range(START, START + max(SEEDS // 25, 1)))
def test_why(seed: int) -> None:
    """Nearest alternatives and break-evens, typed into the book and chosen again by brute force."""
    assert job_differences(seed, Counter()) == []


EXAMPLE = (*COSTS, *HOURS, *PARTS, *PROFIT)
OTHER_SPELLINGS: dict[str, dict[Typed, tuple[Typed, ...]]] = {
    "percent as numbers below one": {
        row: ((row[0], float(row[1][:-1]) / 100, row[2]),) for row in EXAMPLE if str(row[1]).endswith("%")
    },
    "percent as text": {row: ((row[0], f"'{row[1]}", row[2]),) for row in EXAMPLE if str(row[1]).endswith("%")},
    "burden in money": {
        ("Owner", "15%", "burden"): (("Owner", 9300, "burden"),),
        ("Employee", "18%", "burden"): (("Employee", 3420, "burden"),),
    },
    "one burden in money": {
        ("Owner", "15%", "burden"): (("Burden", 12720, "burden"),),
        ("Employee", "18%", "burden"): (),
    },
    "pay in two rows": {("Owner", 62000, "pay"): (("Owner", 40000, "pay"), ("Owner", 22000, "pay"))},
    "the kind in the name": {row: ((f"{row[0]} {row[2]}", row[1], row[2]),) for row in EXAMPLE if row[2] != "overhead"},
}


@pytest.mark.parametrize("spelling", ["as it stands", *OTHER_SPELLINGS])
def test_the_example_of_the_trade_in_other_spellings(
    spelling: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """57.35, 69.90, 85.33 and 88.43 (TRADE.md section 5), however the same facts are typed."""
    other = OTHER_SPELLINGS.get(spelling, {})
    rows = [typed for row in EXAMPLE for typed in other.get(row, (row,))]
    book = write_book(tmp_path / "shop book.xlsx", rows)
    assert main(["rate", str(book), "--json", "--sold-hours", "1400", "--out", str(tmp_path)]) == 0
    told = json.loads(capsys.readouterr().out)
    at = {row["sold_hours"]: row["for_profit"] for row in told["table"]}
    assert (told["break_even_rate"], told["rate_for_profit"]) == ("57.35", "69.90")
    assert (at["1400"], told["without_parts"]["rate_for_profit"]) == ("85.33", "88.43")


@pytest.mark.parametrize(
    ("row", "typed"),
    [
        (("Owner", "60%", "share at the bench"), 60),
        (("Owner", "95%", "efficiency"), 95),
        (("Owner", "15%", "burden"), 15),
        (("Parts", "40%", "parts contribution"), 40),
        (("Profit", "10%", "profit share"), 10),
        (("Employee", 19000, "pay"), 19),
    ],
)
def test_what_could_mean_two_things_is_asked(
    row: Typed, typed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A percentage without its sign, or pay by the hour: no figure, but a question at the cell."""
    rows = [(row[0], typed, row[2]) if one == row else one for one in EXAMPLE]
    book = write_book(tmp_path / "shop book.xlsx", rows)
    assert main(["rate", str(book), "--json", "--out", str(tmp_path)]) == 1
    told = json.loads(capsys.readouterr().out)
    places = [problem["place"] for problem in told["problems"] if problem["severity"] == "error"]
    assert f"shop book.xlsx:Rate builder!B{rows.index((row[0], typed, row[2])) + 2}" in places
    assert "break_even_rate" not in told or told["break_even_rate"] is None
