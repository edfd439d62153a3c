"""Which workbooks of a watched folder are gone for good, and not only for the moment in which a program saves."""

from __future__ import annotations

from collections.abc import Collection, Iterable

GONE_AFTER = 5.0
"""Seconds: programs that delete before they rename are done in a fraction of one, over a network in a few."""


class GoneFiles:
    """Workbooks that were there once, by name."""

    def __init__(self, known: Iterable[str]) -> None:
        self._missing_since: dict[str, float | None] = dict.fromkeys(known)
        self._gone: set[str] = set()

    def look(self, there: Collection[str], now: float) -> list[str]:
        """Names that have been missing for long enough now, each told once. `now` never goes back."""
        since: dict[str, float | None] = dict.fromkeys(there)
        for name, missing in self._missing_since.items():
            if name not in since:
                since[name] = now if missing is None else missing
        gone = sorted(name for name, missing in since.items() if missing is not None and now - missing >= GONE_AFTER)
        self._missing_since = {name: missing for name, missing in since.items() if name not in gone}
        self._gone = (self._gone | set(gone)) - set(there)
        return gone

    def is_gone(self, name: str) -> bool:
        """Whether it was told to be gone, and is not back."""
        return name in self._gone
