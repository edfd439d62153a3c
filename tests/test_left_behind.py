"""The guard over the folder in which the tests run (tests/conftest.py asks it after each test)."""

from __future__ import annotations

from pathlib import Path

from tests.left_behind import LeftBehind


def test_what_is_new_is_named_once(tmp_path: Path) -> None:
    """A file or folder that was there before is nobody's fault, nor is what tools keep."""
    (tmp_path / "README.md").touch()
    left = LeftBehind(tmp_path)
    assert left.names() == []
    for name in ("1-1 quote.xlsx", ".pytest_cache", "__pycache__"):
        (tmp_path / name).mkdir()
    assert [left.names(), left.names()] == [["1-1 quote.xlsx"], []]
