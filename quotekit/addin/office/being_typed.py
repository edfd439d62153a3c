"""Whether a person is typing in a cell just now: then nothing is done to the workbook."""

from __future__ import annotations

from typing import Any


def is_typing(document: Any) -> bool:
    """True while a cell of the document's window is being typed in."""
    return False
