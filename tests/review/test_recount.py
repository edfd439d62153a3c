"""Every figure of `quotekit review --json` is what the recount of the ledger's export says, on a few random ledgers.

`python -m tests.review.against_recount 200` does it with many.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.review.against_recount import compared, differences


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
