"""A cell's function: its arguments go to the engine, a figure comes back, or the reason why there is none.

The office asks cell by cell and waits; all cells share one engine, and after a fault the next ones are refused at once.

A cell that has no figure shows Err:502 where it asks for what can't be, and #VALUE! where the engine can't be reached.
The reason is kept for the menu's `Explain the selected cell`: the office shows no text there. The error is handed over
as the office keeps it in a cell, a number that is none with the error's number in its last bits; the other way, an
exception, does the same and takes four times as long, which thousands of cells would feel.
"""

from __future__ import annotations

import struct
from typing import Any, Sequence

from .cell_answers import ANSWERS
from .cell_questions import question_in
from .cell_reasons import REASONS, Call
from .open_books import BOOKS, document_name
from .pipe import Stopped, Trouble
from .shared_engine import engine

CELL_SECONDS = 5.0
"""How long one cell may keep the office waiting; the start of the engine comes on top of the first."""

WRONG_ARGUMENT, NO_VALUE = 502, 519
"""The office's numbers of errors: Err:502, and #VALUE!."""


def figure(context: Any, name: str, document: Any, arguments: Sequence[Any], book: Any) -> float:
    """The figure of a function in a cell of a document, or what makes the cell show an error."""
    where = document_name(document)
    call = Call(name, where, plain(arguments), book if isinstance(book, str) else "")
    try:
        BOOKS.used_by(context, document, where)
        answer = ANSWERS.of(call)
        if answer is None:
            answer = engine().ask_quickly(question_in(document, call), CELL_SECONDS)
            ANSWERS.keep(call, answer)
    except (Trouble, Stopped) as fault:
        REASONS.keep(call, str(fault) or "It was stopped. Work the cells out again.")
        BOOKS.refused()
        return error_value(NO_VALUE)
    done = answer.get("done")
    if done is not None and "value" in done:
        REASONS.forget(call)
        return float(done["value"])
    reason = done["reason"] if done is not None else " ".join(one["message"] for one in answer["problems"])
    REASONS.keep(call, reason)
    return error_value(WRONG_ARGUMENT if done is not None else NO_VALUE)


def error_value(number: int) -> float:
    """An error as the office keeps it in a cell.

    >>> error_value(502), struct.pack(">d", error_value(502)).hex()
    (nan, '7ff80000000001f6')
    """
    found: float = struct.unpack("<d", struct.pack("<Q", 0x7FF8000000000000 | number))[0]
    return found


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
