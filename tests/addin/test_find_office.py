"""Which office is found, on three systems; those of macOS and Windows by imitated folders."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.addin import find_office
from quotekit.addin.find_office import find_program
from quotekit.addin.install import pythons_of
from quotekit.addin.refusals import CannotInstall


def program(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A computer without an office: an empty path, and folders of programs that lie in the test's own."""
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.delenv("QUOTEKIT_SOFFICE", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    moved = {
        system: tuple(one if one.startswith(("~", "{")) else f"{tmp_path}{one}" for one in folders)
        for system, folders in find_office._FOLDERS.items()
    }
    boxes = {
        box: tuple(one if one.startswith("~") else f"{tmp_path}{one}" for one in places)
        for box, places in find_office._BOXES.items()
    }
    monkeypatch.setattr(find_office, "_FOLDERS", moved)
    monkeypatch.setattr(find_office, "_BOXES", boxes)
    return tmp_path


def refusal(**words: str) -> tuple[str, str]:
    with pytest.raises(CannotInstall) as caught:
        find_program(**words)  # type: ignore[arg-type]
    return caught.value.problem.code, f"{caught.value.problem.message} {caught.value.problem.remedy}"


def test_one_on_the_path_is_taken_where_it_really_lies(bare: Path) -> None:
    """Its Python and its settings lie beside the real program, not beside the link."""
    real = program(bare / "usr/lib/libreoffice/program/soffice")
    (bare / "bin").mkdir()
    (bare / "bin/soffice").symlink_to(real)
    assert find_program() == real


def test_a_setting_comes_first(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program(bare / "bin/soffice")
    own = program(bare / "portable/program/soffice")
    monkeypatch.setenv("QUOTEKIT_SOFFICE", str(own))
    assert find_program() == own


def test_a_setting_that_names_nothing_is_said(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another office is not taken in its place."""
    program(bare / "usr/lib/libreoffice/program/soffice")
    monkeypatch.setenv("QUOTEKIT_SOFFICE", "/no/soffice")
    code, said = refusal(system="linux")
    assert code == "office-not-found" and "QUOTEKIT_SOFFICE names /no/soffice" in said


@pytest.mark.parametrize(
    ("system", "places", "found"),
    [
        ("linux", ["usr/lib/libreoffice/program/soffice"], 0),
        ("linux", ["usr/lib64/libreoffice/program/soffice"], 0),
        ("linux", ["opt/libreoffice7.4/program/soffice", "opt/libreoffice24.8/program/soffice"], 0),
        ("darwin", ["Applications/LibreOffice.app/Contents/MacOS/soffice"], 0),
        ("darwin", ["home/Applications/LibreOffice.app/Contents/MacOS/soffice"], 0),
        ("win32", ["C/LibreOffice/program/soffice.exe"], 0),
        ("win32", ["C86/LibreOffice 7/program/soffice.exe"], 0),
    ],
)
def test_usual_folders(bare: Path, system: str, places: list[str], found: int) -> None:
    made = [program(bare / place) for place in places]
    environment = {"ProgramFiles": str(bare / "C"), "ProgramFiles(x86)": str(bare / "C86")}
    assert find_program(system, environment) == made[found]


def test_none_is_said_with_what_to_do(bare: Path) -> None:
    code, said = refusal(system="linux")
    assert code == "office-not-found"
    assert said.startswith("LibreOffice was not found on this computer. Install it (Debian, Ubuntu: libreoffice-calc")


@pytest.mark.parametrize(
    ("place", "box"),
    [
        ("var/lib/flatpak/app/org.libreoffice.LibreOffice/x", "Flatpak"),
        ("home/.local/share/flatpak/app/org.libreoffice.LibreOffice/x", "Flatpak"),
        ("snap/bin/libreoffice", "Snap"),
    ],
)
def test_one_in_a_box_is_refused_in_words(bare: Path, place: str, box: str) -> None:
    """It may not start a program outside its box, so that no menu could do anything; `watch` works with it."""
    program(bare / place)
    code, said = refusal(system="linux")
    assert code == "office-in-a-box"
    assert said.startswith(f"This LibreOffice comes as a {box}, which may not") and "`quotekit watch`" in said


def test_a_box_on_the_path_does_not_hide_a_real_office(bare: Path) -> None:
    """Snap puts `libreoffice` on the path as a link to itself."""
    program(bare / "usr/bin/snap")
    (bare / "bin").mkdir()
    (bare / "bin/libreoffice").symlink_to(bare / "usr/bin/snap")
    assert refusal(system="linux")[0] == "office-in-a-box"
    real = program(bare / "usr/lib/libreoffice/program/soffice")
    assert find_program("linux") == real


@pytest.mark.parametrize(
    ("office", "python"),
    [
        ("opt/libreoffice7.6/program/soffice", "opt/libreoffice7.6/program/python"),
        ("C/LibreOffice/program/soffice.exe", "C/LibreOffice/program/python.exe"),
        ("LibreOffice.app/Contents/MacOS/soffice", "LibreOffice.app/Contents/Resources/python"),
    ],
)
def test_the_offices_own_python_comes_first(tmp_path: Path, office: str, python: str) -> None:
    """Only where it has none the system's is tried (Debian, Ubuntu)."""
    own, found = program(tmp_path / python), pythons_of(program(tmp_path / office))
    assert found[0] == str(own)
    assert all(Path(one).is_file() for one in found)
