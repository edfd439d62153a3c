"""One watch of a folder at a time, and why a folder can't be watched, in words of its own."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from quotekit.cli.main import main
from quotekit.cli.watch_lock import LOCK, watch_lock
from tests.cli.test_watching import clean_shop, visible


def test_free_again_after_the_block(tmp_path: Path) -> None:
    for _ in range(2):
        with watch_lock(tmp_path) as refused:
            assert refused is None


def test_held_by_another(tmp_path: Path) -> None:
    with watch_lock(tmp_path) as first, watch_lock(tmp_path) as second:
        assert first is None and second is not None
        assert (second.code, second.place.file) == ("watched-already", str(tmp_path))
    with watch_lock(tmp_path) as third:
        assert third is None


def test_what_goes_wrong_within_is_not_taken_for_the_lock(tmp_path: Path) -> None:
    """The lock is let go all the same."""
    with pytest.raises(OSError, match="gone"), watch_lock(tmp_path):
        raise OSError(errno.EIO, "gone")
    with watch_lock(tmp_path) as refused:
        assert refused is None


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (
            errno.EACCES,
            "Nothing can be written in this folder, and what is priced is written there: Permission denied.",
        ),
        (errno.EROFS, "Read-only file system."),
        (errno.ENOSPC, "No space left on device."),
        (errno.ENOLCK, "This disk can't keep two watches of one folder apart."),
        (errno.EOPNOTSUPP, "This disk can't keep two watches of one folder apart."),
    ],
)
def test_a_folder_that_cannot_be_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str) -> None:
    """Nothing of a ledger is said: who watches a folder may have none."""

    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("filelock.FileLock.acquire", refuse)
    with watch_lock(tmp_path) as refused:
        assert refused is not None and refused.code == "watch-folder"
        assert refused.message.endswith(words)
        assert "ledger" not in f"{refused.message}{refused.remedy}".lower()
        assert refused.remedy.endswith(".")


def test_the_command_says_it_and_prices_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr("filelock.FileLock.acquire", refuse)
    folder = clean_shop(tmp_path)
    assert main(["watch", str(folder), "--once"]) == 3
    said = capsys.readouterr().err
    assert "Nothing can be written in this folder" in said and "ledger" not in said.lower()
    assert visible(folder) == ["job.xlsx", "shop book.xlsx"]


def test_something_else_in_the_lock_s_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A real folder of that name: refused in a sentence, whatever the system calls it."""
    folder = clean_shop(tmp_path)
    (folder / f"{LOCK}-lock").mkdir()
    assert main(["watch", str(folder), "--once"]) == 3
    assert "ledger" not in capsys.readouterr().err.lower()
    assert visible(folder) == ["job.xlsx", "shop book.xlsx"]
