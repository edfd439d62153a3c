"""A cell's function: its arguments go to the engine, a figure comes back, or the reason why there is none.

The office asks cell by cell and waits; all cells share one engine, and after a fault the next ones are refused at once.
"""

from __future__ import annotations

from typing import Any, Sequence

from .cell_answers import ANSWERS
from .cell_reasons import REASONS, Call
from .open_books import BOOKS, document_name
from .pipe import EngineFault, Line, Stopped
from .shared_engine import engine

CELL_SECONDS = 5.0
"""How long one cell may keep the office waiting; the start of the engine comes on top of the first."""


class CellRefused(Exception):
    """What the cell asks has no figure; the reason says why and what to do."""


class CellCannotBeAnswered(Exception):
    """The engine is missing, ended or silent."""


def figure(context: Any, name: str, document: Any, arguments: Sequence[Any], book: Any) -> float:
    """The figure of a function in a cell of a document. Raises CellRefused and CellCannotBeAnswered."""
    where = document_name(document)
    call = Call(name, where, plain(arguments), book if isinstance(book, str) else "")
    BOOKS.used_by(context, document, where)
    answer = ANSWERS.of(call)
    if answer is None:
        answer = _asked(call, document)
        ANSWERS.keep(call, answer)
    done = answer.get("done")
    if done is not None and "value" in done:
        REASONS.forget(call)
        return float(done["value"])
    reason = done["reason"] if done is not None else " ".join(one["message"] for one in answer["problems"])
    REASONS.keep(call, reason)
    raise CellRefused(reason)


def _asked(call: Call, document: Any) -> Line:
    try:
        return engine().ask_quickly(request(call, document), CELL_SECONDS)
    except EngineFault as fault:
        REASONS.keep(call, str(fault))
        raise CellCannotBeAnswered(str(fault)) from None
    except Stopped:
        raise CellCannotBeAnswered("It was stopped.") from None


def request(call: Call, document: Any) -> Line:
    """What the engine is asked."""
    words: Line = {
        "do": "function",
        "name": call.name,
        "arguments": list(call.arguments),
        "document": call.document,
        "book": call.book or None,
    }
    if call.has_date:
        zero = document.getPropertyValue("NullDate")
        words["day_zero"] = f"{zero.Year:04d}-{zero.Month:02d}-{zero.Day:02d}"
    return words


def plain(arguments: Sequence[Any]) -> tuple:  # type: ignore[type-arg]
    """Arguments as they can be sent: numbers, texts, and ranges of them; those left out at the end are left away."""
    found = [_rows(one) if isinstance(one, tuple) else _cell(one) for one in arguments]
    while found and found[-1] is None:
        found.pop()
    return tuple(found)


def _rows(rows: Any) -> Any:
    return tuple(tuple(_cell(one) for one in row) for row in rows)


def _cell(value: Any) -> Any:
    return value if value is None or isinstance(value, (float, int, str)) else str(value)
