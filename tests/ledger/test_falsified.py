"""A share of the drawn falsifications; `python -m tests.ledger.falsified N SEED` draws as many as wanted."""

from __future__ import annotations

from pathlib import Path

from tests.ledger.falsified import falsify


def test_each_change_is_found_and_nothing_is_claimed(tmp_path: Path) -> None:
    report = falsify(25, 20, tmp_path)
    assert report.missed == []
    assert len(report.found) >= 9 and sum(report.found.values()) >= 20
