"""The one engine of the office: which program it is, in which environment; cells and menu share it."""

from __future__ import annotations

import json
import os
import shutil
import sys
from typing import Any, Dict, List, Optional

from .environment import engine_environment
from .pipe import Engine, EngineFault

SETTINGS = "engine.json"
"""Lies in the extension's folder: `{"version": ..., "command": [...]}`, the command as it was when it was installed."""

_shared: Optional[Engine] = None


def engine() -> Engine:
    """The engine of this office; nothing is started yet. Raises EngineFault where no program is known."""
    global _shared
    if _shared is None:
        said = settings()
        _shared = Engine(_command(said), str(said.get("version", "")), engine_environment(os.environ, _office_folder()))
    return _shared


def settings(folder: str = "") -> Dict[str, Any]:
    """What was written when the extension was built or installed."""
    here = folder or os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    try:
        with open(os.path.join(here, SETTINGS), encoding="utf-8") as file:
            said = json.load(file)
    except (OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}


def _command(said: Dict[str, Any]) -> List[str]:
    command = [str(word) for word in said.get("command") or []]
    if command:
        return command
    found = shutil.which("quotekit")
    if found is None:
        message = "The program quotekit was not found."
        raise EngineFault(message, "Install it, then run `quotekit addin install`, which tells the office where it is.")
    return [found, "answer"]


def _office_folder() -> str:
    """The folder of the office's programs, which it puts on the path for itself."""
    return os.path.dirname(sys.executable or "") if "office" in (sys.executable or "").lower() else ""
