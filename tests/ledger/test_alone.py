"""One command at a time decides and writes: who comes second waits, not for ever, and in its own turn."""

from __future__ import annotations

import errno
import threading
import time
from pathlib import Path

import pytest

from quotekit.ledger import alone
from quotekit.ledger.alone import alone_in_file
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger


def test_the_second_waits_for_the_first(address: str) -> None:
    """And comes in as the first goes out."""
    order: list[str] = []
    with open_ledger(address) as first:

        def second() -> None:
            with open_ledger(address) as other, other.alone():
                order.append("second in")

        with first.alone():
            thread = threading.Thread(target=second)
            thread.start()
            time.sleep(0.2)
            order.append("first out")
        thread.join(20)
    assert order == ["first out", "second in"]


def test_who_has_waited_longer_asks_more_often() -> None:
    """A lock of a file is given to whoever asks first: eight counters must not leave one of them waiting for ever."""
    tries = [alone.next_try(waited) for waited in (0, 1, 5, 20, 59)]
    assert tries == sorted(tries, reverse=True)
    assert tries[0] / tries[-1] > 20
    assert min(tries) > 0.001


def test_after_the_patience_it_says_so(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_ledger(address) as first, open_ledger(address) as second, first.alone():
        monkeypatch.setattr(alone, "PATIENCE", 0.2)
        start = time.monotonic()
        with pytest.raises(LedgerFault) as refused, second.alone():
            pytest.fail("two were alone")
    assert refused.value.problem.code == "ledger-busy"
    assert 0.1 < time.monotonic() - start < 10


def test_it_is_let_go_when_something_fails(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_ledger(address) as first, open_ledger(address) as second:
        with pytest.raises(ZeroDivisionError), first.alone():
            raise ZeroDivisionError
        monkeypatch.setattr(alone, "PATIENCE", 1)
        with second.alone():
            assert second.entries() == []


def test_it_can_be_held_again(ledger: Ledger) -> None:
    for _ in range(3):
        with ledger.alone():
            assert ledger.next_number("issued") == 1


def test_two_databases_of_one_server_do_not_wait_for_each_other(tmp_path: Path) -> None:
    with open_ledger(tmp_path / "a.db") as one, open_ledger(tmp_path / "b.db") as other, one.alone(), other.alone():
        assert one.entries() == other.entries() == []


def test_a_disk_that_cannot_lock_is_said_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some network drives: better no ledger than one on which two commands meet."""

    def refuse(*_: object, **__: object) -> None:
        raise NotImplementedError("no flock")

    monkeypatch.setattr("filelock.FileLock.acquire", refuse)
    with pytest.raises(LedgerFault) as refused, alone_in_file(tmp_path / "l.db"):
        pytest.fail("it was held")
    assert refused.value.problem.code == "ledger-folder"
    assert (
        "another on a disk" in refused.value.problem.remedy or "disk of this computer" in refused.value.problem.remedy
    )


@pytest.mark.parametrize("number", [errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP])
def test_the_system_has_no_locks_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    """As on some network drives: never a lock of another kind, which a killed command would leave behind."""
    fcntl = pytest.importorskip("fcntl")

    def refuse(*_: object) -> None:
        raise OSError(number, "said")

    monkeypatch.setattr(fcntl, "flock", refuse)
    with pytest.raises(LedgerFault) as refused, alone_in_file(tmp_path / "l.db", patience=0.1):
        pytest.fail("it was held")
    problem = refused.value.problem
    assert (problem.code, problem.message) == ("ledger-folder", "This disk can't keep two commands apart.")


def test_who_comes_by_a_link_waits_for_the_same_lock(tmp_path: Path) -> None:
    """Otherwise two would decide at once on one ledger."""
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "l.db").touch()
    link = tmp_path / "elsewhere" / "link.db"
    link.symlink_to(tmp_path / "l.db")
    with alone_in_file(tmp_path / "l.db"), pytest.raises(LedgerFault) as refused, alone_in_file(link, patience=0.1):
        pytest.fail("two were alone")
    assert refused.value.problem.code == "ledger-busy"
