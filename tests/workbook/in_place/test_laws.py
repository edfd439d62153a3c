"""What holds for any change of any workbook: order, repetition and undoing, on random cells of awkward workbooks."""

from __future__ import annotations

import random
from datetime import date
from decimal import Decimal
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.contents import same_content
from quotekit.workbook.in_place.edit_workbook import Edited, edit_workbook
from quotekit.workbook.in_place.office_results import contents_of
from quotekit.workbook.in_place.put_in_place import put_in_place, undo
from tests.in_place.awkward import all_kinds
from tests.in_place.compare import part_names
from tests.in_place.many import draw_changes
from tests.in_place.may_change import must_refuse
from tests.workbook.in_place.small_books import a_book, edited, part_of, rows_of

DAY = date(2026, 11, 28)
NAMES = ("everything.xlsx", "macros.xlsm", "from openpyxl.xlsx", "by hand, described.xlsx", "linked, wide ending.xlsx")


@cache
def kinds() -> dict[str, bytes]:
    """The awkward workbooks, made once."""
    return all_kinds()


def some_changes(data: bytes, draw: random.Random) -> list[Change]:
    """Changes that are not refused; no dates, which need a format."""
    names = part_names(data)
    found: list[Change] = []
    while not found:
        changes = [one for one in draw_changes(data, names, draw) if not isinstance(one.value, date)]
        refused = must_refuse(data, names, [(one.sheet, one.cell) for one in changes])
        found = [one for one in changes if (one.sheet, one.cell) not in refused]
    return found


def made(name: str, data: bytes, changes: list[Change]) -> Edited:
    """The changes made, results taken away."""
    found, problems = edit_workbook(name, data, changes)
    assert found is not None, problems
    return found


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", range(3))
def test_order_and_repetition(name: str, seed: int) -> None:
    """The order of changes plays no part; making them again changes nothing; one by one gives the same as at once."""
    draw = random.Random(seed)
    data = kinds()[name]
    changes = some_changes(data, draw)
    once = made(name, data, changes)
    assert made(name, data, changes[::-1]).data == once.data
    again = made(name, once.data, changes)
    assert (again.data, again.cells, again.calculated) == (once.data, (), ())
    one_by_one = data
    for change in changes:
        one_by_one = made(name, one_by_one, [change]).data
    for part in part_names(data).values():
        assert part_of(one_by_one, part) == part_of(once.data, part)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", range(3))
def test_undo_brings_everything_back(name: str, seed: int, tmp_path: Path) -> None:
    """The file byte for byte where nobody saved since; what each cell says where the copy is gone."""
    draw = random.Random(100 + seed)
    path = tmp_path / name
    path.write_bytes(kinds()[name])
    before = path.read_bytes()
    changes = some_changes(before, draw)
    found = sha256(before).hexdigest()
    record, problems = put_in_place(path, changes, expected_sha256=found, day=DAY, work_out=None)
    assert record is not None, problems
    changed = path.read_bytes()
    assert undo(path, record, day=DAY, work_out=None)[0] is not None
    assert path.read_bytes() == before
    path.write_bytes(changed)
    if record.kept:
        path.with_name(record.kept).unlink()
    back, told = undo(path, record, day=DAY, work_out=None)
    assert back is not None, told
    wanted = {(one.sheet.casefold(), one.cell) for one in record.cells}
    old, new = contents_of(name, before, wanted), contents_of(name, path.read_bytes(), wanted)
    for where, content in old.items():
        assert same_content(new[where], content), where
    assert all(new[where].kind == "none" for where in new.keys() - old.keys())


@given(
    st.dictionaries(
        st.sampled_from([f"{column}{row}" for column in "ABCD" for row in range(1, 6)]), st.integers(0, 99)
    ),
    st.dictionaries(
        st.sampled_from([f"{column}{row}" for column in "ABCD" for row in range(1, 6)]), st.integers(0, 99)
    ),
)
def test_two_sets_of_changes(first: dict[str, int], second: dict[str, int]) -> None:
    """One after the other says what both at once say, the later one counting."""
    data = a_book('<row r="2"><c r="B2" s="1"><v>100</v></c></row><row r="4"><c r="D4"/></row>')

    def numbers(of: dict[str, int]) -> dict[str, Decimal]:
        return {cell: Decimal(value) for cell, value in of.items()}

    after = edited(edited(data, numbers(first)).data, numbers(second))
    assert rows_of(after.data) == rows_of(edited(data, numbers(first | second)).data)
