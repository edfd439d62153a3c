"""The environment of the engine process: that of the person, without what the office put there for itself.

The office's own variables would make another Python load the office's modules (PYTHONPATH, PYTHONHOME) or another
program load its libraries (LD_LIBRARY_PATH, the office's folders on PATH). So only what is known to be of use is kept.
"""

from __future__ import annotations

import os
from typing import Dict, Mapping

_KEPT = (
    "PATH", "HOME", "USER", "LOGNAME", "USERNAME", "USERPROFILE", "HOMEDRIVE", "HOMEPATH", "LANG", "LANGUAGE", "TZ",
    "TMPDIR", "TEMP", "TMP",
    "SYSTEMROOT", "SYSTEMDRIVE", "WINDIR", "COMSPEC", "PATHEXT", "APPDATA", "LOCALAPPDATA", "PROGRAMDATA",
    "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_RUNTIME_DIR",
)  # fmt: skip
"""What a program needs to know of a person and a machine."""

_STARTS = ("LC_", "QUOTEKIT_", "PG")
"""Language, settings of quotekit, and how a person reaches a ledger on a server."""


def engine_environment(of_office: Mapping[str, str], office_folder: str = "") -> Dict[str, str]:
    """What the engine sees of the office's environment; what lies in `office_folder` is taken off the path.

    >>> engine_environment({"PATH": "/opt/office/program:/usr/bin", "PYTHONPATH": "/x", "LC_ALL": "C"}, "/opt/office")
    {'PATH': '/usr/bin', 'LC_ALL': 'C', 'PYTHONUTF8': '1'}
    """
    kept = {name: text for name, text in of_office.items() if name.upper() in _KEPT or name.startswith(_STARTS)}
    if "PATH" in kept and office_folder:
        folders = kept["PATH"].split(os.pathsep)
        kept["PATH"] = os.pathsep.join(one for one in folders if not _within(one, office_folder))
    return {**kept, "PYTHONUTF8": "1"}


def _within(folder: str, office_folder: str) -> bool:
    here, office = (os.path.normcase(os.path.realpath(one)) for one in (folder or os.sep, office_folder))
    return here == office or here.startswith(office.rstrip(os.sep) + os.sep)
