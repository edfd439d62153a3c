"""The note of the last entry: what a chain alone can't show is told, and told until a person has looked."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from quotekit.ledger.backup import back_up
from quotekit.ledger.check import check_ledger
from quotekit.ledger.end_note import End, no_longer_fit, note_beside, note_end, read_ends
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.by_hand import change
from tests.ledger.drafts import add, noted, season


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file ledger of seven entries."""
    with open_ledger(tmp_path / "shop ledger.db") as ledger:
        season(ledger)
    return tmp_path / "shop ledger.db"


def found(path: Path, last: str = "") -> list[str]:
    """What a check finds, with where."""
    with open_ledger(path) as ledger:
        return [f"{problem.place.cell}: {problem.message}" for problem in check_ledger(ledger, last).problems]


GONE = "The note beside the ledger tells of this entry; it is gone: cut off, or an older copy was put back."
ANEW = "The note beside the ledger tells of this entry; it was made anew."


def test_it_tells_of_the_last_entry(path: Path) -> None:
    with open_ledger(path) as ledger:
        last = ledger.entries()[-1]
        assert check_ledger(ledger).noted == 7
    assert note_beside(path).read_text(encoding="ascii") == f"7 {last.hash}\n"


def test_a_transaction_that_fails_leaves_it(path: Path) -> None:
    with open_ledger(path) as ledger, pytest.raises(RuntimeError), ledger.writing() as writing:
        writing.append(noted())
        raise RuntimeError
    assert [end.seq for end in read_ends(path)] == [7]


def test_what_is_cut_off_is_told_also_after_the_next_entry(path: Path) -> None:
    """Otherwise it would be enough to record something afterwards."""
    change(str(path), "DELETE FROM entries WHERE seq >= 6")
    assert found(path) == [f"entry 7: {GONE}"]
    with open_ledger(path) as ledger:
        add(ledger, noted("in its place"), noted("and another"), noted("and more"))
    assert [end.seq for end in read_ends(path)] == [7, 8]
    assert found(path) == [f"entry 7: {ANEW}"]


def test_an_older_backup_put_in_its_place(path: Path, tmp_path: Path) -> None:
    """Told until the owner, who did it himself after a mishap, moves the note away."""
    with open_ledger(path) as ledger:
        back_up(ledger, tmp_path / "backup.db")
        add(ledger, noted("after the backup"))
    shutil.copy(tmp_path / "backup.db", path)
    assert found(path) == [f"entry 8: {GONE}"]
    note_beside(path).unlink()
    assert found(path) == []
    with open_ledger(path) as ledger:
        add(ledger, noted("it goes on"))
    assert found(path) == []
    assert [end.seq for end in read_ends(path)] == [8]


def test_the_last_entry_changed_with_its_own_hash(path: Path) -> None:
    """Nothing follows it that would tell."""
    from quotekit.ledger.chain import hash_of
    from quotekit.ledger.rows import sealed_in
    from quotekit.ledger.tables import ENTRIES

    with open_ledger(path) as ledger:
        row = list(ledger.each_row(ENTRIES.select().order_by(ENTRIES.c.seq)))[-1]
    made = hash_of(sealed_in({**row, "who": "Somebody"}))
    change(str(path), f"UPDATE entries SET who = 'Somebody', hash = '{made}' WHERE seq = 7")
    assert found(path) == [f"entry 7: {ANEW}"]


@pytest.mark.parametrize("left", ["nothing", "an empty file"])
def test_a_ledger_that_is_gone_is_not_begun_anew(path: Path, left: str) -> None:
    """Numbers would begin at 1 again, and nobody would know."""
    path.unlink()
    if left == "an empty file":
        path.touch()
    for create in (True, False):
        with pytest.raises(LedgerFault) as refused:
            open_ledger(path, create=create)
        problem = refused.value.problem
        assert problem.code == "ledger-missing"
        assert problem.message.endswith("its note tells of 7 entries.")
        assert "move the file shop ledger.db-end away" in problem.remedy
    note_beside(path).unlink()
    with open_ledger(path) as ledger:
        assert ledger.entries() == []


def test_a_hash_noted_elsewhere(path: Path) -> None:
    with open_ledger(path) as ledger:
        hashes = [entry.hash for entry in ledger.entries()]
    for known in (hashes[2], hashes[-1], hashes[-1][:8], hashes[-1].upper()):
        assert found(path, known) == []
    note_beside(path).unlink()
    change(str(path), "DELETE FROM entries WHERE seq = 7")
    assert found(path) == []
    (line,) = found(path, hashes[-1])
    assert line.startswith("last entry: No entry has the hash ")


@pytest.mark.parametrize("text", ["", "rubbish", "7 abc\n", "-1 " + "a" * 64, "\x00" * 50, "7 " + "A" * 64, "\xff"])
def test_a_note_that_is_none(path: Path, text: str) -> None:
    """Half written, or written by something else: it says nothing, and the next entry makes a new one."""
    note_beside(path).write_bytes(text.encode("latin-1"))
    assert read_ends(path) == []
    assert found(path) == []
    with open_ledger(path) as ledger:
        add(ledger, noted())
        assert check_ledger(ledger).noted == 8


def test_a_note_that_cannot_be_written(path: Path) -> None:
    """What was recorded is recorded; the older note still holds."""
    note_beside(path).with_name(f"{path.name}-end-new").mkdir()
    with open_ledger(path) as ledger:
        add(ledger, noted())
        assert check_ledger(ledger).noted == 7


def test_it_is_one_note_by_whatever_way_the_ledger_is_reached(path: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "link.db"
    link.symlink_to(path)
    with open_ledger(link) as ledger, ledger.alone():
        add(ledger, noted())
    assert sorted(os.listdir(tmp_path / "elsewhere")) == ["link.db"]
    assert [end.seq for end in read_ends(path)] == [8]


def test_what_no_longer_fits_is_kept_once_and_not_without_end(tmp_path: Path) -> None:
    path, lost = tmp_path / "l.db", [End(seq, "a" * 64) for seq in range(1, 40)]
    note_end(path, [*lost[:3], *lost], End(5, "b" * 64))
    ends = read_ends(path)
    assert ends[-1] == End(5, "b" * 64)
    assert ends[:3] == lost[:3] and len(ends) == len(set(ends)) <= 21


def test_which_ends_no_longer_fit() -> None:
    hashes = {1: "a" * 64, 2: "b" * 64}
    ends = [End(1, "a" * 64), End(2, "c" * 64), End(3, "d" * 64)]
    assert no_longer_fit(ends, hashes.get) == ends[1:]


def test_a_server_has_none(server: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with open_ledger(server.empty_database()) as ledger:  # type: ignore[attr-defined]
        add(ledger, noted())
        assert check_ledger(ledger).noted is None
    assert list(tmp_path.iterdir()) == []
