"""The engine process, asked over a pipe: started on first use, shared by cells and menu, started again where it ended.

A line of JSON is a request; lines with its `id` answer it. No network port is opened. The process ends when its input
does, and so with the office, however that ends.
"""

from __future__ import annotations

import itertools
import json
import os
import queue
import subprocess
import threading
import time
from collections import deque
from typing import Any, Callable, Deque, Dict, List, Mapping, Optional, Sequence

Line = Dict[str, Any]

START_SECONDS = 20.0
"""How long the engine may take to greet: a cold disk on an old machine, with a virus scanner."""

REST_SECONDS = 5.0
"""After a fault, how long cells are refused at once, so that a sheet of thousands does not wait for each."""


class EngineFault(Exception):
    """The engine is missing, ended, silent or of another version: what is wrong, and what to do."""

    def __init__(self, message: str, remedy: str) -> None:
        self.message, self.remedy = message, remedy
        super().__init__(f"{message} {remedy}".strip())


class Stopped(Exception):
    """The person stopped what was running."""


class Engine:
    """The program behind the menu and the cell functions."""

    def __init__(self, command: Sequence[str], version: str, environment: Mapping[str, str]) -> None:
        self.command, self.version, self.environment = list(command), version, dict(environment)
        self.starts = 0
        self._numbers = itertools.count(1)
        self._starting = threading.Lock()
        self._process: Optional[_Process] = None
        self._fault: Optional[EngineFault] = None
        self._rests_until = 0.0

    def ask(self, words: Line, seconds: float, on_step: Optional[Callable[[str], None]] = None) -> Line:
        """The last line of the answer: it holds `done` or `problems`.

        Waits at most so many seconds without a sign of life; then the process is stopped. Raises EngineFault, and
        Stopped where `stop` was called meanwhile.
        """
        number = next(self._numbers)
        process = self._running()
        answers = process.expect(number)
        try:
            process.send({"id": number, **words})
            return self._answer(process, answers, seconds, on_step)
        finally:
            process.forget(number)

    def ask_quickly(self, words: Line, seconds: float) -> Line:
        """As `ask`, for a cell: after a fault it is refused at once for a while."""
        if self._fault is not None and time.monotonic() < self._rests_until:
            raise self._fault
        try:
            answer = self.ask(words, seconds)
        except EngineFault as fault:
            self._fault, self._rests_until = fault, time.monotonic() + REST_SECONDS
            raise
        self._fault = None
        return answer

    def stop(self) -> None:
        """End the process; whoever waits for an answer gets Stopped. The next question starts a new one."""
        process, self._process = self._process, None
        if process is not None:
            process.end(Stopped())

    def _running(self) -> _Process:
        with self._starting:
            if self._process is None or not self._process.alive:
                self.starts += 1
                self._process = None
                self._process = _Process(self.command, self.environment)
                self._greeted(self._process)
            return self._process

    def _greeted(self, process: _Process) -> None:
        hello = self._answer(process, process.greeting, START_SECONDS, None)
        other = hello.get("version")
        if hello.get("hello") == "quotekit" and other == self.version:
            return
        self._process = None
        process.end(Stopped())
        if hello.get("hello") != "quotekit":
            raise EngineFault(f"{process.name} is not quotekit.", INSTALL_AGAIN)
        message = f"The extension is of quotekit {self.version or '?'}, the program is quotekit {other or '?'}."
        raise EngineFault(message, INSTALL_AGAIN)

    def _answer(
        self, process: _Process, answers: _Answers, seconds: float, on_step: Optional[Callable[[str], None]]
    ) -> Line:
        while True:
            try:
                line = answers.get(timeout=seconds)
            except queue.Empty:
                process.end(Stopped())
                message = f"quotekit did not answer within {seconds:g} seconds and was stopped."
                raise EngineFault(message, "Try again; it is started anew.") from None
            if isinstance(line, BaseException):
                raise line
            if "step" not in line:
                answer: Line = line
                return answer
            if on_step is not None:
                on_step(line["step"])


INSTALL_AGAIN = "Run `quotekit addin install` again, then start the office anew."

_Answers = Any
"""A queue of lines; an exception in it ends the waiting."""


class _Process:
    """One run of the engine. Two threads read it, so that it never waits for somebody to listen."""

    def __init__(self, command: List[str], environment: Mapping[str, str]) -> None:
        self.name = command[0] if command else "quotekit"
        self.greeting: _Answers = queue.Queue()
        self._waiting: Dict[int, _Answers] = {}
        self._said: Deque[str] = deque(maxlen=20)
        self._sending = threading.Lock()
        self._why: Optional[BaseException] = None
        try:
            self._popen = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env=dict(environment),
                cwd=os.path.expanduser("~") if os.path.isdir(os.path.expanduser("~")) else None,
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        except (OSError, IndexError) as fault:
            message = f"The program {self.name} could not be started ({getattr(fault, 'strerror', None) or fault})."
            raise EngineFault(message, f"Is quotekit still installed? {INSTALL_AGAIN}") from None
        listening = threading.Thread(target=self._listen, daemon=True)
        self._overhearing = threading.Thread(target=self._overhear, daemon=True)
        self._overhearing.start()
        listening.start()

    @property
    def alive(self) -> bool:
        """Whether it can be asked."""
        return self._why is None and self._popen.poll() is None

    def expect(self, number: int) -> _Answers:
        """Where answers of a request will be found."""
        answers: _Answers = queue.Queue()
        self._waiting[number] = answers
        if self._why is not None:
            answers.put(self._why)
        return answers

    def forget(self, number: int) -> None:
        """Nobody waits for this answer any more."""
        self._waiting.pop(number, None)

    def send(self, request: Line) -> None:
        """Pass a request on; a process that ended is told by the thread that listens."""
        data = json.dumps(request).encode("ascii") + b"\n"
        try:
            with self._sending:
                assert self._popen.stdin is not None
                self._popen.stdin.write(data)
                self._popen.stdin.flush()
        except (OSError, ValueError):
            pass

    def end(self, why: BaseException) -> None:
        """Stop it for a reason that whoever waits is told."""
        if self._why is None:
            self._why = why
        self._popen.kill()
        self._tell_all(self._why)

    def _tell_all(self, why: BaseException) -> None:
        for answers in [self.greeting, *list(self._waiting.values())]:
            answers.put(why)

    def _listen(self) -> None:
        assert self._popen.stdout is not None
        for text in self._popen.stdout:
            try:
                line = json.loads(text)
            except ValueError:
                line = {"hello": None}
            if "hello" in line:
                self.greeting.put(line)
            elif line.get("id") in self._waiting:
                self._waiting[line["id"]].put(line)
        code = self._popen.wait()
        self._overhearing.join(1)
        if self._why is None:
            said = self._said[-1].strip() if self._said else f"exit code {code}"
            self._why = EngineFault(f"quotekit ended before it answered ({said}).", "Try again; it is started anew.")
        self._tell_all(self._why)

    def _overhear(self) -> None:
        assert self._popen.stderr is not None
        for text in self._popen.stderr:
            self._said.append(text.decode("utf-8", "replace"))
