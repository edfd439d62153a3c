"""The owner's file is the old one or the new one, with a dated copy beside it; and all of that can be undone."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
import zipfile
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import openpyxl
import pytest

from quotekit.model.record_json import from_json, to_json
from quotekit.problems import Problem
from quotekit.workbook.in_place import replace_file
from quotekit.workbook.in_place.changes import Change, ChangedFile
from quotekit.workbook.in_place.contents import NewValue
from quotekit.workbook.in_place.put_in_place import put_in_place, undo
from tests.in_place import awkward
from tests.in_place.compare import cells_of
from tests.workbook.in_place.small_books import SHEET, a_book, codes, rows_of

D = Decimal
DAY = date(2026, 11, 28)
KEPT = "shop book before 2026-11-28.xlsx"
ROWS = '<row r="1"><c r="A1" s="1"><v>1</v></c><c r="B1" t="s"><v>0</v></c><c r="C1"><f>A1*2</f><v>2</v></c></row>'
ROOT = Path(__file__).parents[3]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """The owner's workbook."""
    found = tmp_path / "shop book.xlsx"
    found.write_bytes(a_book(ROWS))
    return found


def digest(path: Path) -> str:
    """SHA-256 of a file."""
    return sha256(path.read_bytes()).hexdigest()


def put(path: Path, **cells: NewValue) -> tuple[ChangedFile | None, list[Problem]]:
    """Cells of the sheet `S` changed, as the file is now; results are taken away."""
    changes = [Change("S", cell, value) for cell, value in cells.items()]
    return put_in_place(path, changes, expected_sha256=digest(path), day=DAY, work_out=None)


def done(path: Path, **cells: NewValue) -> ChangedFile:
    """The record, where nothing stands in the way."""
    record, problems = put(path, **cells)
    assert record is not None, problems
    return record


def left(path: Path) -> list[str]:
    """Every file beside a workbook, hidden ones too."""
    return sorted(one.name for one in path.parent.iterdir())


def test_the_record(path: Path) -> None:
    """What was done, and the copy of the old file by name."""
    before = path.read_bytes()
    record = done(path, A1=D("2.5"), B1="x")
    assert (record.file, record.kept) == ("shop book.xlsx", KEPT)
    assert (record.before, record.after) == (sha256(before).hexdigest(), digest(path))
    assert path.with_name(KEPT).read_bytes() == before
    assert [(one.cell, str(one.old), str(one.new)) for one in record.cells] == [
        ("A1", "1", "2.5"),
        ("B1", "first", "x"),
    ]
    assert [(one.cell, str(one.old), one.emptied) for one in record.calculated] == [("C1", "2", True)]
    assert left(path) == [KEPT, "shop book.xlsx"]


def test_nothing_to_do(path: Path) -> None:
    """No copy is made where every cell says it already."""
    record = done(path, A1=D(1))
    assert (record.kept, record.cells, record.before) == ("", (), record.after)
    assert left(path) == ["shop book.xlsx"]


def test_copies_are_never_written_over(path: Path) -> None:
    """Each change of a day has its copy; the same old file is kept once."""
    first = path.read_bytes()
    path.with_name(KEPT).write_bytes(b"the owner's own")
    assert done(path, A1=D(2)).kept == "shop book before 2026-11-28 (2).xlsx"
    second = path.read_bytes()
    assert done(path, A1=D(3)).kept == "shop book before 2026-11-28 (3).xlsx"
    path.write_bytes(second)
    assert done(path, A1=D(4)).kept == "shop book before 2026-11-28 (3).xlsx"
    assert path.with_name(KEPT).read_bytes() == b"the owner's own"
    assert path.with_name("shop book before 2026-11-28 (2).xlsx").read_bytes() == first


def test_a_file_that_was_changed_since(path: Path) -> None:
    before = path.read_bytes()
    record, problems = put_in_place(path, [Change("S", "A1", D(2))], expected_sha256="0" * 64, day=DAY, work_out=None)
    assert record is None and [one.code for one in problems] == ["file-changed"]
    assert (path.read_bytes(), left(path)) == (before, ["shop book.xlsx"])


