"""The workbooks of an issued version, read again from the bytes the ledger keeps."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from quotekit.cli.frozen import frozen_choice, frozen_files, frozen_quote, read_frozen
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from quotekit.ledger.open_ledger import open_ledger
from tests.cli.issued_shop import Shop
from tests.ledger.by_hand import change


@pytest.fixture
def shop(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shop:
    """A job issued twice, whose workbooks are gone since."""
    (tmp_path / "temporary").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    made = Shop(tmp_path, capsys)
    made.issue()
    made.issue()
    made.book.unlink()
    made.job.unlink()
    return made


@pytest.fixture
def ledger(shop: Shop) -> Iterator[Ledger]:
    with open_ledger(shop.ledger) as opened:
        yield opened


def test_it_needs_no_file_but_the_ledger(ledger: Ledger) -> None:
    frozen = read_frozen(ledger, ledger.story("117").issued[0])
    assert (frozen.job.job_number, frozen.job.customer) == ("117", "R. Alder")
    assert frozen.book.operations["BUSH"].operation == "Press in a bushing"


@pytest.mark.parametrize("version", [1, 2])
def test_the_version_is_the_one_under_which_it_was_issued(ledger: Ledger, version: int) -> None:
    """The job workbook itself says nothing of it."""
    assert read_frozen(ledger, ledger.story("117").issued[version - 1]).job.version == version


def test_every_option_comes_out_as_it_was_issued(ledger: Ledger) -> None:
    issued = ledger.story("117").issued[0]
    again = frozen_quote(read_frozen(ledger, issued))
    assert [(one.code, one.total, one.tax) for one in again.offered] == [
        (one.code, one.total, one.tax) for one in issued.body.offered
    ]


def test_a_choice_is_priced_from_it(ledger: Ledger) -> None:
    issued = ledger.story("117").issued[0]
    priced, agreed = frozen_choice(read_frozen(ledger, issued), "good", ())
    assert priced.total == agreed.total == issued.body.offered[0].total
    assert agreed.tier == "good"


def test_what_was_not_offered_is_no_choice(ledger: Ledger) -> None:
    with pytest.raises(KeyError):
        frozen_choice(read_frozen(ledger, ledger.story("117").issued[0]), "no such option", ())


def test_its_files_stand_under_their_own_names_and_are_gone_afterwards(ledger: Ledger, shop: Shop) -> None:
    """A shop book holds what nobody else should see: no copy stays behind."""
    with frozen_files(ledger, ledger.story("117").issued[0]) as (book, job):
        assert (book.name, job.name) == ("shop book.xlsx", "job.xlsx")
        assert book.parent != job.parent
    assert list((shop.folder / "temporary").iterdir()) == []


def test_the_copy_of_a_killed_command_is_swept(ledger: Ledger, shop: Shop) -> None:
    import os
    import signal

    process = os.fork()
    if not process:
        with open_ledger(shop.ledger) as own, frozen_files(own, own.story("117").issued[0]):
            os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(process, 0)
    assert len(list((shop.folder / "temporary").iterdir())) == 1
    read_frozen(ledger, ledger.story("117").issued[0])
    assert list((shop.folder / "temporary").iterdir()) == []


def test_bytes_that_are_no_longer_what_was_kept_are_refused(shop: Shop) -> None:
    change(str(shop.ledger), "UPDATE files SET packed = x'00'")
    with open_ledger(shop.ledger) as ledger, pytest.raises(LedgerFault) as refused:
        read_frozen(ledger, ledger.story("117").issued[0])
    assert refused.value.problem.code == "ledger-file-lost"


def test_workbooks_that_can_no_longer_be_read_are_said_so(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    """A later quotekit may be stricter: it says which version, why, and that the one that issued it can."""
    from quotekit.cli import inputs
    from quotekit.problems import Place, error

    def stricter(book: Path, job: Path) -> inputs.Inputs:
        problem = error(Place(str(book)), "unknown-unit", "No such unit any more.", "Change it.")
        return inputs.Inputs(book=None, job=None, problems=(problem,))

    monkeypatch.setattr(inputs, "read_inputs", stricter)
    with pytest.raises(LedgerFault) as refused:
        read_frozen(ledger, ledger.story("117").issued[1])
    problem = refused.value.problem
    assert problem.code == "frozen-unreadable"
    assert "job 117, version 2" in problem.message and "No such unit any more." in problem.message
