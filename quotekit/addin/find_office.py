"""Finds the LibreOffice of this computer: on the path, where a setting says, or where it is usually installed.

One in a box (Flatpak, Snap) is found too, and refused: it may not start programs outside its box.
"""

from __future__ import annotations

import glob
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from quotekit.addin.refusals import CannotInstall
from quotekit.problems import Place, Problem, error
from quotekit.workbook.office import PROGRAM_SETTING, find_office

_FOLDERS = {
    "linux": (
        "/usr/lib/libreoffice/program",
        "/usr/lib64/libreoffice/program",
        "/opt/libreoffice*/program",
        "/usr/local/lib/libreoffice/program",
    ),
    "darwin": ("/Applications/LibreOffice*.app/Contents/MacOS", "~/Applications/LibreOffice*.app/Contents/MacOS"),
    "win32": (
        "{ProgramFiles}/LibreOffice*/program",
        "{ProgramW6432}/LibreOffice*/program",
        "{ProgramFiles(x86)}/LibreOffice*/program",
    ),
}
"""Folders of its programs by system; the last of several is the newest."""

_BOXES = {
    "Flatpak": (
        "/var/lib/flatpak/app/org.libreoffice.LibreOffice",
        "~/.local/share/flatpak/app/org.libreoffice.LibreOffice",
    ),
    "Snap": ("/snap/bin/libreoffice", "/var/lib/snapd/snap/bin/libreoffice"),
}


def find_program(system: str = sys.platform, environment: Mapping[str, str] = os.environ) -> Path:
    """The office's program, links followed, so that what lies beside it is found. Raises CannotInstall."""
    on_path = find_office()
    box = _box_of(on_path) if on_path else ""
    if on_path and not box:
        return Path(on_path).resolve()
    if not environment.get(PROGRAM_SETTING):
        found = next(_usual_programs(system, environment), None)
        if found is not None:
            return found.resolve()
    box = box or _box_of_home()
    raise CannotInstall(_boxed(box) if box else _not_found(environment.get(PROGRAM_SETTING, "")))


def _usual_programs(system: str, environment: Mapping[str, str]) -> Iterator[Path]:
    name = "soffice.exe" if system == "win32" else "soffice"
    for pattern in _FOLDERS.get(system, _FOLDERS["linux"]):
        try:
            folders = glob.glob(os.path.expanduser(pattern.format_map(environment)))
        except KeyError:
            continue
        for folder in sorted(folders, reverse=True):
            if (Path(folder) / name).is_file():
                yield Path(folder) / name


def _box_of(program: str) -> str:
    """Which box a program of the path belongs to: it is only a way in."""
    real = Path(program).resolve().as_posix()
    if real.endswith("/snap") or "/snap/" in f"{program} {real}":
        return "Snap"
    return "Flatpak" if "/flatpak/" in f"{program} {real}" else ""


def _box_of_home() -> str:
    return next((box for box, places in _BOXES.items() if any(Path(one).expanduser().exists() for one in places)), "")


def _not_found(setting: str) -> Problem:
    message = "LibreOffice was not found on this computer."
    if setting:
        message = f"{PROGRAM_SETTING} names {setting}, which is no program that can be run."
    remedy = (
        f"Install it (Debian, Ubuntu: libreoffice-calc python3-uno), or set {PROGRAM_SETTING} to its program soffice."
    )
    return error(Place(""), "office-not-found", message, remedy)


def _boxed(box: str) -> Problem:
    message = f"This LibreOffice comes as a {box}, which may not start programs outside its box."
    remedy = (
        "Install LibreOffice as a package of the system or from its makers. "
        "With the one you have, `quotekit watch` prices each job as it is saved."
    )
    return error(Place(""), "office-in-a-box", message, remedy)
