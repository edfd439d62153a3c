"""The one engine of the office: which program it is, in which environment; cells and menu share it."""

from __future__ import annotations

import json
import os
import shutil
import threading
from typing import Any, Dict, List, Optional

from .environment import engine_environment
from .pipe import Engine
from .trouble import EngineFault

SETTINGS = "engine.json"
"""Lies in the extension's folder: `{"version": ..., "command": [...]}`, the command as it was when it was installed."""

_shared: Optional[Engine] = None
_making = threading.Lock()


def engine() -> Engine:
    """The engine of this office; nothing is started yet. Raises EngineFault where no program is known."""
    global _shared
    with _making:
        if _shared is None:
            said, environment = settings(), engine_environment(os.environ, office_folder())
            command = engine_command(said, environment.get("PATH", ""))
            _shared = Engine(command, str(said.get("version", "")), environment)
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


def engine_command(said: Dict[str, Any], path: str) -> List[str]:
    """What starts the engine: as it was installed, else the program `quotekit` of the path."""
    listed = said.get("command")
    command = [str(word) for word in listed] if isinstance(listed, list) else []
    if command:
        return command
    found = shutil.which("quotekit", path=path or None)
    if found is None:
        message = "The program quotekit was not found."
        raise EngineFault(message, "Install it, then run `quotekit addin install`, which tells the office where it is.")
    return [found, "answer"]


def office_folder() -> str:
    """Where the office lies, by its own word; empty where it does not say. sys.executable is not to be trusted."""
    import uno

    try:
        expander = uno.getComponentContext().getByName("/singletons/com.sun.star.util.theMacroExpander")
        return os.path.realpath(str(uno.fileUrlToSystemPath(expander.expandMacros("$BRAND_BASE_DIR"))))
    except Exception:  # an office of another make: the path stays as it is
        return ""
