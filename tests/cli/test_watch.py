"""`quotekit watch` as a program: saves of several programs, two watchers, and how it ends."""

from __future__ import annotations

import os
import queue
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from quotekit.cli.main import main
from tests.cli.many_saves import lines_of
from tests.cli.saves import SAVES
from tests.cli.small_shop import job, write_book
from tests.cli.test_watching import WRITTEN, clean_shop, spoil

PATIENCE = 60.0
"""Seconds: a busy machine takes longer, and none of these waits for a clock otherwise."""


class Watcher(NamedTuple):
    """A running watcher, and what it prints as it comes."""

    running: subprocess.Popen[str]
    told: queue.Queue[str]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return clean_shop(tmp_path)


@pytest.fixture
def watcher(folder: Path) -> Iterator[Watcher]:
    """A watcher that has priced what was there."""
    command = [sys.executable, "-m", "quotekit", "watch", str(folder)]
    running = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a shell's job in the background ignores it
    )
    try:
        told = lines_of(running)
        assert "job.xlsx: 117-1" in told.get(timeout=PATIENCE)
        yield Watcher(running, told)
    finally:
        running.kill()
        running.wait()


def test_every_way_of_saving(watcher: Watcher, folder: Path) -> None:
    """Each save is priced once, none is read half written, and nothing in passing is left."""
    before = {path.name for path in folder.iterdir()}
    for number, save in enumerate(SAVES.values()):
        sheets = job()
        sheets["Job"].append(["Make", f"Example {number}"])
        data = write_book(folder.parent / "next.xlsx", sheets).read_bytes()
        save(folder / "job.xlsx", data)
        line = watcher.told.get(timeout=PATIENCE)
        assert line.endswith("job.xlsx: 117-1 quote.xlsx, 117-1 costing.xlsx."), line
        assert (folder / "job.xlsx").read_bytes() == data
    time.sleep(1)
    watcher.running.send_signal(signal.SIGINT)
    assert watcher.running.wait(timeout=PATIENCE) == 0
    assert watcher.told.empty()
    assert {path.name for path in folder.iterdir()} == before


def test_a_second_watcher_of_a_folder_is_refused(
    watcher: Watcher, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["watch", str(folder), "--once"]) == 3
    assert "Another quotekit is watching this folder." in capsys.readouterr().err  # "watched-already"
    assert watcher.running.poll() is None


def test_a_killed_watcher_holds_up_nobody(watcher: Watcher, folder: Path) -> None:
    os.kill(watcher.running.pid, signal.SIGKILL)
    watcher.running.wait()
    assert main(["watch", str(folder), "--once"]) == 0


def test_once(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is due is priced, and a second run finds nothing due."""
    assert main(["watch", str(folder), "--once"]) == 0
    said = capsys.readouterr().out
    assert all(name in said for name in WRITTEN)
    assert main(["watch", str(folder), "--once"]) == 0
    assert capsys.readouterr().out == ""
    spoil(folder)
    assert main(["watch", str(folder), "--once"]) == 1
    assert "nothing written. 1 error." in capsys.readouterr().out


def test_a_folder_without_a_shop_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_book(tmp_path / "job.xlsx", job())
    assert main(["watch", str(tmp_path), "--once"]) == 1
    assert "There is no shop book in this folder" in capsys.readouterr().err


def test_no_such_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["watch", str(tmp_path / "nowhere")]) == 1
    assert "There is no such folder." in capsys.readouterr().err  # "missing-folder"
