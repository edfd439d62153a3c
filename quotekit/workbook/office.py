"""Runs LibreOffice once without a screen, shut off from the rest: own profile, no macros, no network, a time limit.

Settings: SPREADSHEETS.md 7. The profile and all that LibreOffice leaves about are removed whatever happens.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO

PROGRAM_SETTING = "QUOTEKIT_SOFFICE"
"""Environment variable: the program to run, where LibreOffice is not on the path."""

_NAMES = ("soffice", "libreoffice")
_KEPT = ("PATH", "SYSTEMROOT")
"""All that LibreOffice sees of the environment: no proxy, no Python path, no home folder of a person."""

_GRACE_SECONDS = 2.0
_NOWHERE = ("127.0.0.1", "9")
"""A proxy where nobody answers."""

_SETTINGS = (
    ("Calc/Formula/Load", "OOXMLRecalcMode", "0"),
    ("Calc/Content/Update", "Link", "1"),
    ("Common/Security/Scripting", "BlockUntrustedRefererLinks", "true"),
    ("Common/Security/Scripting", "DisableMacrosExecution", "true"),
    ("Common/Security/Scripting", "MacroSecurityLevel", "3"),
    ("Common/Filter/PDF/Export", "UseTaggedPDF", "true"),
)
"""Below `/org.openoffice.Office.`: formulas worked out, links never followed, nothing run, a PDF to be read aloud."""

_NETWORK = (
    ("ooInetProxyType", "2"),
    *((f"ooInet{kind}ProxyName", _NOWHERE[0]) for kind in ("HTTP", "HTTPS", "FTP")),
    *((f"ooInet{kind}ProxyPort", _NOWHERE[1]) for kind in ("HTTP", "HTTPS", "FTP")),
    ("ooInetNoProxy", ""),
)


class TimeOut(Exception):
    """LibreOffice did not end in time and was stopped."""


class Failed(Exception):
    """LibreOffice ended without doing what it should; what it said last."""


def find_office() -> str | None:
    """The program, or nothing where it is not installed."""
    names = (os.environ[PROGRAM_SETTING],) if os.environ.get(PROGRAM_SETTING) else _NAMES
    return next(filter(None, map(shutil.which, names)), None)


def run_office(program: str, arguments: Sequence[str], *, language: str, seconds: float) -> None:
    """Run to the end. Raises TimeOut or Failed."""
    with _profile(language) as profile, (profile / "said.txt").open("w+b") as said:
        process = _start(program, arguments, profile, said)
        try:
            code = process.wait(seconds)
        except subprocess.TimeoutExpired:
            raise TimeOut from None
        finally:
            _end(process)
        if code != 0:
            said.seek(0)
            raise Failed(_last_line(said.read()) or f"exit code {code}")


def _start(program: str, arguments: Sequence[str], profile: Path, said: IO[bytes]) -> subprocess.Popen[bytes]:
    try:
        return subprocess.Popen(
            [program, f"-env:UserInstallation={profile.as_uri()}", *_QUIET, *arguments],
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=subprocess.STDOUT,
            env=_environment(profile),
            cwd=profile,
            start_new_session=True,
        )
    except OSError as fault:
        raise Failed(f"{program}: {fault.strerror}") from None


_QUIET = ("--headless", "--norestore", "--nolockcheck", "--nodefault", "--nologo", "--nofirststartwizard")


@contextmanager
def _profile(language: str) -> Iterator[Path]:
    with TemporaryDirectory(prefix="quotekit-") as folder:
        profile = Path(folder).resolve()
        (profile / "user").mkdir()
        (profile / "temp").mkdir()
        (profile / "user" / "registrymodifications.xcu").write_text(settings_text(language), encoding="utf-8")
        try:
            yield profile
        finally:
            _meeting_point(profile).unlink(missing_ok=True)


def settings_text(language: str) -> str:
    """The profile's settings; amounts are shown as the quote's language does, `en_US` or `de_DE`."""
    items = [*((f"Office.{path}", name, value) for path, name, value in _SETTINGS)]
    items += [("Inet/Settings", name, value) for name, value in _NETWORK]
    items.append(("Setup/L10N", "ooSetupSystemLocale", language.replace("_", "-")))
    lines = [
        f'<item oor:path="/org.openoffice.{path}"><prop oor:name="{name}" oor:op="fuse">'
        f"<value>{value}</value></prop></item>\n"
        for path, name, value in items
    ]
    start = '<?xml version="1.0" encoding="UTF-8"?>\n<oor:items xmlns:oor="http://openoffice.org/2001/registry">\n'
    return "".join((start, *lines, "</oor:items>\n"))


def _environment(profile: Path) -> dict[str, str]:
    temp = str(profile / "temp")
    kept = {name: os.environ[name] for name in _KEPT if name in os.environ}
    return kept | {"HOME": str(profile), "LC_ALL": "C.UTF-8", "TMPDIR": temp, "TEMP": temp, "TMP": temp}


def _end(process: subprocess.Popen[bytes]) -> None:
    """Stop what is still running of it, its children too: asked first, then forced."""
    if not hasattr(os, "killpg"):
        process.kill()
        process.wait()
        return
    if process.poll() is None:
        _signal(process.pid, signal.SIGTERM)
        with suppress(subprocess.TimeoutExpired):
            process.wait(_GRACE_SECONDS)
    running = _signal(process.pid, signal.SIGKILL)
    process.wait()
    stop_waiting = time.monotonic() + _GRACE_SECONDS
    while running and time.monotonic() < stop_waiting:
        time.sleep(0.02)
        running = _signal(process.pid, signal.SIGKILL)


def _signal(group: int, number: signal.Signals) -> bool:
    """Whether a process of the group was there to get it."""
    try:
        os.killpg(group, number)
    except (ProcessLookupError, PermissionError):
        return False
    return True


def _meeting_point(profile: Path) -> Path:
    """The socket by which LibreOffice finds itself; one that was stopped leaves it in /tmp."""
    digest = hashlib.md5(profile.as_uri().encode("utf-16-le"), usedforsecurity=False).digest()
    user = os.getuid() if hasattr(os, "getuid") else 0
    return Path("/tmp") / f"OSL_PIPE_{user}_SingleOfficeIPC_{''.join(f'{byte:x}' for byte in digest)}"


def _last_line(said: bytes) -> str:
    lines = said.decode("utf-8", errors="replace").split("\n")
    return next((line.strip() for line in reversed(lines) if line.strip()), "")
