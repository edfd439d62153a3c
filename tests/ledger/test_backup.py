"""A backup is a whole ledger of one moment, in one file, never written over another."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from quotekit.ledger.backup import back_up
from quotekit.ledger.check import check_ledger
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger.drafts import add, add_issued, noted, season


def test_it_holds_everything_and_is_a_ledger_itself(ledger: Ledger, tmp_path: Path) -> None:
    """Whatever the ledger is kept in: what a server held can be looked at on any computer."""
    season(ledger)
    add_issued(ledger, bytes(range(256)) * 1000, job="119")
    back_up(ledger, tmp_path / "backup.db")
    with open_ledger(tmp_path / "backup.db") as copy:
        assert copy.entries() == ledger.entries()
        assert check_ledger(copy) == check_ledger(ledger)._replace(noted=None)
        assert copy.file(hashlib.sha256(bytes(range(256)) * 1000).hexdigest()) == bytes(range(256)) * 1000
        assert check_ledger(copy).problems == []


def test_it_is_one_file_with_nothing_beside_it(ledger: Ledger, tmp_path: Path) -> None:
    """No write-ahead log that would be left behind when it is copied to a stick."""
    season(ledger)
    folder = tmp_path / "backups"
    folder.mkdir()
    back_up(ledger, folder / "backup.db")
    assert [path.name for path in folder.iterdir()] == ["backup.db"]


def test_a_backup_can_go_on_as_the_ledger(ledger: Ledger, tmp_path: Path) -> None:
    """After a fire: with all that forbids changes, and the numbers going on."""
    season(ledger)
    back_up(ledger, tmp_path / "backup.db")
    with open_ledger(tmp_path / "backup.db") as copy:
        entry = add_issued(copy, b"the next", job="120")
        assert (entry.seq, entry.number, entry.version) == (8, 3, 1)
        assert check_ledger(copy).problems == []


def test_more_rows_than_are_copied_at_once(ledger: Ledger, tmp_path: Path) -> None:
    add(ledger, *(noted(f"note {place}") for place in range(1100)))
    back_up(ledger, tmp_path / "backup.db")
    with open_ledger(tmp_path / "backup.db") as copy:
        assert copy.entries() == ledger.entries()


def test_an_empty_ledger(ledger: Ledger, tmp_path: Path) -> None:
    back_up(ledger, tmp_path / "backup.db")
    with open_ledger(tmp_path / "backup.db", create=False) as copy:
        assert copy.entries() == []


def test_never_over_a_file(ledger: Ledger, tmp_path: Path) -> None:
    season(ledger)
    target = tmp_path / "backup.db"
    target.write_text("last year's")
    assert refusal(ledger, target) == "output-exists"
    assert target.read_text() == "last year's"


def test_a_folder_that_is_not_there(ledger: Ledger, tmp_path: Path) -> None:
    assert refusal(ledger, tmp_path / "none" / "backup.db") == "ledger-folder"


def test_a_disk_that_fills_up_leaves_no_half_backup(
    ledger: Ledger, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    season(ledger)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("quotekit.ledger.backup.os.replace", full)
    folder = tmp_path / "backups"
    folder.mkdir()
    assert refusal(ledger, folder / "backup.db") == "ledger-disk"
    assert list(folder.iterdir()) == []


def test_the_ledger_goes_on_after_a_backup(ledger: Ledger, tmp_path: Path) -> None:
    season(ledger)
    back_up(ledger, tmp_path / "one.db")
    add(ledger, noted("between"))
    back_up(ledger, tmp_path / "two.db")
    with open_ledger(tmp_path / "one.db") as one, open_ledger(tmp_path / "two.db") as two:
        assert (len(one.entries()), len(two.entries())) == (7, 8)


def refusal(ledger: Ledger, target: Path) -> str:
    """The code with which a backup is refused."""
    with pytest.raises(LedgerFault) as refused:
        back_up(ledger, target)
    return refused.value.problem.code
