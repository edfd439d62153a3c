"""Temporary folders of the office: named after its process, so that what a killed office left is swept by the next."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
import threading
import time

_START = "quotekit-office-"
_NAME = re.compile(_START + r"(\d+)-\w+$")
_DAY = 24 * 3600.0

_swept = threading.Event()


def new_folder() -> str:
    """A folder for copies; the first of an office sweeps what others left."""
    if not _swept.is_set():
        _swept.set()
        sweep(tempfile.gettempdir())
    return tempfile.mkdtemp(prefix=f"{_START}{os.getpid()}-")


def sweep(folder: str) -> None:
    """Remove folders of ours whose office is gone; those of others, and of an office that runs, stay."""
    try:
        names = os.listdir(folder)
    except OSError:
        return
    for name in names:
        named = _NAME.match(name)
        path = os.path.join(folder, name)
        if named and _is_ours(path) and not _runs(int(named.group(1)), path):
            shutil.rmtree(path, ignore_errors=True)


def _is_ours(path: str) -> bool:
    try:
        found = os.lstat(path)
    except OSError:
        return False
    return os.path.isdir(path) and not os.path.islink(path) and found.st_uid == getattr(os, "getuid", lambda: 0)()


def _runs(process: int, path: str) -> bool:
    """Whether its office may still run. On Windows a process can't be asked without harm: a day is waited there."""
    if os.name == "nt":
        return time.time() - os.path.getmtime(path) < _DAY
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
