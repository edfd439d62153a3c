"""The command that the office starts: it is tried before it is written down."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.addin import engine_command
from quotekit.addin.engine_command import greets, possible_commands
from quotekit.addin.refusals import CannotInstall
from quotekit.cli.answers.serve import version

FAKE = str(Path(__file__).with_name("fake_engine.py"))


def test_this_very_program_is_started(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """By its own Python, whatever folder one stands in and whatever is on the path."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", "")
    found = engine_command.engine_command(version())
    assert found[:2] == [sys.executable, "-P"] and found[-1] == "answer"
    assert greets(found, version()) == ""


def test_files_at_home_are_not_taken_for_modules(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The office starts it in the home folder, where a person may keep a `calendar.py`."""
    (tmp_path / "json.py").write_text("raise SystemExit('the wrong json')")
    (tmp_path / "quotekit").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path))
    assert [greets(command, version()) for command in possible_commands()][-1] == ""
    assert engine_command.engine_command(version())


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (["/no/such/python"], "No such file"),
        ([sys.executable, "-S", FAKE, "ends"], "no module named quotekit"),
        ([sys.executable, "-S", "-c", ""], "It ended with code 0."),
        ([sys.executable, "-S", FAKE, "version", "7"], "It is of version 7, not 1."),
        ([sys.executable, "-S", FAKE, "hangs"], "It did not answer within 0.5 seconds."),
        ([sys.executable, "-S", FAKE], ""),
    ],
)
def test_what_does_not_answer_is_not_written_down(
    command: list[str], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_command, "SECONDS", 0.5 if "hangs" in command else 30)
    monkeypatch.setattr(engine_command, "possible_commands", lambda: [command])
    if said:
        with pytest.raises(CannotInstall) as caught:
            engine_command.engine_command("1")
        assert caught.value.problem.code == "engine-not-started" and said in caught.value.problem.text
    else:
        assert engine_command.engine_command("1") == command


def test_the_next_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not installed, but run from its folder: the module is not found from home, its folder is told."""
    good = [sys.executable, "-S", FAKE]
    monkeypatch.setattr(engine_command, "possible_commands", lambda: [[*good, "ends"], good])
    assert engine_command.engine_command("1") == good


def test_one_frozen_program_starts_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """By imitation."""
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    assert possible_commands() == [[sys.executable, "answer"]]


def test_an_archive_that_python_runs(tmp_path: Path) -> None:
    """A real one: it says its own place, and what it says starts it."""
    root = Path(__file__).parents[2]
    shutil.copytree(
        root / "quotekit", tmp_path / "in" / "quotekit", ignore=shutil.ignore_patterns("__pycache__", "example_data")
    )
    (tmp_path / "in" / "__main__.py").write_text(
        "import sys\n"
        "if sys.argv[1:] == ['show']:\n"
        "    from quotekit.addin.engine_command import engine_command\n"
        "    from quotekit.addin.build import extension_bytes\n"
        "    from quotekit.cli.answers.serve import version\n"
        "    print(len(extension_bytes('1')), *engine_command(version()), sep='\\n')\n"
        "else:\n"
        "    from quotekit.cli.main import main\n"
        "    sys.exit(main())\n"
    )
    archive = Path(shutil.make_archive(str(tmp_path / "quotekit"), "zip", tmp_path / "in"))
    done = subprocess.run([sys.executable, "-P", str(archive), "show"], capture_output=True, text=True, check=False)
    size, *command = done.stdout.split("\n")[:-1]
    assert command == [sys.executable, str(archive), "answer"], done.stderr
    assert int(size) > 10_000
