"""Hidden folders: gone when the work is done, swept when a killed command left one, never those of the living."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.ledger import hidden_folder as module
from quotekit.ledger.hidden_folder import hidden_folder, keep_on_disk, sweep


def test_it_is_beside_and_gone_afterwards(tmp_path: Path) -> None:
    with hidden_folder(tmp_path) as hidden:
        (hidden / "half").write_text("half")
        assert hidden.parent == tmp_path
        assert hidden.name.startswith(".quotekit-")
    assert list(tmp_path.iterdir()) == []


def test_it_is_gone_when_something_fails(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt), hidden_folder(tmp_path) as hidden:
        (hidden / "half").write_text("half")
        raise KeyboardInterrupt
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_command_left_is_swept(tmp_path: Path) -> None:
    """By the next one that writes in the same folder."""
    code = (
        "import os, signal, sys; from pathlib import Path\n"
        "from quotekit.ledger.hidden_folder import hidden_folder\n"
        "with hidden_folder(Path(sys.argv[1])) as hidden:\n"
        "    (hidden / 'half').write_text('half'); os.kill(os.getpid(), signal.SIGKILL)"
    )
    assert subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False).returncode == -9
    (left,) = tmp_path.iterdir()
    assert (left / "half").exists()
    with hidden_folder(tmp_path):
        assert not left.exists()


def test_folders_of_the_living_stay(tmp_path: Path) -> None:
    with hidden_folder(tmp_path) as mine:
        sweep(tmp_path)
        assert mine.is_dir()


@pytest.mark.parametrize("name", [".quotekit-other-1", ".quotekit-0000-99999999-x", "quotekit", ".quotekit"])
def test_folders_of_other_machines_and_people_stay(tmp_path: Path, name: str) -> None:
    """On a shared drive the process of another computer can't be asked."""
    (tmp_path / name).mkdir()
    sweep(tmp_path)
    assert (tmp_path / name).is_dir()


def test_a_name_without_a_process_stays(tmp_path: Path) -> None:
    odd = tmp_path / f"{module._start()}mine"
    odd.mkdir()
    sweep(tmp_path)
    assert odd.is_dir()


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    """Not the hidden one, which nobody knows."""
    with pytest.raises(FileNotFoundError) as refused, hidden_folder(tmp_path / "none"):
        pytest.fail("it was made")
    assert refused.value.filename == str(tmp_path / "none")


def test_files_and_folders_are_brought_to_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    synced: list[int] = []
    monkeypatch.setattr(module.os, "fsync", synced.append)
    (tmp_path / "file").write_text("text")
    keep_on_disk(tmp_path / "file")
    keep_on_disk(tmp_path)
    assert len(synced) == 2
    assert not [number for number in synced if _is_open(number)]


def _is_open(number: int) -> bool:
    try:
        os.fstat(number)
    except OSError:
        return False
    return True
