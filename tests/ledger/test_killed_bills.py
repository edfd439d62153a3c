"""Bills killed at a few of their steps; `python -m tests.ledger.killed_bills 60 1` kills many."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ledger.killed_bills import kill_many


def test_bills_killed_at_random(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert kill_many(tmp_path, kills=3, seed=4) == []
