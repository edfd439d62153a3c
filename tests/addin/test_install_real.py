"""`quotekit addin install|remove|status` with a real LibreOffice, in profiles of their own."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path

import pytest

from quotekit.addin.build import extension_bytes
from quotekit.addin.install import _own_environment
from quotekit.cli.answers.serve import version
from quotekit.cli.main import main
from quotekit.workbook.office import _meeting_point

pytestmark = pytest.mark.usefixtures("uno_python")

HERE = Path(__file__).parent
SCRIPT = (files("quotekit.addin") / "in_profile.py").read_text(encoding="utf-8")

REGISTERS = (
    "user/extensions/bak/",
    "user/extensions/tmp/",
    "user/pack/ExtensionInfo.pack",
    "user/uno_packages/cache/registry/",
    "user/uno_packages/cache/uno_packages.pmap",
)
"""The office's own registers of extensions: empty again, but there, as after any other extension."""


def in_profile(python: str, soffice: str, profile: Path, do: str, file: Path | None = None) -> dict:
    """What the office itself says, past the command."""
    words = {"do": do, "office": soffice, "profile": profile.as_uri(), "file": file.as_uri() if file else None}
    done = subprocess.run(
        [python, "-c", SCRIPT],
        input=json.dumps(words),
        capture_output=True,
        text=True,
        check=True,
        env=_own_environment(os.environ),
    )
    told: dict = json.loads(done.stdout)
    assert not told.get("refused"), told
    return told


def other_extension(path: Path) -> Path:
    """An owner's other extension: one setting that nobody reads."""
    parts = {
        "description.xml": '<description xmlns="http://openoffice.org/extensions/description/2006">'
        '<identifier value="test.other"/><version value="1.0"/></description>',
        "META-INF/manifest.xml": '<manifest:manifest xmlns:manifest="http://openoffice.org/2001/manifest">'
        '<manifest:file-entry manifest:full-path="Paths.xcu" '
        'manifest:media-type="application/vnd.sun.star.configuration-data"/></manifest:manifest>',
        "Paths.xcu": '<oor:component-data xmlns:oor="http://openoffice.org/2001/registry" oor:name="Common" '
        'oor:package="org.openoffice.Office"><node oor:name="Help"><prop oor:name="StyleSheet"><value>Default</value>'
        "</prop></node></oor:component-data>",
    }
    with zipfile.ZipFile(path, "w") as package:
        for name, text in parts.items():
            package.writestr(name, text)
    return path


def contents(profile: Path) -> dict[str, bytes]:
    return {str(path.relative_to(profile)): path.read_bytes() for path in profile.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def profile(uno_python: str, soffice: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A profile that an office has used before, with somebody else's extension in it."""
    folder = tmp_path_factory.mktemp("profiles") / "ä profile"
    other = other_extension(tmp_path_factory.mktemp("other") / "other.oxt")
    in_profile(uno_python, soffice, folder, "install", other)
    in_profile(uno_python, soffice, folder, "look")
    return folder


def addin(profile: Path, *words: str) -> int:
    return main(["addin", *words, "--profile", str(profile)])


def test_install_upgrade_and_remove_leave_the_profile_as_it_was(
    uno_python: str, soffice: str, profile: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In, over an older and over a newer one, out: settings byte for byte, the other extension stays.

    What an office writes by starting is found first, by starting it without us: nothing, once it has settled.
    """
    before = contents(profile)
    in_profile(uno_python, soffice, profile, "look")
    assert contents(profile) == before
    for other in ("0.0.1", "99.0"):
        (tmp_path / "quotekit.oxt").write_bytes(extension_bytes(other, ["x"]))
        in_profile(uno_python, soffice, profile, "install", tmp_path / "quotekit.oxt")
        capsys.readouterr()
        assert addin(profile, "install") == 0
        assert f"{other} was there before" in capsys.readouterr().out
    assert addin(profile, "status") == 0
    said = capsys.readouterr().out
    assert f"quotekit {version()} is in LibreOffice, which fits." in said
    assert f"{sys.executable} -P -m quotekit answer" in said
    installed = contents(profile)
    assert sum(name.endswith("engine.json") for name in installed) == 1
    assert addin(profile, "remove") == 0
    assert f"quotekit {version()} was taken out" in capsys.readouterr().out
    after = contents(profile)
    assert after["user/registrymodifications.xcu"] == before["user/registrymodifications.xcu"]
    changed = {name for name in before | after if before.get(name) != after.get(name)}
    assert {name for name in changed if not name.startswith(REGISTERS)} == set()
    assert any("other.oxt" in name for name in after)
    assert not any(b"quotekit" in data for name, data in after.items() if not name.endswith(".rdb"))
    assert addin(profile, "remove") == 0
    assert "was not in LibreOffice: nothing was changed" in capsys.readouterr().out
    assert addin(profile, "status") == 0
    assert "quotekit is not in LibreOffice" in capsys.readouterr().out
    assert contents(profile) == after


@contextmanager
def running(soffice: str, profile: Path) -> Iterator[subprocess.Popen[bytes]]:
    """An office without a window that a person works in."""
    command = [soffice, "--headless", "--norestore", f"-env:UserInstallation={profile.as_uri()}"]
    office = subprocess.Popen(command, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        end = time.monotonic() + 60
        while not _meeting_point(profile).exists():
            assert time.monotonic() < end
            time.sleep(0.1)
        yield office
    finally:
        os.killpg(office.pid, signal.SIGKILL)
        office.wait()


def test_an_open_office_is_left_alone(soffice: str, profile: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It holds its settings in memory: both commands say to close it, and it lives on. Status may be asked."""
    assert addin(profile, "install") == 0
    with running(soffice, profile) as office:
        for word in ("install", "remove"):
            capsys.readouterr()
            assert addin(profile, word) == 3
            said = capsys.readouterr().err
            assert "LibreOffice is open: its settings can't be changed now." in said and "close all its windows" in said
        assert addin(profile, "status") == 0
        time.sleep(0.5)
        assert office.poll() is None
    assert (profile / ".lock").exists()
    assert addin(profile, "remove") == 0, "the lock of an office that was killed does not stand in the way"


def test_a_profile_that_is_not_there_yet(uno_python: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A person may install before the office was ever started; removing where nothing is makes nothing.

    What an office that was used remembers of the toolbar goes with it.
    """
    new = tmp_path / "new profile"
    assert addin(new, "remove") == 0
    assert not new.exists()
    assert addin(new, "install") == 0
    assert str(new) in capsys.readouterr().out
    assert addin(new / "user", "status") == 0, "the folder in it that holds the settings may be named too"
    assert "which fits" in capsys.readouterr().out
    subprocess.run([uno_python, "-c", WORKS, str(HERE / "in_office"), str(new)], check=True, timeout=120)
    assert b"org.quotekit" in contents(new)["user/registrymodifications.xcu"], "the office remembers our toolbar"
    assert addin(new, "remove") == 0
    assert b"org.quotekit" not in contents(new)["user/registrymodifications.xcu"]


WORKS = """
import pathlib, sys
sys.path.insert(0, sys.argv[1])
from office import Office
with Office(pathlib.Path(sys.argv[2])) as office:
    office.new().close(True)
"""
"""A person works in the office for a moment."""
