"""Puts the extension into a person's LibreOffice, takes it out again, and tells what is there."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from quotekit.addin.build import extension_bytes
from quotekit.addin.engine_command import engine_command, greets
from quotekit.addin.find_office import find_program
from quotekit.addin.in_profile import IDENTIFIER
from quotekit.addin.refusals import (
    CannotInstall,
    office_not_started,
    office_open,
    office_refused,
    office_without_python,
    profile_of_another,
)
from quotekit.problems import Problem
from quotekit.record import record

FILE = "quotekit.oxt"
SETTINGS = "engine.json"

SECONDS = 300.0
"""The office may take a while: it makes a new profile where there was none."""


@record
class Installed:
    """What was done: where, and which version was there before and is there now."""

    office: str
    profile: str
    before: str | None
    after: str | None


@record
class Found:
    """What is there: the extension's version, and the command that starts its program; None where it is not in.

    `said` is empty where the program answers as the extension needs it, else what it said.
    """

    office: str
    profile: str
    version: str | None
    command: tuple[str, ...] = ()
    said: str = ""


def install(version: str, profile: Path | None = None) -> Installed:
    """Put this version in, over any other. Raises CannotInstall."""
    office = _Office(profile)
    data = extension_bytes(version, engine_command(version))
    with TemporaryDirectory(prefix="quotekit-") as folder:
        file = Path(folder).resolve() / FILE
        file.write_bytes(data)
        return office.change("install", file=file.as_uri())


def remove(profile: Path | None = None) -> Installed:
    """Take it out; where it is not in, no office is started. Raises CannotInstall."""
    office = _Office(profile)
    if next(_settings_in(Path(office.profile)), None) is None:
        return Installed(office=office.program, profile=office.profile, before=None, after=None)
    removed = office.change("remove")
    forget(Path(office.profile))
    return removed


def look(profile: Path | None = None) -> Found:
    """What is in the profile, by its files alone: the office may be open. Raises CannotInstall."""
    office = _Office(profile)
    said = next(_settings_in(Path(office.profile)), None)
    if said is None:
        return Found(office=office.program, profile=office.profile, version=None)
    version, command = str(said.get("version", "")), tuple(map(str, said.get("command") or ()))
    answers = greets(list(command), version) if command else ""
    return Found(office=office.program, profile=office.profile, version=version, command=command, said=answers)


def _settings_in(profile: Path) -> Iterator[dict[str, Any]]:
    """What the extension was told when it was put in, as the office keeps it."""
    for file in _ours(profile):
        try:
            said = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(said, dict):
            yield said


def sweep(profile: Path, *, kept: str) -> None:
    """Remove what the office would only remove at its next start: the folders of what was in before."""
    for file in list(_ours(profile)):
        folder = file.parents[1]
        if folder.name != kept and folder.name.endswith("_"):
            shutil.rmtree(folder, ignore_errors=True)
            folder.with_name(folder.name[:-1]).unlink(missing_ok=True)


def forget(profile: Path) -> None:
    """Take out what the office remembers of our toolbar, its place on the screen: the office itself never would.

    Its settings are a file of one entry a line; the other lines stay byte for byte.
    """
    settings = profile / "user" / "registrymodifications.xcu"
    try:
        lines = settings.read_bytes().splitlines(keepends=True)
    except FileNotFoundError:
        return
    kept = [line for line in lines if not _is_of_ours(line)]
    if kept != lines:
        beside = settings.with_name(f".{settings.name}.new")
        beside.write_bytes(b"".join(kept))
        shutil.copymode(settings, beside)
        beside.replace(settings)


def _is_of_ours(line: bytes) -> bool:
    path = line.partition(b'oor:path="')[2].partition(b'"')[0]
    return line.startswith(b"<item ") and line.rstrip().endswith(b"</item>") and IDENTIFIER.encode() in path


def _ours(profile: Path) -> Iterator[Path]:
    """The file of settings of each copy of the extension, whatever its file was called when it was put in."""
    for place in ("uno_packages/cache/uno_packages", "extensions/tmp/extensions"):
        for file in profile.glob(f"user/{place}/*/*/{SETTINGS}"):
            try:
                about = (file.parent / "description.xml").read_text(encoding="utf-8")
            except (OSError, ValueError):
                continue
            if f'"{IDENTIFIER}"' in about:
                yield file


class _Office:
    """The office of this computer, with a Python that can speak to it, and the profile meant."""

    def __init__(self, profile: Path | None) -> None:
        program = find_program()
        self.program = str(program)
        self._address = _folder_of_settings(profile).as_uri() if profile else None
        self._python, self.profile = self._speaking(program)

    def change(self, do: str, **words: str) -> Installed:
        """Have it done by an office without a window. Raises CannotInstall."""
        owner = owner_of(Path(self.profile))
        if owner:
            raise CannotInstall(profile_of_another(self.profile, owner))
        told = self._asked(self._python, {"do": do, **words})
        if "folder" in told:
            sweep(Path(self.profile), kept=told["folder"])
        if told.get("refused"):
            raise CannotInstall(self._problem(told["refused"], told.get("said", "")))
        return Installed(office=self.program, profile=self.profile, before=told["before"], after=told["after"])

    def _speaking(self, program: Path) -> tuple[str, str]:
        for python in pythons_of(program):
            told = self._asked(python, {"do": "where"})
            if told.get("profile"):
                return python, told["profile"]
        raise CannotInstall(office_without_python(self.program))

    def _asked(self, python: str, words: Mapping[str, str]) -> dict[str, Any]:
        """One run of `in_profile`; a Python that can't run it is as one without the office's modules."""
        script = (files("quotekit.addin") / "in_profile.py").read_text(encoding="utf-8")
        asked = json.dumps({**words, "office": self.program, "profile": self._address})
        try:
            done = subprocess.run(
                [python, "-c", script],
                input=asked,
                capture_output=True,
                text=True,
                encoding="utf-8",
                timeout=SECONDS,
                env=_own_environment(os.environ),
                check=False,
            )
            told = json.loads("".join(done.stdout.splitlines()[-1:]))
        except subprocess.TimeoutExpired:
            return {"refused": "not started", "said": f"It did not answer within {SECONDS:g} seconds."}
        except OSError as fault:
            return {"refused": "no uno", "said": str(fault)}
        except ValueError:
            last = done.stderr.strip().splitlines()[-1:] or [f"It ended with code {done.returncode}."]
            return {"refused": "refused", "said": last[0]}
        return told if isinstance(told, dict) else {}

    def _problem(self, why: str, said: str) -> Problem:
        if why == "open":
            return office_open(self.profile)
        if why == "no uno":
            return office_without_python(self.program)
        return office_not_started(self.program, said) if why == "not started" else office_refused(self.program, said)


def pythons_of(program: Path) -> list[str]:
    """Pythons that may have the office's modules: its own beside it, else that of the system."""
    own = [program.parent / "python", program.parent / "python.exe", program.parent.parent / "Resources" / "python"]
    system = ["/usr/bin/python3", shutil.which("python3") or ""]
    listed = [str(one) for one in own if one.is_file()] + [one for one in system if one and Path(one).is_file()]
    return list(dict.fromkeys(listed))


