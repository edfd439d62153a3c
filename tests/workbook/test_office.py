"""LibreOffice is run shut off from the rest, within a time limit, and leaves nothing behind."""

from __future__ import annotations

import time
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from quotekit.workbook import office
from quotekit.workbook.office import Failed, TimeOut, find_office, run_office, settings_text
from tests.workbook.stand_ins import SLEEPS, SLEEPS_THROUGH, StandIn


@pytest.fixture
def stand_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> StandIn:
    return StandIn(tmp_path, monkeypatch)


def run(program: str, seconds: float = 60) -> None:
    run_office(program, ["--version"], language="en_US", seconds=seconds)


def test_the_program_is_looked_for_on_the_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(office.PROGRAM_SETTING, raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert find_office() is None
    program = tmp_path / "libreoffice"
    program.write_text("#!/bin/sh\n", encoding="utf-8")
    program.chmod(0o755)
    assert find_office() == str(program)


def test_a_program_that_is_named_counts_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who names one wants that one, not another that happens to be there."""
    monkeypatch.setenv(office.PROGRAM_SETTING, str(tmp_path / "none"))
    assert find_office() is None


@pytest.mark.parametrize("script", [SLEEPS, SLEEPS_THROUGH], ids=["heard", "not heard"])
def test_a_time_out_ends_it_and_its_child(stand_in: StandIn, script: str) -> None:
    with pytest.raises(TimeOut):
        run(stand_in.does(script), seconds=1)
    assert len(stand_in.noted("processes")) == 2
    assert (stand_in.still_runs(), stand_in.left_behind()) == ([], [])


def test_a_key_press_ends_it_and_its_child(stand_in: StandIn, monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(process: object, seconds: float | None = None) -> int:
        while not (stand_in.notes / "processes").exists():
            time.sleep(0.01)
        monkeypatch.undo()
        raise KeyboardInterrupt

    program = stand_in.does(SLEEPS)
    monkeypatch.setattr("subprocess.Popen.wait", pressed)
    with pytest.raises(KeyboardInterrupt):
        run(program)
    assert (stand_in.still_runs(), stand_in.left_behind()) == ([], [])


def test_a_child_that_outlives_it_is_ended(stand_in: StandIn) -> None:
    run(stand_in.does('sleep 600 & echo $! > "$NOTES/processes"'))
    assert (stand_in.still_runs(), stand_in.left_behind()) == ([], [])


def test_a_failure_tells_what_was_said_last(stand_in: StandIn) -> None:
    with pytest.raises(Failed, match=r"^the file is odd$"):
        run(stand_in.does("echo started; echo the file is odd >&2; echo; exit 1"))
    with pytest.raises(Failed, match=r"^exit code 77$"):
        run(stand_in.does("exit 77"))
    assert stand_in.left_behind() == []


def test_a_file_that_is_no_program(stand_in: StandIn) -> None:
    stand_in.program.write_bytes(b"\x7fELF, but no more of it")
    stand_in.program.chmod(0o755)
    with pytest.raises(Failed, match="stand-in soffice: "):
        run(str(stand_in.program))
    assert stand_in.left_behind() == []


def test_nothing_it_says_reaches_our_own_output(stand_in: StandIn, capfd: pytest.CaptureFixture[str]) -> None:
    """With --json, stdout is one object and nothing else."""
    run(stand_in.does("echo one; echo two >&2"))
    assert capfd.readouterr() == ("", "")


def test_it_sees_no_proxy_no_python_path_and_no_home(stand_in: StandIn, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in (
        "http_proxy",
        "HTTPS_PROXY",
        "all_proxy",
        "PYTHONPATH",
        "URE_BOOTSTRAP",
        "LD_PRELOAD",
        "XDG_RUNTIME_DIR",
    ):
        monkeypatch.setenv(name, "")
    run(stand_in.does('env > "$NOTES/seen"; cat; pwd > "$NOTES/folder"'))
    seen = dict(line.partition("=")[::2] for line in stand_in.noted("seen") if "=" in line)
    of_the_shell = {"PWD", "OLDPWD", "SHLVL", "_"}
    assert seen.keys() - of_the_shell == {"PATH", "HOME", "LC_ALL", "TMPDIR", "TEMP", "TMP"}
    assert all(seen[name].startswith(str(stand_in.temp)) for name in ("HOME", "TMPDIR", "TEMP", "TMP"))
    assert stand_in.noted("folder") == [seen["HOME"]]


def test_the_settings_shut_it_off() -> None:
    settings = {
        prop.attrib[f"{OOR}name"]: "".join(prop.itertext())
        for prop in ET.fromstring(settings_text("de_DE")).iter("prop")
    }
    assert (
        settings.items()
        >= {
            "OOXMLRecalcMode": "0",
            "Link": "1",
            "BlockUntrustedRefererLinks": "true",
            "DisableMacrosExecution": "true",
            "MacroSecurityLevel": "3",
            "ooInetProxyType": "2",
            "ooSetupSystemLocale": "de-DE",
        }.items()
    )


OOR = "{http://openoffice.org/2001/registry}"


def test_no_socket_is_left_when_it_is_stopped(soffice: str, stand_in: StandIn, monkeypatch: pytest.MonkeyPatch) -> None:
    """LibreOffice makes one in /tmp whatever its temporary folder; it must be the one that is taken away."""
    sockets: list[Path] = []
    environment, end = office._environment, office._end

    def noted(profile: Path) -> dict[str, str]:
        sockets.append(office._meeting_point(profile))
        return environment(profile)

    def late(process: object) -> None:
        stop_waiting = time.monotonic() + 30
        while not sockets[0].exists() and time.monotonic() < stop_waiting:
            time.sleep(0.01)
        assert sockets[0].is_socket()
        end(process)  # type: ignore[arg-type]

    monkeypatch.setattr(office, "_environment", noted)
    monkeypatch.setattr(office, "_end", late)
    with pytest.raises(TimeOut):
        run_office(soffice, ["--accept=pipe,name=quotekit-test;urp"], language="en_US", seconds=0.01)
    assert not sockets[0].exists()
    assert stand_in.left_behind() == []
