"""The extension as a file: the same bytes wherever and whenever it is built, and all that the office needs in it."""

from __future__ import annotations

import hashlib
import io
import json
import os
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import pytest

from quotekit.addin.build import IN_OFFICE, extension_bytes, extension_files
from quotekit.addin.office.menu_words import MENU
from quotekit.cli.answers.serve import version
from quotekit.cli.main import main

ROOT = Path(__file__).parents[2]


def built(folder: Path, **environment: str) -> bytes:
    """By another process, in another folder, with another environment."""
    command = [sys.executable, "-m", "quotekit", "addin", "build", "--out", str(folder / "x.oxt")]
    settings = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **environment}
    subprocess.run(command, check=True, cwd=folder, env=settings, capture_output=True)
    return (folder / "x.oxt").read_bytes()


def test_two_builds_are_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Seeds of hashes, time zones and languages differ; so does the time of day."""
    first = built(tmp_path, PYTHONHASHSEED="1", TZ="Pacific/Auckland", LC_ALL="C")
    second = built(tmp_path, PYTHONHASHSEED="77", TZ="America/Anchorage", LC_ALL="C.UTF-8", PYTHONOPTIMIZE="2")
    assert hashlib.sha256(first).hexdigest() == hashlib.sha256(second).hexdigest()
    assert main(["addin", "build", "--out", str(tmp_path / "here.oxt")]) == 0
    assert capsys.readouterr().out.strip() == str(tmp_path / "here.oxt")
    assert (tmp_path / "here.oxt").read_bytes() == first == extension_bytes(version())


def test_an_installed_package_builds_the_same(tmp_path: Path) -> None:
    """Every file that goes into the extension is in the package that is installed."""
    packed = tmp_path / "installed" / "quotekit"
    shutil.copytree(ROOT / "quotekit", packed, ignore=shutil.ignore_patterns("addin", "__pycache__"))
    source = tmp_path / "source"
    shutil.copytree(ROOT / "quotekit" / "addin", source / "quotekit" / "addin", ignore=shutil.ignore_patterns("*.pyc"))
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, source)
    (source / "quotekit" / "__init__.py").write_text("")
    code = (
        "import sys; from setuptools import setup; sys.argv = ['setup.py', '-q', 'build', '--build-lib', sys.argv[1]]; "
        "setup()"
    )
    words = [sys.executable, "-c", code, str(tmp_path / "lib")]
    done = subprocess.run(words, cwd=source, capture_output=True, text=True, check=False)
    if "No module named 'setuptools'" in done.stderr:
        pytest.skip("setuptools is not installed here")
    assert done.returncode == 0, done.stderr
    shutil.copytree(tmp_path / "lib" / "quotekit" / "addin", packed / "addin")
    show = "import sys; from quotekit.addin.build import extension_bytes as e; sys.stdout.buffer.write(e('1', ['x']))"
    environment = {"PATH": os.environ["PATH"], "PYTHONPATH": str(tmp_path / "installed")}
    found = subprocess.run([sys.executable, "-P", "-c", show], env=environment, capture_output=True, check=True).stdout
    assert found == extension_bytes("1", ["x"])


FILES = extension_files("1.2.3", ["program", "answer"])


def test_it_says_its_version_and_its_program() -> None:
    about = ET.fromstring(FILES["description.xml"])
    values = {element.tag.rpartition("}")[2]: element.get("value") for element in about}
    assert (values["identifier"], values["version"]) == ("org.quotekit", "1.2.3")
    assert json.loads(FILES["engine.json"]) == {"version": "1.2.3", "command": ["program", "answer"]}


def test_each_file_that_the_office_registers_is_there() -> None:
    manifest = ET.fromstring(FILES["META-INF/manifest.xml"])
    named = {value for entry in manifest for key, value in entry.attrib.items() if key.endswith("full-path")}
    assert named and named <= set(FILES)
    components = {name for name in FILES if "/" not in name and name.endswith(".py")}
    assert {name for name in FILES if name.endswith((".xcu", ".rdb"))} | components == named


@pytest.mark.parametrize("name", [name for name in FILES if name.endswith((".xml", ".xcu"))])
def test_each_setting_is_well_formed(name: str) -> None:
    ET.fromstring(FILES[name])


@pytest.mark.parametrize("entry", MENU, ids=lambda entry: entry.word)
def test_each_entry_of_the_menu_has_a_module_that_runs_it(entry) -> None:  # type: ignore[no-untyped-def]
    """A module is loaded when it is first chosen: a wrong name would be seen by a person only."""
    text = FILES[f"{IN_OFFICE}/{entry.module}.py"].decode()
    assert f"\ndef {'open_form' if entry.form else 'run'}(desk: Desk" in text
    assert f"service:org.quotekit.Actions?{entry.word}<" in FILES["Addons.xcu"].decode()


def test_words_of_the_menu_are_told_apart() -> None:
    assert len({entry.word for entry in MENU}) == len(MENU)


def test_nothing_is_in_it_that_is_not_needed() -> None:
    """No compiled files, no sources of the type library; stored, so that another zlib makes the same bytes."""
    with zipfile.ZipFile(io.BytesIO(extension_bytes("1"))) as package:
        assert {info.compress_type for info in package.infolist()} == {zipfile.ZIP_STORED}
        assert {info.date_time for info in package.infolist()} == {(2026, 1, 1, 0, 0, 0)}
        assert package.namelist() == sorted(package.namelist())
    assert not [name for name in FILES if name.endswith((".pyc", ".idl")) or "__pycache__" in name]
