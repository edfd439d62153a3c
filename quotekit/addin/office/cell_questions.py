"""What the engine is asked for cells: one by one as they come, or together and ahead of them, from a thread.

After a change of an open shop book thousands of cells have another figure. Asked one by one by the office they would
hold it up; so the engine is asked for all of them first, and the office finds the answers at hand.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Any, Callable, Dict, List, Sequence, Tuple

from .cell_answers import ANSWERS
from .cell_reasons import Call
from .shared_engine import engine

if TYPE_CHECKING:
    from .desk import Desk
    from .pipe import Line

TOGETHER = 250
"""Questions of one message: a cell that a person types meanwhile waits for no more than these."""

TOGETHER_SECONDS = 20.0

FEW = 100
"""So many cells ask by themselves: that takes no longer than a blink."""

_day_zero: Dict[str, str] = {}
"""The day that dates count from, by document."""


def question_in(document: Any, call: Call) -> Line:
    """What the engine is asked for a cell of an open document."""
    if call.has_date and call.document not in _day_zero:
        zero = document.getPropertyValue("NullDate")
        _day_zero[call.document] = f"{zero.Year:04d}-{zero.Month:02d}-{zero.Day:02d}"
    return question(call)


def question(call: Call) -> Line:
    """The same again, without the document."""
    words: Line = {
        "do": "function",
        "name": call.name,
        "arguments": list(call.arguments),
        "document": call.document,
        "book": call.book or None,
    }
    if call.has_date:
        words["day_zero"] = _day_zero[call.document]
    return words


class AskedAhead:
    """The questions of all cells, asked together."""

    def __init__(self) -> None:
        self.goes_on = False

    def begin(self, desk: Desk, then: Callable[[], None]) -> bool:
        """Ask for all that cells asked; `then` is called in the main thread. False where there are but a few."""
        calls, cleared = ANSWERS.asked(), ANSWERS.cleared
        if len(calls) <= FEW:
            return False
        self.goes_on = True

        def ended(answers: List[Tuple[Call, Line]]) -> None:
            self.goes_on = False
            for call, answer in answers if ANSWERS.cleared == cleared else ():
                ANSWERS.keep(call, answer)
            then()

        def work() -> None:
            answers = _answers(calls)
            desk.later(lambda: ended(answers))

        threading.Thread(target=work, daemon=True).start()
        return True


def _answers(calls: Sequence[Call]) -> List[Tuple[Call, Line]]:
    """As far as the engine tells: cells ask for the rest by themselves."""
    found: List[Tuple[Call, Line]] = []
    for start in range(0, len(calls), TOGETHER):
        some = calls[start : start + TOGETHER]
        try:
            words = {"do": "functions", "asked": [question(call) for call in some]}
            told = engine().ask_quickly(words, TOGETHER_SECONDS).get("done", {}).get("answers", ())
        except Exception:  # killed, stopped, missing: told where a cell asks
            break
        found += [(some[at], {"done": one}) for at, one in enumerate(told) if one is not None]
    return found