def owner_of(profile: Path) -> str:
    """Who owns a profile, where it is somebody else's and we are root; empty where all is well."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return ""
    nearest = next((one for one in (profile, *profile.parents) if one.exists()), None)
    if nearest is None or nearest.stat().st_uid == 0:
        return ""
    try:
        return nearest.owner()
    except (KeyError, NotImplementedError):
        return f"the user {nearest.stat().st_uid}"


def _folder_of_settings(folder: Path) -> Path:
    """The folder that the office itself is told; a person may name the folder `user` in it, where the settings lie."""
    folder = folder.expanduser().resolve()
    return folder.parent if (folder / "registrymodifications.xcu").is_file() else folder


def _own_environment(environment: Mapping[str, str]) -> dict[str, str]:
    """The person's environment without what belongs to the Python that runs quotekit.

    The office's own Python takes the first `python3` on the path for its home: with a virtual environment there it does
    not find the office's modules, and the office only says `bad_alloc`.
    """
    own = {name: text for name, text in environment.items() if not name.startswith("PYTHON") and name != "VIRTUAL_ENV"}
    folders = own.get("PATH", "").split(os.pathsep)
    own["PATH"] = os.pathsep.join(one for one in folders if not Path(one).parent.joinpath("pyvenv.cfg").is_file())
    return own | {"PYTHONIOENCODING": "utf-8"}
