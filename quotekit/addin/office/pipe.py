"""The engine, asked over a pipe: started on first use, shared by cells and menu, started again where it ended.

A line of JSON is a request; lines with its `id` answer it. No network port is opened. The process ends when its input
does, and so with the office, however that ends.

Cells are worked out in the office's main thread, and nothing on the screen moves meanwhile. So they wait little:
CELL_START_SECONDS for a start, which then goes on by itself, their own limit for an answer, and after a fault they are
refused at once for REST_SECONDS, so that a sheet of thousands waits once.
"""

from __future__ import annotations

import itertools
import queue
import threading
import time
from typing import TYPE_CHECKING, Callable, Mapping, Optional, Sequence

from .engine_process import EngineProcess, Line
from .trouble import INSTALL_AGAIN, TRY_AGAIN, EngineEnded, EngineFault, EngineStarting, Stopped, Trouble

if TYPE_CHECKING:
    from .engine_process import Answers

__all__ = ["Engine", "EngineFault", "EngineStarting", "Line", "Stopped", "Trouble"]

START_SECONDS = 30.0
"""How long the engine may take to greet: a cold disk on an old machine, with a virus scanner."""

CELL_START_SECONDS = 4.0
"""How long all cells together wait for a start; on a usual machine it takes half a second."""

REST_SECONDS = 5.0

OF_EXTENSION = "QUOTEKIT_EXTENSION"
"""By this variable the engine is told the version of the extension, and refuses one that it does not fit."""


class Engine:
    """The program behind the menu and the cell functions; may be asked from any thread."""

    def __init__(self, command: Sequence[str], version: str, environment: Mapping[str, str]) -> None:
        self.command, self.version = list(command), version
        self.environment = {**environment, OF_EXTENSION: version}
        self.starts = 0
        self.when_ready: Optional[Callable[[], None]] = None
        """Called, in another thread, when a start has ended well that cells did not wait for: let them ask again."""
        self._numbers = itertools.count(1)
        self._changing = threading.Lock()
        self._start: Optional[_Start] = None
        self._fault: Optional[Trouble] = None
        self._rests_until = 0.0

    def ask(self, words: Line, seconds: float, on_step: Optional[Callable[[str], None]] = None) -> Line:
        """The last line of the answer: it holds `done` or `problems`.

        Waits at most so many seconds without a sign of life; then the process is stopped. Raises EngineFault, and
        Stopped where `stop` was called meanwhile.
        """
        return self._asked(self._started().process(START_SECONDS + 1), words, seconds, on_step)

    def ask_quickly(self, words: Line, seconds: float) -> Line:
        """As `ask`, for a cell, whose question changes nothing: it is asked again where the engine ended meanwhile.

        While an action runs, an engine that is slow to answer a cell is left alone. Raises EngineFault.
        """
        if self._fault is not None and time.monotonic() < self._rests_until:
            raise self._fault.again()
        try:
            try:
                answer = self._answer_to_cell(words, seconds)
            except (EngineEnded, Stopped):
                answer = self._answer_to_cell(words, seconds)
        except EngineStarting:
            raise
        except (EngineFault, Stopped) as fault:
            known = fault if isinstance(fault, EngineFault) else EngineFault("quotekit was stopped.", TRY_AGAIN)
            self._fault, self._rests_until = known.again(), time.monotonic() + REST_SECONDS
            raise known from None
        self._fault = None
        return answer

    def stop(self) -> None:
        """End the process; whoever waits for an answer gets Stopped. The next question starts a new one."""
        with self._changing:
            start, self._start = self._start, None
        if start is not None:
            start.stop()

    def _answer_to_cell(self, words: Line, seconds: float) -> Line:
        start = self._started()
        return self._asked(start.process_for_cell(), words, seconds, None, spare=True)

    def _started(self) -> _Start:
        with self._changing:
            if self._start is None or self._start.over:
                self.starts += 1
                self._start = _Start(self)
            return self._start

    def _asked(
        self,
        process: EngineProcess,
        words: Line,
        seconds: float,
        on_step: Optional[Callable[[str], None]],
        *,
        spare: bool = False,
    ) -> Line:
        number = next(self._numbers)
        answers = process.expect(number)
        try:
            process.send({"id": number, **words})
            return _answer(answers, seconds, on_step)
        except queue.Empty:
            message = f"quotekit did not answer within {seconds:g} seconds"
            if spare and process.asked_by_others(number):
                raise EngineFault(f"{message}: it is busy.", "Work the cells out again when it is done.") from None
            process.end(EngineFault(f"{message} and was stopped.", TRY_AGAIN))
            raise EngineFault(f"{message} and was stopped.", TRY_AGAIN) from None
        finally:
            process.forget(number)


