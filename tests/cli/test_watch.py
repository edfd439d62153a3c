"""`quotekit watch` as a program: saves of several programs, two watchers, and how it ends."""

from __future__ import annotations

import fcntl
import os
import pty
import queue
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import pytest

from quotekit.cli.main import main
from tests.cli.many_saves import lines_of
from tests.cli.saves import OTHER_SYSTEMS, SAVES
from tests.cli.small_shop import job, write_book
from tests.cli.test_watching import WRITTEN, Clock, clean_shop, spoil
from tests.workbook.ods_files import write_ods

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
    for number, save in enumerate((SAVES | OTHER_SYSTEMS).values()):
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


@pytest.mark.parametrize("way", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_ended_from_outside_it_ends_cleanly(watcher: Watcher, folder: Path, way: signal.Signals) -> None:
    """By the system, a closed terminal, a key; and then nothing of the program but what it keeps is left."""
    watcher.running.send_signal(way)
    assert watcher.running.wait(timeout=PATIENCE) == 0
    left = {path.name for path in folder.iterdir() if path.name.startswith(".")}
    assert left == {".quotekit watched.json", ".quotekit watching-lock"}


def test_without_a_screen_it_says_once_why_nothing_is_priced(tmp_path: Path) -> None:
    """Started with the computer nobody looks at its status line; what it says may be kept in a file."""
    write_book(tmp_path / "job.xlsx", job())
    log = tmp_path.parent / "said.txt"
    command = [sys.executable, "-m", "quotekit", "watch", str(tmp_path)]
    with log.open("w") as said:
        running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=said)
    try:
        end = time.monotonic() + PATIENCE
        while "There is no shop book in this folder" not in log.read_text():
            assert time.monotonic() < end
            time.sleep(0.1)
        time.sleep(2.5)
        assert log.read_text().count("no shop book") == 1
    finally:
        running.kill()
        running.wait()


def test_no_such_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["watch", str(tmp_path / "nowhere")]) == 1
    assert "There is no such folder." in capsys.readouterr().err  # "missing-folder"


class Screen(NamedTuple):
    """A watcher on a terminal of its own, and the end of it that a person looks at."""

    running: subprocess.Popen[bytes]
    seen: int

    def until(self, words: str) -> str:
        """What came on the screen, up to some words."""
        text, end = "", time.monotonic() + PATIENCE
        while words not in text:
            ready, _, _ = select.select([self.seen], [], [], max(0, end - time.monotonic()))
            assert ready, f"not seen: {words!r} in {text[-400:]!r}"
            text += os.read(self.seen, 65536).decode()
        return text


@contextmanager
def on_a_screen(folder: Path, *, columns: int) -> Iterator[Screen]:
    """A watcher whose three streams are one terminal, so many columns wide."""
    seen, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))

    def own_terminal() -> None:
        os.setsid()
        fcntl.ioctl(0, termios.TIOCSCTTY, 0)
        signal.signal(signal.SIGINT, signal.SIG_DFL)

    command = [sys.executable, "-m", "quotekit", "watch", str(folder)]
    running = subprocess.Popen(command, stdin=its, stdout=its, stderr=its, preexec_fn=own_terminal)
    os.close(its)
    try:
        yield Screen(running, seen)
    finally:
        running.kill()
        running.wait()
        os.close(seen)


def lines_shown(text: str) -> list[str]:
    """What stands on the screen in the end: a line that is written over counts as it was written last."""
    return [line.split("\r\x1b[K")[-1] for line in text.replace("\r\n", "\n").split("\n")]


def test_the_status_line_on_a_terminal(folder: Path) -> None:
    """One line, written over: never a new one for each look, and gone before a job's own line is printed."""
    with on_a_screen(folder, columns=100) as screen:
        text = screen.until("jobs 1, with problems 0. Ctrl+C ends.")
        assert [line for line in lines_shown(text) if "job.xlsx: 117-1 quote.xlsx" in line]
        spoil(folder)
        text = screen.until("jobs 1, with problems 1. Ctrl+C ends.")
        (told, status) = lines_shown(text)[-2:]
        assert told.endswith("job.xlsx: nothing written. 1 error.")
        assert status == f"Watching {folder.name}: jobs 1, with problems 1. Ctrl+C ends."
        write_ods(folder / "job 118.ods", "Job", "Findings")
        assert "job 118.ods: nothing written. 1 error." in screen.until("with problems 1, saved as .ods 1. Ctrl+C")
        os.write(screen.seen, b"\x03")  # the key itself
        assert "Stopped watching." in lines_shown(screen.until("Stopped watching."))
        assert screen.running.wait(timeout=PATIENCE) == 0


def test_the_status_line_on_a_narrow_terminal(folder: Path) -> None:
    """A line that ran over the edge could not be written over, and would fill the screen look after look."""
    with on_a_screen(folder, columns=30) as screen:
        text = screen.until("Watching test_the_status_lin…")
        shown = [line for line in re.split(r"[\r\n]|\x1b\[[?0-9;]*[A-Za-z]", text) if "test_the_status" in line]
        assert {len(line) for line in shown} == {29}


def test_a_folder_that_goes_away_and_comes_back(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A drive of a network, a stick: the watch goes on, and what was priced is not priced again."""
    clock = Clock(folder)
    assert [name for name, _ in clock.told()] == ["job.xlsx"]
    away = tmp_path_factory.mktemp("away") / "folder"
    folder.rename(away)
    assert clock.told(3) == []
    assert "is not there now" in clock.watching.why_idle()
    away.rename(folder)
    assert clock.told(3) == []
    assert clock.watching.jobs == ["job.xlsx"] and clock.watching.why_idle() == ""