def test_a_file_that_is_changed_meanwhile(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The owner saves while results are worked out: nothing is written over that."""
    write = replace_file._write

    def slow(to: Path, data: bytes) -> None:
        write(to, data)
        write(path, a_book("<row r='1'/>"))

    monkeypatch.setattr(replace_file, "_write", slow)
    record, problems = put(path, A1=D(2))
    assert record is None and [one.code for one in problems] == ["file-changed"]
    assert path.read_bytes() == a_book("<row r='1'/>")


@pytest.mark.parametrize("name", [".~lock.shop book.xlsx#", "~$shop book.xlsx"])
def test_a_file_that_is_open_elsewhere(path: Path, name: str) -> None:
    """LibreOffice and Excel each leave a file beside it; also where the owner comes by a link."""
    path.with_name(name).write_bytes(b"")
    link = path.with_name("link.xlsx")
    link.symlink_to(path)
    for one in (path, link):
        record, problems = put(one, A1=D(2))
        assert record is None and [found.code for found in problems] == ["output-open"]


def test_a_file_that_is_read_only(path: Path) -> None:
    path.chmod(0o444)
    record, problems = put(path, A1=D(2))
    assert record is None and [one.code for one in problems] == ["file-read-only"]


def test_a_folder_that_is_read_only(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """For root every folder is writable, so the answer of the system is put in its mouth."""
    access = os.access
    monkeypatch.setattr(os, "access", lambda of, how: Path(of) != path.parent and access(of, how))
    record, problems = put(path, A1=D(2))
    assert record is None and [one.code for one in problems] == ["file-read-only"]
    assert "folder" in problems[0].message


def test_refusals_leave_everything(path: Path) -> None:
    before = path.read_bytes()
    record, problems = put(path, A1=D(2), C1=D(1))
    assert record is None and codes(problems) == [("cell-is-formula", "C1")]
    assert (path.read_bytes(), left(path)) == (before, ["shop book.xlsx"])


def test_no_file(tmp_path: Path) -> None:
    record, problems = put_in_place(tmp_path / "gone.xlsx", [], expected_sha256="", day=DAY)
    assert record is None and [one.code for one in problems] == ["missing-file"]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_the_mode_is_kept(path: Path, mode: int) -> None:
    """Of the file, and of its copy too."""
    path.chmod(mode)
    record = done(path, A1=D(2))
    assert path.stat().st_mode & 0o777 == mode
    assert path.with_name(record.kept).stat().st_mode & 0o777 == mode


def test_a_link_stays_a_link(path: Path, tmp_path: Path) -> None:
    """The real file is changed, and its copy stands beside that."""
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "prices.xlsx"
    link.symlink_to(path)
    record = done(link, A1=D(2))
    assert link.is_symlink() and link.resolve() == path
    assert "<v>2</v>" in rows_of(path.read_bytes())
    assert (record.file, record.kept) == ("shop book.xlsx", KEPT)
    assert left(link) == ["prices.xlsx"]


def test_a_disk_that_refuses(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As when it is full: the old file stays, and nothing half is left."""
    before = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        put(path, A1=D(2))
    assert (path.read_bytes(), left(path)) == (before, ["shop book.xlsx"])


def test_undo_of_a_file_nobody_touched(path: Path) -> None:
    """It is the old file again, byte for byte, results too."""
    before = path.read_bytes()
    record = done(path, A1=D(2), B1="x", D9=True)
    back, problems = undo(path, record, day=DAY, work_out=None)
    assert back is not None, problems
    assert path.read_bytes() == before
    assert (back.cells[0].cell, str(back.cells[0].old), str(back.cells[0].new)) == ("A1", "2", "1")
    assert [(one.cell, str(one.new)) for one in back.calculated] == [("C1", "2")]
    again, _ = undo(path, back, day=DAY, work_out=None)
    assert again is not None and digest(path) == record.after


def test_undo_after_the_owner_worked_on(path: Path) -> None:
    """Another cell was changed since: that stays, and the changed cells hold again what they held."""
    record = done(path, A1=D(2), B1="x", D9=True)
    later = done(path, F1="since then")
    back, problems = undo(path, from_json(ChangedFile, to_json(record)), day=DAY, work_out=None)
    assert back is not None, problems
    text = rows_of(path.read_bytes())
    assert '<c r="A1" s="1"><v>1</v></c><c r="B1" t="inlineStr"><is><t xml:space="preserve">first</t></is></c>' in text
    assert "since then" in text and '<c r="D9"></c>' in text
    assert path.with_name(back.kept).read_bytes() != path.with_name(later.kept).read_bytes()


def test_undo_after_another_program_saved(tmp_path: Path) -> None:
    """As a library writes it anew: other texts' numbers, other parts; the cells are found by what they say."""
    path = tmp_path / "shop book.xlsx"
    path.write_bytes(awkward.from_openpyxl())
    changes = [
        Change("Operations", "B3", D("9.75")),
        Change("Operations", "F3", "new"),
        Change("Operations", "D3", False),
    ]
    record, _ = put_in_place(path, changes, expected_sha256=digest(path), day=DAY, work_out=None)
    assert record is not None
    book = openpyxl.load_workbook(path)
    book["Operations"]["A1"] = "since then"
    book.save(path)
    back, problems = undo(path, record, day=DAY, work_out=None)
    assert back is not None, problems
    page = openpyxl.load_workbook(path)["Operations"]
    assert [page[cell].value for cell in ("A1", "B3", "F3", "D3")] == ["since then", 0.75, "text 3", True]


def test_undo_without_the_copy(path: Path) -> None:
    """The owner threw the copy away: the cells are put back one by one."""
    record = done(path, A1=D(2))
    path.with_name(record.kept).unlink()
    back, _ = undo(path, record, day=DAY, work_out=None)
    assert back is not None and '<c r="A1" s="1"><v>1</v></c>' in rows_of(path.read_bytes())


def test_undo_of_a_copy_that_was_changed(path: Path) -> None:
    """It is not taken for the old file."""
    record = done(path, A1=D(2))
    path.with_name(record.kept).write_bytes(b"other")
    back, _ = undo(path, record, day=DAY, work_out=None)
    assert back is not None and '<c r="A1" s="1"><v>1</v></c>' in rows_of(path.read_bytes())


@pytest.mark.parametrize(
    ("cells", "refused"),
    [
        ({"A1": D(3)}, [("cell-changed-since", "A1")]),
        ({"A1": "2"}, [("cell-changed-since", "A1")]),
        ({"A1": None}, [("cell-changed-since", "A1")]),
        ({"A1": D(3), "B1": "y"}, [("cell-changed-since", "A1"), ("cell-changed-since", "B1")]),
        ({"A1": D("2.0"), "D1": D(7)}, []),
    ],
)
def test_undo_refuses_cells_that_were_changed_since(
    path: Path, cells: dict[str, NewValue], refused: list[tuple[str, str]]
) -> None:
    """All of them are named, and none is put back."""
    record = done(path, A1=D(2), B1="x")
    done(path, E1=D(1), **cells)
    before = path.read_bytes()
    back, problems = undo(path, record, day=DAY, work_out=None)
    assert codes(problems) == refused or (not refused and back is not None)
    assert (path.read_bytes() == before) is bool(refused)


def test_a_number_that_became_a_text_is_told_apart(path: Path) -> None:
    """Both read 2: the message says which is which."""
    record = done(path, A1=D(2))
    done(path, A1="2")
    _, (problem,) = undo(path, record, day=DAY, work_out=None)
    assert problem.message == "the cell says the text 2 now, not the number 2: it was changed since"


def test_undo_of_a_truth_value_that_became_a_number(tmp_path: Path) -> None:
    """A program may keep TRUE as 1."""
    path = tmp_path / "shop book.xlsx"
    path.write_bytes(a_book('<row r="1"><c r="A1"/></row>'))
    record = done(path, A1=True)
    path.write_bytes(a_book('<row r="1"><c r="A1"><v>1</v></c></row>'))
    assert undo(path, record, day=DAY, work_out=None)[0] is not None


def test_undo_of_a_file_that_is_no_workbook_now(path: Path) -> None:
    record = done(path, A1=D(2))
    path.write_bytes(b"words")
    back, problems = undo(path, record, day=DAY, work_out=None)
    assert back is None and [one.code for one in problems] == ["not-a-workbook"]
    path.write_bytes(a_book(more={"xl/worksheets/sheet1.xml": "<worksheet>"}))
    back, problems = undo(path, record, day=DAY, work_out=None)
    assert back is None and [one.code for one in problems] == ["broken-workbook"]


def test_what_a_stopped_run_left_is_cleared_away(path: Path) -> None:
    """Files of processes that run no more go; one of a running process stays, and so does anything else."""
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    names = {f".shop book.xlsx.{gone.pid}.quotekit": False, f".shop book before x.xlsx.{gone.pid}.quotekit": False,
             f".shop book.xlsx.{os.getppid()}.quotekit": True, ".shop book.xlsx.word.quotekit": True}  # fmt: skip
    for name in names:
        path.with_name(name).write_bytes(b"")
    done(path, A1=D(2))
    assert {name: path.with_name(name).exists() for name in names} == names


def test_two_at_once(tmp_path: Path) -> None:
    """Each adds one to the cell as it read the file: none is lost, for who comes second is refused and tries again."""
    path = tmp_path / "shop book.xlsx"
    path.write_bytes(a_book('<row r="1"><c r="A1"><v>0</v></c></row>'))
    runs = [subprocess.Popen([sys.executable, "-c", ADDS, str(path)], cwd=ROOT) for _ in range(3)]
    assert [run.wait(120) for run in runs] == [0, 0, 0]
    with zipfile.ZipFile(path) as package:
        assert cells_of(package.read(SHEET))["A1"].value == "15"


ADDS = """
import sys
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.office_results import contents_of
from quotekit.workbook.in_place.put_in_place import put_in_place
path, done = Path(sys.argv[1]), 0
while done < 5:
    data = path.read_bytes()
    now = Decimal(contents_of("b.xlsx", data, {("s", "A1")})["s", "A1"].text)
    change = [Change("S", "A1", now + 1)]
    found = sha256(data).hexdigest()
    record, problems = put_in_place(path, change, expected_sha256=found, day=date(2026, 11, 28), work_out=None)
    done += record is not None
    assert record is not None or [one.code for one in problems] == ["file-changed"]
"""


def test_a_disk_without_second_names(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a memory stick: the copy takes its name by being renamed."""

    def refuse(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    before = path.read_bytes()
    assert path.with_name(done(path, A1=D(2)).kept).read_bytes() == before
    assert left(path) == [KEPT, "shop book.xlsx"]


def test_a_name_that_is_taken_meanwhile(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another command keeps its copy under the name in the same moment."""
    link = os.link

    def slow(source: Path, to: Path) -> None:
        if Path(to).name == KEPT:
            Path(to).write_bytes(b"of another command")
        link(source, to)

    monkeypatch.setattr(os, "link", slow)
    assert done(path, A1=D(2)).kept == "shop book before 2026-11-28 (2).xlsx"
    assert path.with_name(KEPT).read_bytes() == b"of another command"


def test_a_long_name(tmp_path: Path) -> None:
    """The hidden name is shorter than the disk's longest; the copy's is what it is."""
    path = tmp_path / f"{'long ' * 44}.xlsx"
    path.write_bytes(a_book(ROWS))
    assert done(path, A1=D(2)).kept.endswith(" before 2026-11-28.xlsx")


KILLED = """
import sys
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.put_in_place import put_in_place
path = Path(sys.argv[1])
print("ready", flush=True)
for number in range(2, 100_000):
    found = sha256(path.read_bytes()).hexdigest()
    changes = [Change("S", "A1", Decimal(number)), Change("S", "B1", str(number))]
    put_in_place(path, changes, expected_sha256=found, day=date(2026, 11, 28), work_out=None)
    print("done", flush=True)
"""


def test_killed_at_any_moment(tmp_path: Path) -> None:
    """Without a warning, twelve times: the file is whole, its two cells agree, and every copy is whole too."""
    draw = random.Random(8)
    for number in range(12):
        folder = tmp_path / str(number)
        folder.mkdir()
        path = folder / "shop book.xlsx"
        path.write_bytes(a_book(ROWS, more={"xl/media/long": "x" * 300_000}))
        process = subprocess.Popen(
            [sys.executable, "-c", KILLED, str(path)], stdout=subprocess.PIPE, cwd=ROOT, text=True
        )
        assert process.stdout is not None and process.stdout.readline() == "ready\n"
        began, times = time.monotonic(), draw.randint(1, 3)
        assert [process.stdout.readline() for _ in range(times)] == ["done\n"] * times
        time.sleep(draw.random() * (time.monotonic() - began) / times)
        process.send_signal(signal.SIGKILL)
        process.wait()
        for one in folder.glob("shop*.xlsx"):
            with zipfile.ZipFile(one) as package:
                assert package.testzip() is None
                cells = cells_of(package.read(SHEET))
            first, second = cells["A1"].value, cells["B1"].value
            assert first == second or (first, cells["B1"].kind) == ("1", "s")
        done(path, A1=D("0.5"))
        assert not [name for name in left(path) if name.startswith(".")]
