"""Cells that had no answer, as the engine was missing, silent or busy: they are worked out again when it is back.

It is asked, in a thread, whether it answers; ever more seldom, as a program that is gone may stay so. Where it answers
and cells are refused all the same, they are tried a few times and then left alone until something is changed.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Callable

from .pipe import REST_SECONDS
from .shared_engine import engine
from .timer import after

if TYPE_CHECKING:
    from .desk import Desk

FIRST_PAUSE, LONGEST_PAUSE = REST_SECONDS + 0.5, 20.0
"""Seconds until it is asked; at first no sooner than it may be asked at all after a fault."""

MOST_TRIES = 5
"""How often cells are worked out again where that does not help."""

ANSWER_SECONDS = 5.0


class Refused:
    """Whether cells were refused, and what brings them back."""

    def __init__(self, back: Callable[[], None]) -> None:
        self._back = back
        self._waits, self._pause, self._tries = False, FIRST_PAUSE, 0

    def new_start(self) -> None:
        """Something was changed: what did not help before may help now."""
        self._tries = 0

    def one(self, desk: Desk) -> None:
        """A cell was refused. Quick: thousands are, one after the other."""
        if not self._waits and self._tries < MOST_TRIES:
            self._waits, self._pause = True, FIRST_PAUSE
            after(desk, self._pause, lambda: self._ask(desk))

    def _ask(self, desk: Desk) -> None:
        def work() -> None:
            try:
                engine().ask_quickly({"do": "functions", "asked": []}, ANSWER_SECONDS)
            except Exception:  # told where somebody asks for something
                self._pause = min(LONGEST_PAUSE, self._pause * 1.5)
                after(desk, self._pause, lambda: self._ask(desk))
            else:
                self._waits, self._tries = False, self._tries + 1
                self._back()

        threading.Thread(target=work, daemon=True).start()
