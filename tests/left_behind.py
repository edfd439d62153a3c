"""What a test leaves in the folder in which the tests run: nothing, for whatever it writes has a folder of its own."""

from __future__ import annotations

import os
from pathlib import Path

_NOT_OF_TESTS = frozenset({"__pycache__", "artefacts", "build", "dist", "node_modules"})


class LeftBehind:
    """A folder, and what stood in it before."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._known = folder, set(os.listdir(folder))

    def names(self) -> list[str]:
        """What is new since the last time it was asked for, without what tools keep for themselves."""
        new = set(os.listdir(self._folder)) - self._known
        self._known |= new
        return sorted(name for name in new if name not in _NOT_OF_TESTS and not name.startswith((".", "~")))
