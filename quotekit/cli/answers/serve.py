"""Reads requests and writes answers: quick ones at once and in order, actions one at a time in a thread."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterable
from queue import SimpleQueue
from typing import Any, BinaryIO

from quotekit.cli.answers.kinds import QUICK, answer_of
from quotekit.cli.answers.request import PROTOCOL, Refused, told
from quotekit.cli.report import heard_steps, stopped_problem
from quotekit.problems import Place, Problem, error

Line = dict[str, Any]


def serve(requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer until the requests end. An action that still runs then is let finish: it may be recording."""
    lines = _Lines(answers)
    lines.write({"hello": "quotekit", "version": version(), "protocol": PROTOCOL})
    waiting: SimpleQueue[Line | None] = SimpleQueue()
    worker = threading.Thread(target=_act, args=(waiting, lines))
    worker.start()
    try:
        for text in requests:
            request = _read(text)
            if request is None:
                lines.write({"id": None, **_problems([_unknown("This is no request.")])})
            elif request.get("do") in QUICK:
                lines.write(_answered(request))
            else:
                waiting.put(request)
    finally:
        waiting.put(None)
        worker.join()


def version() -> str:
    """The version of the installed package; empty where it runs from its folder."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("quotekit")
    except PackageNotFoundError:
        return ""


class _Lines:
    """The way back: whole lines, from both threads. Where nobody reads any more they are dropped."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream, self._one_at_a_time = stream, threading.Lock()

    def write(self, line: Line) -> None:
        data = json.dumps(line, ensure_ascii=False).encode("utf-8", "replace") + b"\n"
        try:
            with self._one_at_a_time:
                self._stream.write(data)
                self._stream.flush()
        except (BrokenPipeError, ValueError):
            return


def _act(waiting: SimpleQueue[Line | None], lines: _Lines) -> None:
    while (request := waiting.get()) is not None:
        number = request.get("id")
        with heard_steps(lambda label, number=number: lines.write({"id": number, "step": label})):  # type: ignore[misc]
            lines.write(_answered(request))


def _answered(request: Line) -> Line:
    """The last line of an answer; nothing is raised."""
    return {"id": request.get("id"), **_outcome(request)}


def _outcome(request: Line) -> Line:
    kind = request.get("do")
    answer = answer_of(kind) if isinstance(kind, str) else None
    if answer is None:
        return _problems([_unknown(f"{kind!r} is no kind of request that this version knows.")])
    try:
        return {"done": answer(request)}
    except Refused as refused:
        return _problems(refused.problems)
    except KeyError as missing:
        return _problems([_unknown(f"The request says no {missing}.")])
    except Exception as fault:  # a spreadsheet never sees a traceback, and the next request is answered
        return _problems([stopped_problem(fault)])


def _problems(problems: Iterable[Problem]) -> Line:
    return {"problems": told(problems)}


def _unknown(message: str) -> Problem:
    remedy = "The extension and the program may be of different versions: run `quotekit addin install` again."
    return error(Place(""), "unknown-request", message, remedy)


def _read(text: bytes) -> Line | None:
    try:
        request = json.loads(text)
    except ValueError:
        return None
    return request if isinstance(request, dict) else None
