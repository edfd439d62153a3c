"""Several processes on one ledger: a small run of `python -m tests.ledger.many_writers`, and that it can fail."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.ledger.alone import PATIENCE
from quotekit.ledger.open_ledger import open_ledger
from tests.ledger import many_writers
from tests.ledger.by_hand import change


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path, many_writers.Report]:
    """A ledger on which two processes issued and accepted five quotes each."""
    folder = tmp_path_factory.mktemp("shop")
    address = str(folder / "shop ledger.db")
    return address, folder / "out", many_writers.run(address, folder, processes=2, quotes=5)


def test_nothing_is_lost_doubled_or_half_written(address: str, tmp_path: Path) -> None:
    """Four counters, five quotes each, on either database; nobody waits longer than the patience."""
    report = many_writers.run(address, tmp_path, processes=4, quotes=5)
    assert report.wrong == []
    assert report.quotes == 20
    assert report.checks_meanwhile > 0
    assert report.longest_wait < PATIENCE


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("DELETE FROM entries WHERE seq = (SELECT max(seq) FROM entries WHERE kind = 'written')", "was never written"),
        ("UPDATE entries SET number = 99 WHERE number = 10", "numbers of 10 issued quotes are not 1 to 10"),
        ("UPDATE entries SET version = 9 WHERE kind = 'issued' AND version = 2", "versions are lost"),
        ("DELETE FROM entries WHERE kind = 'accepted' AND job = '0-0'", "job 0-0: yes to versions []"),
    ],
)
def test_what_is_wrong_is_found(
    worked: tuple[str, Path, many_writers.Report], tmp_path: Path, statement: str, words: str
) -> None:
    """Else the run could not fail."""
    from quotekit.ledger.backup import back_up

    address, out, report = worked
    assert report.wrong == []
    copy = str(tmp_path / "copy.db")
    with open_ledger(address) as ledger:
        back_up(ledger, Path(copy))
    change(copy, statement)
    with open_ledger(copy) as ledger:
        assert any(words in line for line in many_writers.wrong_with(ledger, out, 2, 5))


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda out: next(out.iterdir()).write_bytes(b"half a docu"), "is not what was recorded"),
        (lambda out: next(out.iterdir()).unlink(), "is not what was recorded"),
        (lambda out: (out / "9-9-1 quote.xlsx").write_text("whose?"), "9-9-1 quote.xlsx stands beside"),
    ],
)
def test_a_document_that_is_wrong_is_found(
    worked: tuple[str, Path, many_writers.Report], tmp_path: Path, spoil: object, words: str
) -> None:
    import shutil

    address, out, _ = worked
    copy = tmp_path / "out"
    shutil.copytree(out, copy)
    spoil(copy)  # type: ignore[operator]
    with open_ledger(address) as ledger:
        assert any(words in line for line in many_writers.wrong_with(ledger, copy, 2, 5))
