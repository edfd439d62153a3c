"""One run of the engine: a process, and three threads that see to it that nobody ever waits for a pipe.

One thread writes, one reads answers, one reads what it says on the side. A pipe that is full, a flood of words or a
line without an end holds up none of those who ask: they wait on a queue, for as long as they like.
"""

from __future__ import annotations

import json
import os
import queue
import signal
import subprocess
import threading
from collections import deque
from contextlib import suppress
from typing import IO, TYPE_CHECKING, Any, Deque, Dict, List, Mapping, Optional, Sequence, Union

from .trouble import INSTALL_AGAIN, TRY_AGAIN, EngineEnded, EngineFault, Stopped

Line = Dict[str, Any]
Why = Union[EngineFault, Stopped]

LONGEST = 200_000_000
"""Bytes of a line; an answer of some megabytes is usual for a picture of a large workbook, this is no answer."""

_PIECE = 4096

if TYPE_CHECKING:
    Answers = queue.Queue[Union[Line, Why]]
    """What comes for one request; an exception in it ends the waiting."""


class EngineProcess:
    """One run of the engine. Raises EngineFault where it can't be started."""

    def __init__(self, command: Sequence[str], environment: Mapping[str, str]) -> None:
        self.name = command[0] if command else "quotekit"
        self.greeting: Answers = queue.Queue()
        self._greeted = self._silent = False
        self._requests: queue.Queue[Optional[bytes]] = queue.Queue()
        self._waiting: Dict[int, Answers] = {}
        self._said: Deque[bytes] = deque(maxlen=4)
        self._ending = threading.Lock()
        self._why: Optional[Why] = None
        self._popen = self._started(list(command), dict(environment))
        self._overhearing = self._thread(self._overhear)
        self._thread(self._listen)
        self._thread(self._talk)

    @property
    def alive(self) -> bool:
        """Whether it can be asked."""
        return self._why is None and not self._silent and self._popen.poll() is None

    def expect(self, number: int) -> Answers:
        """Where answers of a request will be found."""
        answers: Answers = queue.Queue()
        self._waiting[number] = answers
        if self._why is not None:
            answers.put(self._why)
        return answers

    def forget(self, number: int) -> None:
        """Nobody waits for this answer any more."""
        self._waiting.pop(number, None)

    def asked_by_others(self, number: int) -> bool:
        """Whether somebody waits for another answer."""
        return any(other != number for other in list(self._waiting))

    def send(self, request: Line) -> None:
        """Pass a request on; returns at once, also where nobody reads."""
        self._requests.put(json.dumps(request).encode("ascii") + b"\n")

    def end(self, why: Why) -> None:
        """Stop it for a reason that whoever waits is told; what was the first reason stays it."""
        with self._ending:
            self._why = self._why or why
        _kill(self._popen)
        self._requests.put(None)
        for answers in [self.greeting, *list(self._waiting.values())]:
            answers.put(self._why)

    def _started(self, command: List[str], environment: Dict[str, str]) -> subprocess.Popen[bytes]:
        home = os.path.expanduser("~")
        try:
            return subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env=environment,
                cwd=home if os.path.isdir(home) else None,
                start_new_session=True,  # Ctrl-C in the terminal that started the office is not meant for it
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except (OSError, ValueError, IndexError) as fault:
            message = f"The program {self.name} could not be started ({getattr(fault, 'strerror', None) or fault})."
            raise EngineFault(message, f"Is quotekit still installed? {INSTALL_AGAIN}") from None

    def _thread(self, work: Any) -> threading.Thread:
        thread = threading.Thread(target=work, daemon=True)
        thread.start()
        return thread

    def _talk(self) -> None:
        stream = _stream(self._popen.stdin)
        while True:
            data = self._requests.get()
            if data is None:
                break
            try:
                stream.write(data)
                stream.flush()
            except (OSError, ValueError):
                break
        _close(stream)
        if self._why is None and not _ends_soon(self._popen):
            self.end(EngineEnded("quotekit no longer takes questions and was stopped.", TRY_AGAIN))

    def _listen(self) -> None:
        stream = _stream(self._popen.stdout)
        while True:
            try:
                text = stream.readline(LONGEST)
            except (OSError, ValueError, MemoryError):
                break
            if not text:
                break
            if not text.endswith(b"\n") and len(text) >= LONGEST:
                self.end(EngineFault("quotekit answered without an end and was stopped.", TRY_AGAIN))
                break
            self._hear(text)
        self._silent = True  # known before the system says that it has ended
        _close(stream)
        if not _ends_soon(self._popen):
            _kill(self._popen)
        code = self._popen.wait()
        self._overhearing.join(1)
        message = f"quotekit ended before it answered ({self._last_words() or f'exit code {code}'})."
        self.end(EngineEnded(message, TRY_AGAIN))

    def _hear(self, text: bytes) -> None:
        """Pass a line on to who waits for it; what is no answer is dropped, before the greeting it is no quotekit."""
        try:
            line = json.loads(text)
        except (ValueError, RecursionError):
            line = None
        if not self._greeted:
            self._greeted = True
            self.greeting.put(line if isinstance(line, dict) else {})
            return
        number = line.get("id") if isinstance(line, dict) else None
        answers = self._waiting.get(number) if isinstance(number, int) else None
        if answers is not None:
            answers.put(line)

    def _overhear(self) -> None:
        stream = _stream(self._popen.stderr)
        while True:
            try:
                piece = os.read(stream.fileno(), _PIECE)
            except (OSError, ValueError):
                break
            if not piece:
                break
            self._said.append(piece)
        _close(stream)

    def _last_words(self) -> str:
        lines = b"".join(list(self._said)).decode("utf-8", "replace").split("\n")
        return next((line.strip() for line in reversed(lines) if line.strip()), "")[-200:]


def _stream(stream: Optional[IO[bytes]]) -> IO[bytes]:
    assert stream is not None
    return stream


def _close(stream: IO[bytes]) -> None:
    with suppress(OSError, ValueError):
        stream.close()


def _ends_soon(process: subprocess.Popen[bytes]) -> bool:
    try:
        process.wait(1)
    except subprocess.TimeoutExpired:
        return False
    return True


def _kill(process: subprocess.Popen[bytes]) -> None:
    """Stop it, with what it started in its group; on Windows itself alone."""
    if process.poll() is not None:
        return
    try:
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    except OSError:
        pass
