"""Whether a change that was begun reached the file; what is ready before, and when it takes place."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.put_in_place import Prepared, prepare_change, prepare_undo
from quotekit.workbook.in_place.replace_file import ChangedMeanwhile, ready_to_replace
from quotekit.workbook.in_place.took_place import took_place
from tests.workbook.in_place.small_books import a_book

D = Decimal
DAY = date(2026, 12, 2)
ROWS = '<row r="1"><c r="A1"><v>{a}</v></c><c r="B1"><v>{b}</v></c><c r="C1"><v>{c}</v></c></row>'
KEPT = "shop book before 2026-12-02.xlsx"


def rows(a: object = 1, b: object = 2, c: object = 3) -> bytes:
    """A workbook with three numbers."""
    return a_book(ROWS.format(a=a, b=b, c=c))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The owner's workbook."""
    found = tmp_path / "shop book.xlsx"
    found.write_bytes(rows())
    return found


def prepared(path: Path) -> Prepared:
    """A1 and B1 changed, thought out."""
    changes = [Change("S", "A1", D(10)), Change("S", "B1", D(20))]
    digest = sha256(path.read_bytes()).hexdigest()
    found, problems = prepare_change(path, changes, expected_sha256=digest, work_out=None)
    assert found is not None, problems
    return found


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (rows(), False),
        (rows(c=9), False),
        (rows(10, 20, 9), True),
        (rows(10, 99, 9), True),
        (rows(99, 99), False),
        (rows("10.0", "2", 9), True),
        (a_book("<row r='1'/>"), False),
        (b"words", False),
    ],
)
def test_judged_by_what_is_in_it(data: bytes, expected: bool, path: Path) -> None:
    """A file saved since: one cell with its new value is enough, for a change is whole or not at all."""
    assert took_place(path.name, data, prepared(path).told("")) is expected


def test_judged_by_its_bytes(path: Path) -> None:
    """The very file it was to become, and the very one it was."""
    one = prepared(path)
    assert took_place(path.name, one.edited.data, one.told("")) and not took_place(path.name, one.data, one.told(""))


def test_a_cell_that_said_it_before_proves_nothing(path: Path) -> None:
    """Of a change that only undoes itself: old and new are the same."""
    told = prepared(path).told("")
    same = replace(told, before="", after="", cells=tuple(replace(one, old=one.new) for one in told.cells))
    assert not took_place(path.name, rows(10, 20), same)


def test_thinking_writes_nothing(path: Path) -> None:
    before = path.read_bytes()
    one = prepared(path)
    assert one.changes and path.read_bytes() == before and [file.name for file in path.parent.iterdir()] == [path.name]
    assert [(cell.cell, str(cell.old), str(cell.new)) for cell in one.told("").cells] == [
        ("A1", "1", "10"),
        ("B1", "2", "20"),
    ]


def test_what_is_ready_is_beside(path: Path) -> None:
    """The copy is there, the new bytes hidden; the file is the old one until it is told."""
    one = prepared(path)
    with ready_to_replace(path, one.data, one.edited.data, DAY) as ready:
        assert (ready.kept, path.read_bytes(), ready.staged.read_bytes()) == (KEPT, one.data, one.edited.data)
        assert path.with_name(KEPT).read_bytes() == one.data
        ready.take_place()
        assert path.read_bytes() == one.edited.data
    assert sorted(file.name for file in path.parent.iterdir()) == [KEPT, path.name]


def test_what_is_not_used_is_cleared_away(path: Path) -> None:
    """The copy stays: it is no harm, and serves the next time."""
    one = prepared(path)
    with pytest.raises(RuntimeError), ready_to_replace(path, one.data, one.edited.data, DAY):
        raise RuntimeError
    assert sorted(file.name for file in path.parent.iterdir()) == [KEPT, path.name]
    with ready_to_replace(path, one.data, one.edited.data, DAY) as ready:
        assert ready.kept == KEPT


def test_the_last_look(path: Path) -> None:
    """Saved, opened or gone since."""
    one = prepared(path)
    with ready_to_replace(path, one.data, one.edited.data, DAY) as ready:
        ready.last_look()
        for meanwhile, code in ((rows(c=9), "file-changed"), (None, "file-changed")):
            path.unlink() if meanwhile is None else path.write_bytes(meanwhile)
            with pytest.raises(ChangedMeanwhile) as told:
                ready.take_place() if meanwhile is not None else ready.last_look()
            assert told.value.problem.code == code
        path.write_bytes(one.data)
        lock = path.with_name(f"~${path.name}")
        lock.write_bytes(b"")
        with pytest.raises(ChangedMeanwhile) as told:
            ready.take_place()
        assert told.value.problem.code == "output-open"
        lock.unlink()
        ready.take_place()
    assert path.read_bytes() == one.edited.data


def test_an_undo_is_thought_out_too(path: Path) -> None:
    """Of a file nobody touched: the old bytes from the copy; the labels of the cells come along."""
    one = prepared(path)
    with ready_to_replace(path, one.data, one.edited.data, DAY) as ready:
        ready.take_place()
    changed = one.told(KEPT)
    back, problems = prepare_undo(path, changed, work_out=None)
    assert back is not None and problems == []
    assert (back.edited.data, path.read_bytes()) == (one.data, one.edited.data)
    assert back.told("x").after == changed.before and back.told("x").kept == "x"
