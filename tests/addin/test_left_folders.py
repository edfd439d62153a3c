"""What a killed office leaves in the temporary folder: swept by the next, and nothing else with it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.addin.office import left_folders


@pytest.fixture
def dead() -> int:
    """The number of a process that has ended."""
    process = subprocess.Popen([sys.executable, "-S", "-c", ""])
    process.wait()
    return process.pid


def test_only_ours_of_dead_offices_go(tmp_path: Path, dead: int) -> None:
    """A running office needs its copies; a folder that is not named as ours, a file and a link are not ours."""
    ours = f"quotekit-office-{dead}-"
    other = tmp_path / "elsewhere"
    for name in (f"{ours}abc123", f"quotekit-office-{os.getpid()}-abc", "quotekit-abc", f"{ours}x.txt", "elsewhere"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "job.xlsx").write_bytes(b"x")
    (tmp_path / f"{ours}file").write_bytes(b"x")
    (tmp_path / f"{ours}link").symlink_to(other)
    left_folders.sweep(str(tmp_path))
    left = sorted(path.name for path in tmp_path.iterdir())
    assert left == sorted(
        [
            f"quotekit-office-{os.getpid()}-abc",
            "quotekit-abc",
            f"{ours}x.txt",
            "elsewhere",
            f"{ours}file",
            f"{ours}link",
        ]
    )
    assert (other / "job.xlsx").exists()


def test_the_first_folder_of_an_office_sweeps(tmp_path: Path, dead: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Once: with hundreds of copies a day the temporary folder is not read each time."""
    monkeypatch.setattr(left_folders.tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr(left_folders, "_swept", left_folders.threading.Event())
    first, second = (tmp_path / f"quotekit-office-{dead}-{name}" for name in "ab")
    first.mkdir()
    made = left_folders.new_folder()
    assert not first.exists() and Path(made).name.startswith(f"quotekit-office-{os.getpid()}-")
    second.mkdir()
    left_folders.new_folder()
    assert second.exists()


def test_on_windows_a_day_is_waited(tmp_path: Path, dead: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """By imitation: a process of Windows can't be asked whether it lives without a risk to end it."""
    fresh, old = (tmp_path / f"quotekit-office-{dead}-{name}" for name in ("fresh", "old"))
    for folder in (fresh, old):
        folder.mkdir()
    os.utime(old, (1_000_000_000, 1_000_000_000))
    monkeypatch.setattr(left_folders.os, "kill", None)
    monkeypatch.setattr(left_folders.os, "name", "nt")
    running = left_folders._runs(dead, str(fresh)), left_folders._runs(dead, str(old))
    monkeypatch.undo()
    assert running == (True, False)


def test_a_folder_that_cannot_be_read_is_left(tmp_path: Path) -> None:
    left_folders.sweep(str(tmp_path / "none"))
