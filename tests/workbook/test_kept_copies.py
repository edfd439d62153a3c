"""The names of copies that are kept of a workbook."""

from __future__ import annotations

from datetime import date
from itertools import islice
from pathlib import Path

import pytest

from quotekit.workbook.kept_copies import copy_paths, is_kept_copy


@pytest.mark.parametrize("name", ["book.xlsx", "büch 2026.xlsm", "a before 2026-01-01.xlsx", "two.dots.xlsx"])
def test_every_copy_is_known_by_its_name(name: str) -> None:
    """Also the copy of a copy, in a folder whose own name looks like one."""
    path = Path("x before 2026-01-01") / name
    names = list(islice(copy_paths(path, date(2026, 12, 1)), 12))
    assert len(set(names)) == 12
    assert all(is_kept_copy(one.name) and one.suffix == path.suffix and one.parent == path.parent for one in names)


@pytest.mark.parametrize(
    "name",
    [
        "book.xlsx",
        "before 2026-12-01.xlsx",
        "book before 2026.xlsx",
        "book after 2026-12-01.xlsx",
        "book 2026-12-01.xlsx",
    ],
)
def test_an_owners_own_names_are_no_copies(name: str) -> None:
    assert not is_kept_copy(name)
