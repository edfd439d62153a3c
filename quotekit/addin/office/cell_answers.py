"""Answers that cells had, so that a sheet worked out again asks the engine for what is new alone.

An answer holds for the shop book as it was read; the engine says which reading it is of. For a moment after the engine
said so, cells go by it; then the next one asks, and where the book was read anew all that was kept goes.

What was asked is remembered longer than the answers: after a change of an open shop book it is asked again together.
"""

from __future__ import annotations

import time
from typing import Any, Callable, Dict, Iterable, List, Optional, Tuple

from .cell_reasons import Call

HOLDS_SECONDS = 0.5
"""How long nothing is asked about whether the shop book is still the same."""

MOST = 50000
"""Answers kept for one document."""

_Line = Dict[str, Any]


class Answers:
    """The last answers, for each document and shop book."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._kept: Dict[Tuple[str, str], _OfBook] = {}
        self._asked: Dict[str, Dict[Call, None]] = {}
        self.cleared = 0
        """How often all answers were taken away."""

    def of(self, call: Call) -> Optional[_Line]:
        """The answer that a cell had; None where the engine is to be asked."""
        self._asked.setdefault(call.document, {})[call] = None
        known = self._kept.get((call.document, call.book))
        if known is None or self._clock() >= known.until:
            return None
        return known.answers.get(call)

    def asked(self) -> List[Call]:
        """What cells asked, each once: for each document since all its cells were last worked out."""
        return [call for calls in self._asked.values() for call in list(calls)[-MOST:]]

    def all_ask(self, document: str) -> None:
        """All cells of a document are worked out now: what is not asked again stands in no cell any more."""
        self._asked.pop(document, None)

    def keep(self, call: Call, answer: _Line) -> None:
        """The engine has answered; without a reading of a shop book it holds for this cell alone."""
        reading = (answer.get("done") or {}).get("reading")
        if reading is None:
            self._kept.pop((call.document, call.book), None)
            return
        known = self._kept.get((call.document, call.book))
        if known is None or known.reading != reading or len(known.answers) >= MOST:
            known = self._kept[call.document, call.book] = _OfBook(reading)
        known.until = self._clock() + HOLDS_SECONDS
        known.answers[call] = answer

    def forget(self, documents: Iterable[str]) -> None:
        """Other documents than these are closed."""
        self._asked = {name: self._asked[name] for name in documents if name in self._asked}

    def clear(self) -> None:
        """A shop book that is open was changed or closed."""
        self._kept.clear()
        self.cleared += 1


class _OfBook:
    def __init__(self, reading: Any) -> None:
        self.reading, self.until = reading, 0.0
        self.answers: Dict[Call, _Line] = {}


ANSWERS = Answers()
"""Those of this office."""
