"""Every figure of `quotekit review --json` and of its workbook is what a recount of the ledger's export says.

`python -m tests.review.against_recount 200` does it with many.
"""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest

from tests.review import recount_book
from tests.review.against_recount import compared, differences
from tests.review.recount import Recount
from tests.review.wilder import FIRST, LAST, book_of


@pytest.mark.parametrize("seed", [8, 31])
def test_the_recount_says_the_same(tmp_path: Path, seed: int) -> None:
    """Without and with a shop book; seed 8 holds a comeback of a comeback of a job that the span leaves out."""
    assert differences(tmp_path, seed) == []


def test_a_difference_is_told() -> None:
    """Other numbers, other words, missing keys and shorter lists; the same number in other words is none."""
    told = {"a": "1.50", "b": None, "c": [1, 2], "d": "x", "e": 1}
    expected = {"a": "1.5", "b": "0", "c": [1], "d": "y", "f": 1}
    found = [line.partition(":")[0] for line in compared("", told, expected)]
    assert found == [".b", ".c", ".d", ".e", ".f"]


def test_a_wrong_cell_of_the_workbook_is_told(tmp_path: Path) -> None:
    """The comparison of the workbook's rows is not blind: a figure, and a row too many."""
    assert differences(tmp_path, 5, count=15) == []
    (path,) = tmp_path.glob("review *.xlsx")
    entries = json.loads((tmp_path / "export" / "entries.json").read_text(encoding="utf-8"))
    told = Recount(entries, FIRST, LAST, book_of(Random(5))).json()
    told["wins"][0]["shown"] += 1
    told["jobs"][0]["profit"] = "0.01"
    del told["jobs"][1]
    found = [line.partition(":")[0] for line in recount_book.differences(path, told)]
    assert {"Jobs", "Quotes", "Variances"} <= {*found}
