"""A smaller run of `python -m tests.in_place.many`: nothing beside the ticked cells changes, and refusals are right."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.in_place.many import AT_ONCE, books, run, sdk_errors_added

EDITS = int(os.environ.get("QUOTEKIT_EDITS", "200"))


def test_random_changes(npm_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Over all example books and all awkward ones; the Open XML SDK looks at two of them."""
    monkeypatch.setattr("tests.in_place.many.NPM", npm_folder)
    given = books(None, tmp_path)
    tally, now = run(given, EDITS, seed=8)
    assert tally.beside == [] and tally.wrong == []
    assert tally.edits >= EDITS and tally.calculated > EDITS // 10
    assert {"cell-is-formula", "cell-merged", "cell-in-array"} <= set(tally.refused)
    looked_at = ("macros.xlsm", "from openpyxl.xlsx")
    some = {name: given[name] for name in looked_at}
    assert all(now[name] != given[name] for name in looked_at)
    assert sdk_errors_added(some, now, tmp_path) == []


def test_workbooks_that_libreoffice_saved(soffice: str, tmp_path: Path) -> None:
    """Its own way of writing: every attribute spelled out, formulas with `aca`."""
    given = {
        name: data
        for name, data in books(soffice, tmp_path, ["everything.xlsx"]).items()
        if name.startswith("saved by LibreOffice")
    }
    assert len(given) == 1
    tally, _ = run(given, 6 * AT_ONCE, seed=9)
    assert tally.beside == [] and tally.wrong == []
