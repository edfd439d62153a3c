"""Reads requests and writes answers: quick ones at once and in order, actions one at a time in a thread."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterable
from queue import SimpleQueue
from typing import Any, BinaryIO

from quotekit.cli.answers.kinds import ONLY_READS, QUICK, answer_of
from quotekit.cli.answers.request import PROTOCOL, Refused, told
from quotekit.cli.answers.shapes import is_id, wrong_word
from quotekit.cli.report import heard_steps, stopped_problem
from quotekit.problems import Place, Problem, error

Line = dict[str, Any]

READS_SECONDS = 5.0
"""How long an action may still run after the office has ended, where it only reads."""

_GLANCE = 0.1


def serve(requests: BinaryIO, answers: BinaryIO, of_extension: str | None = None) -> None:
    """Answer until the requests end; an extension of another version is told so, and nothing else.

    An action that may be recording when the requests end is let finish, one that only reads gets a moment.
    """
    lines = _Lines(answers)
    lines.write({"hello": "quotekit", "version": version(), "protocol": PROTOCOL, **_unfit(of_extension)})
    if _unfit(of_extension):
        return
    actions = _Actions(lines)
    try:
        for text in requests:
            request = _read(text)
            if request is None:
                lines.write({"id": None, **_problems([_unknown("This is no request.")])})
            elif request.get("do") in tuple(QUICK):
                lines.write(_answered(request))
            else:
                actions.add(request)
    finally:
        actions.end()


def _unfit(of_extension: str | None) -> Line:
    """What an extension of another version is told; nothing where it fits, or does not say."""
    if of_extension in (None, version()):
        return {}
    message = f"The extension is of quotekit {of_extension or '?'}, the program is {version() or '?'}."
    remedy = "Run `quotekit addin install` again, then start the office anew."
    return _problems([error(Place(""), "extension-of-other-version", message, remedy)])


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
        except (OSError, ValueError):
            return


class _Actions:
    """Carries out actions one after the other, in a thread: functions of cells are answered meanwhile."""

    def __init__(self, lines: _Lines) -> None:
        self._lines, self._waiting = lines, SimpleQueue[Line | None]()
        self._recording: list[Line] = []
        self._worker = threading.Thread(target=self._act, daemon=True)
        self._worker.start()

    def add(self, request: Line) -> None:
        """Carry it out when those before it are done."""
        if request.get("do") not in tuple(ONLY_READS):
            self._recording.append(request)
        self._waiting.put(request)

    def end(self) -> None:
        """Nobody hears any more: what records is finished, what only reads has a moment."""
        self._waiting.put(None)
        self._worker.join(READS_SECONDS)
        while self._recording and self._worker.is_alive():
            self._worker.join(_GLANCE)

    def _act(self) -> None:
        while (request := self._waiting.get()) is not None:
            number = request.get("id")
            with heard_steps(lambda label, number=number: self._lines.write({"id": number, "step": label})):  # type: ignore[misc]
                self._lines.write(_answered(request))
            if request in self._recording:
                self._recording.remove(request)


def _answered(request: Line) -> Line:
    """The last line of an answer; nothing is raised."""
    return {"id": request.get("id"), **_outcome(request)}


def _outcome(request: Line) -> Line:
    kind = request.get("do")
    answer = answer_of(kind) if isinstance(kind, str) else None
    if answer is None:
        return _problems([_unknown(f"{str(kind)[:60]!r} is no kind of request that this version knows.")])
    word = wrong_word(str(kind), request)
    if word is not None:
        return _problems([_unknown(f"{word!r} of the request {kind!r} is nothing that this version knows.")])
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
    except (ValueError, RecursionError):
        return None
    return request if isinstance(request, dict) and is_id(request.get("id")) else None