class _Start:
    """One start of the engine, in a thread of its own: whoever needs it waits as long as he likes."""

    def __init__(self, engine: Engine) -> None:
        self._engine, self._began = engine, time.monotonic()
        self._known = threading.Event()
        self._process: Optional[EngineProcess] = None
        self._why: Optional[BaseException] = None
        self._missed = self._stopped = False
        threading.Thread(target=self._begin, daemon=True).start()

    @property
    def over(self) -> bool:
        """Whether it failed, or what it started has ended."""
        return self._known.is_set() and (self._why is not None or self._process is None or not self._process.alive)

    def process(self, seconds: float) -> EngineProcess:
        """What was started. Raises why it was not."""
        if not self._known.wait(seconds):
            raise _silent()
        if isinstance(self._why, (Trouble, Stopped)):
            raise self._why.again()
        assert self._process is not None
        return self._process

    def process_for_cell(self) -> EngineProcess:
        """As `process`, without waiting long: all cells together wait CELL_START_SECONDS."""
        if not self._known.wait(max(0.0, self._began + CELL_START_SECONDS - time.monotonic())):
            self._missed = True
            message = "quotekit is still starting."
            raise EngineStarting(message, "Work the cells out again in a moment (Ctrl+Shift+F9).")
        return self.process(0)

    def stop(self) -> None:
        """End what was started, or will be."""
        self._stopped = True
        if self._process is not None:
            self._process.end(Stopped())

    def _begin(self) -> None:
        try:
            self._process = EngineProcess(self._engine.command, self._engine.environment)
            if self._stopped:
                self._process.end(Stopped())
            self._greet(self._process)
        except (Trouble, Stopped) as why:
            self._why = why
        except Exception as fault:  # nobody must wait for a thread that is gone
            self._why = EngineFault(f"quotekit could not be started ({fault}).", INSTALL_AGAIN)
        self._known.set()
        ready = self._engine.when_ready
        if self._missed and self._why is None and ready is not None:
            ready()

    def _greet(self, process: EngineProcess) -> None:
        try:
            hello = _answer(process.greeting, START_SECONDS, None)
        except queue.Empty:
            process.end(_silent())
            raise _silent() from None
        fault = self._not_fitting(process, hello)
        if fault is not None:
            process.end(fault)
            raise fault

    def _not_fitting(self, process: EngineProcess, hello: Line) -> Optional[EngineFault]:
        if hello.get("hello") != "quotekit":
            return EngineFault(f"The program {process.name} does not answer as quotekit does.", INSTALL_AGAIN)
        own, other = self._engine.version, hello.get("version")
        if other == own:
            return None
        return EngineFault(f"The extension is of quotekit {own or '?'}, the program is {other or '?'}.", INSTALL_AGAIN)


def _answer(answers: Answers, seconds: float, on_step: Optional[Callable[[str], None]]) -> Line:
    """Waits for the last line of an answer; raises queue.Empty where nothing comes for so long."""
    while True:
        line = answers.get(timeout=seconds)
        if isinstance(line, (Trouble, Stopped)):
            raise line.again()
        if "step" not in line:
            return line
        if on_step is not None:
            on_step(str(line["step"]))


def _silent() -> EngineFault:
    return EngineFault(f"quotekit had not started after {START_SECONDS:g} seconds and was stopped.", TRY_AGAIN)
