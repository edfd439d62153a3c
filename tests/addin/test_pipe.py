"""The engine behind an office, with a stand-in that dies, hangs, floods and lies: nobody waits beyond a limit."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from quotekit.addin.office import engine_process, pipe
from quotekit.addin.office.pipe import Engine, EngineFault, EngineStarting, Stopped
from quotekit.cli.answers.serve import version

FAKE = str(Path(__file__).with_name("fake_engine.py"))
Make = Callable[..., Engine]


@pytest.fixture
def make() -> Iterator[Make]:
    """An engine whose program is the stand-in; all are stopped at the end."""
    made = []

    def one(*how: str, command: list[str] | None = None) -> Engine:
        made.append(Engine(command or [sys.executable, "-S", FAKE, *how], "1", {"PATH": os.environ["PATH"]}))
        return made[-1]

    yield one
    for engine in made:
        engine.stop()


def same(engine: Engine, **words: object) -> dict:
    return engine.ask({"do": "same", **words}, 10)["done"]["same"]


def test_one_process_answers_all(make: Make) -> None:
    """It is started at the first question and stays."""
    engine = make()
    assert engine.starts == 0
    assert [same(engine, word=word)["word"] for word in ("a", "ä€", None, 2.5)] == ["a", "ä€", None, 2.5]
    assert engine.starts == 1


def test_steps_come_before_the_answer(make: Make) -> None:
    steps: list[str] = []
    make().ask({"do": "same", "steps": 3}, 10, steps.append)
    assert steps == ["step 0", "step 1", "step 2"]


def test_a_step_is_a_sign_of_life(make: Make) -> None:
    """An action may last longer than its limit as long as it shows that it goes on."""
    began = time.monotonic()
    assert "done" in make().ask({"do": "same", "steps": 5, "pause": 0.25}, 0.9)
    assert time.monotonic() - began > 1.2


def wait_until(what: Callable[[], bool]) -> None:
    end = time.monotonic() + 10
    while not what():
        assert time.monotonic() < end
        time.sleep(0.01)


def test_killed_while_idle_it_is_started_again(make: Make) -> None:
    """The person notices nothing: the process is found gone and another one asked."""
    engine = make()
    first = engine.ask({"do": "pid"}, 10)["done"]["pid"]
    os.kill(first, signal.SIGKILL)
    wait_until(lambda: not Path(f"/proc/{first}").exists())
    assert engine.ask({"do": "pid"}, 10)["done"]["pid"] != first
    assert engine.starts == 2


def test_killed_while_answering(make: Make) -> None:
    """Who waits is told its last words; the next question is answered."""
    engine = make()
    with pytest.raises(EngineFault, match=r"ended before it answered \(a belt broke\)\. Try again"):
        engine.ask({"do": "die"}, 10)
    assert same(engine, word="b")["word"] == "b"


def test_a_cell_is_asked_once_more_where_the_engine_died(make: Make, tmp_path: Path) -> None:
    """A cell changes nothing, so that asking again is safe; an action may have recorded, it is not repeated."""
    engine = make()
    assert "done" in engine.ask_quickly({"do": "once", "mark": str(tmp_path / "a")}, 10)
    assert engine.starts == 2
    with pytest.raises(EngineFault):
        engine.ask({"do": "once", "mark": str(tmp_path / "b")}, 10)


def test_a_cell_that_kills_it_does_not_start_it_thousands_of_times(make: Make) -> None:
    engine = make()
    began = time.monotonic()
    for _ in range(1000):
        with pytest.raises(EngineFault, match="a belt broke"):
            engine.ask_quickly({"do": "die"}, 10)
    assert engine.starts == 2
    assert time.monotonic() - began < 4


CANNOT_START = {
    "no such program": (["/no/such/program"], r"could not be started \(No such file.*Is quotekit still installed"),
    "no program at all": ([], "could not be started"),
    "a folder": (["/tmp"], r"could not be started \(Permission denied\)"),
    "another program": (["/bin/echo", "hello"], "/bin/echo does not answer as quotekit does. Run `quotekit addin"),
    "says nothing": (["/bin/true"], r"ended before it answered \(exit code 0\)"),
    "module is gone": ([sys.executable, "-S", FAKE, "ends"], r"\(no module named quotekit\)"),
    "rubbish": ([sys.executable, "-S", FAKE, "rubbish"], "does not answer as quotekit does"),
    "greets otherwise": ([sys.executable, "-S", FAKE, "other"], "does not answer as quotekit does"),
    "older": ([sys.executable, "-S", FAKE, "version", "0"], "extension is of quotekit 1, the program is 0. Run"),
    "newer": ([sys.executable, "-S", FAKE, "version", "2"], "extension is of quotekit 1, the program is 2. Run"),
}


@pytest.mark.parametrize("what", CANNOT_START)
def test_what_cannot_be_started_is_said_in_words(make: Make, what: str) -> None:
    """For an action, and for cells: the second of those is refused without another start."""
    command, said = CANNOT_START[what]
    engine = make()
    engine.command = command
    with pytest.raises(EngineFault, match=said):
        engine.ask({"do": "same"}, 10)
    with pytest.raises(EngineFault, match=said):
        engine.ask_quickly({"do": "same"}, 10)
    starts = engine.starts
    with pytest.raises(EngineFault, match=said):
        engine.ask_quickly({"do": "same"}, 10)
    assert engine.starts == starts


def test_the_program_is_told_the_version_of_the_extension(make: Make) -> None:
    assert make().ask({"do": "environment"}, 10)["done"]["QUOTEKIT_EXTENSION"] == "1"


def test_a_start_that_hangs_does_not_freeze_cells(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """All cells of a sheet together wait for a start once; then each is refused at once while it still starts."""
    monkeypatch.setattr(pipe, "CELL_START_SECONDS", 0.3)
    engine = make("hangs")
    began = time.monotonic()
    for _ in range(2000):
        with pytest.raises(EngineStarting, match="still starting"):
            engine.ask_quickly({"do": "same"}, 10)
    assert 0.3 <= time.monotonic() - began < 1.5
    assert engine.starts == 1


def test_a_start_that_hangs_is_given_up(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe, "START_SECONDS", 0.3)
    engine = make("hangs")
    with pytest.raises(EngineFault, match=r"had not started after 0\.3 seconds"):
        engine.ask({"do": "same"}, 10)
    assert engine.starts == 1


def test_cells_ask_again_when_a_slow_start_has_ended(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """`when_ready` is for the office to work the refused cells out."""
    monkeypatch.setattr(pipe, "CELL_START_SECONDS", 0.1)
    engine, ready = make("slow", "0.6"), threading.Event()
    engine.when_ready = ready.set
    with pytest.raises(EngineStarting):
        engine.ask_quickly({"do": "same"}, 10)
    assert ready.wait(10)
    assert "done" in engine.ask_quickly({"do": "same"}, 10)
    assert engine.starts == 1


def test_a_quick_start_calls_nobody(make: Make) -> None:
    engine, ready = make(), threading.Event()
    engine.when_ready = ready.set
    engine.ask_quickly({"do": "same"}, 10)
    assert not ready.wait(0.2)


def test_a_silent_engine_is_stopped_after_the_limit(make: Make) -> None:
    engine = make()
    with pytest.raises(EngineFault, match=r"did not answer within 0\.2 seconds and was stopped"):
        engine.ask({"do": "hang"}, 0.2)
    assert same(engine)["do"] == "same"
    assert engine.starts == 2


def test_a_silent_engine_costs_a_sheet_its_limit_once(make: Make) -> None:
    """5,000 cells: the first waits, the others are refused at once for a while."""
    engine = make()
    same(engine)
    began = time.monotonic()
    for _ in range(5000):
        with pytest.raises(EngineFault, match="did not answer"):
            engine.ask_quickly({"do": "hang"}, 0.3)
    assert time.monotonic() - began < 2


def test_after_its_rest_it_is_tried_again(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe, "REST_SECONDS", 0.2)
    engine = make()
    with pytest.raises(EngineFault):
        engine.ask_quickly({"do": "hang"}, 0.2)
    time.sleep(0.25)
    assert "done" in engine.ask_quickly({"do": "same"}, 10)


def in_thread(work: Callable[[], object]) -> tuple[threading.Thread, list[object]]:
    """Runs it; what it gave or raised will be in the list."""
    found: list[object] = []

    def run() -> None:
        try:
            found.append(work())
        except Exception as fault:
            found.append(fault)

    thread = threading.Thread(target=run)
    thread.start()
    return thread, found


def test_a_slow_cell_does_not_end_an_action(make: Make) -> None:
    """The action may be recording: only the cell is refused."""
    engine = make()
    same(engine)
    thread, found = in_thread(lambda: engine.ask({"do": "same", "steps": 4, "pause": 0.2, "word": "action"}, 10))
    time.sleep(0.1)
    with pytest.raises(EngineFault, match="it is busy"):
        engine.ask_quickly({"do": "same"}, 0.2)
    thread.join(10)
    assert found[0]["done"]["same"]["word"] == "action"  # type: ignore[index]
    assert engine.starts == 1


def test_stop_while_asking(make: Make) -> None:
    """The one who waits is let go at once; the next question starts another."""
    engine = make()
    same(engine)
    thread, found = in_thread(lambda: engine.ask({"do": "hang"}, 60))
    time.sleep(0.1)
    began = time.monotonic()
    engine.stop()
    thread.join(5)
    assert isinstance(found[0], Stopped)
    assert time.monotonic() - began < 1
    assert same(engine)["do"] == "same"


def test_stop_while_starting(make: Make) -> None:
    engine = make("hangs")
    thread, found = in_thread(lambda: engine.ask({"do": "same"}, 60))
    time.sleep(0.2)
    engine.stop()
    thread.join(5)
    assert isinstance(found[0], Stopped)


def test_stop_of_nothing(make: Make) -> None:
    engine = make()
    engine.stop()
    engine.stop()
    assert engine.starts == 0


def test_a_cell_survives_that_an_action_is_stopped(make: Make) -> None:
    """The stop ends the process under the cell too: it is asked again, of the next one."""
    engine = make()
    same(engine)
    thread, found = in_thread(lambda: engine.ask_quickly({"do": "same", "steps": 2, "pause": 0.3}, 10))
    time.sleep(0.1)
    engine.stop()
    thread.join(10)
    assert "done" in found[0]  # type: ignore[operator]
    assert engine.starts == 2


def test_many_threads_get_their_own_answers(make: Make) -> None:
    """Eight threads at once, one start, no answer given to another."""
    engine = make()

    def asks(name: int) -> bool:
        return all(same(engine, word=f"{name}-{turn}")["word"] == f"{name}-{turn}" for turn in range(100))

    running = [in_thread(lambda name=name: asks(name)) for name in range(8)]  # type: ignore[misc]
    for thread, _ in running:
        thread.join(30)
    assert [found for _, found in running] == [[True]] * 8
    assert engine.starts == 1


def test_five_thousand_quick_requests(make: Make) -> None:
    """One process; a sheet of cells must not wait for the pipe (1 s and 4 s on a busy machine)."""
    engine = make()
    same(engine)
    began = time.monotonic()
    for number in range(5000):
        assert engine.ask_quickly({"do": "same", "word": number}, 10)["done"]["same"]["word"] == number
    assert engine.starts == 1
    assert time.monotonic() - began < 30


def test_a_reply_of_twenty_megabytes(make: Make) -> None:
    answer = make().ask({"do": "large", "bytes": 20_000_000}, 30)
    assert len(answer["done"]["text"]) == 20_000_000


def test_a_request_larger_than_a_pipe_to_a_deaf_engine(make: Make) -> None:
    """Nobody reads, so the pipe is full: the one who asks waits for his limit, not for the pipe."""
    engine = make()
    same(engine)
    in_thread(lambda: engine.ask({"do": "hang"}, 60))
    time.sleep(0.1)
    began = time.monotonic()
    with pytest.raises(EngineFault, match=r"did not answer|busy"):
        engine.ask_quickly({"do": "same", "word": "x" * 5_000_000}, 0.3)
    assert time.monotonic() - began < 1.5


def test_an_answer_without_an_end(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is not kept until the memory is full."""
    monkeypatch.setattr(engine_process, "LONGEST", 1_000_000)
    engine = make()
    with pytest.raises(EngineFault, match="answered without an end"):
        engine.ask({"do": "endless"}, 10)
    assert same(engine)["do"] == "same"


@pytest.mark.parametrize("do", ["rubbish", "flood"])
def test_rubbish_and_floods_do_no_harm(make: Make, do: str) -> None:
    """Lines that are no answers are passed over; 2 MB on the standard error do not fill a pipe."""
    engine = make()
    assert engine.ask({"do": do}, 10)["done"]["same"]["do"] == do
    assert engine.starts == 1


def test_an_engine_that_no_longer_listens(make: Make) -> None:
    """It closed its input and lives on: it is stopped, and the next question answered."""
    engine = make()
    thread, _ = in_thread(lambda: engine.ask({"do": "deaf"}, 20))
    time.sleep(0.3)
    with pytest.raises(EngineFault, match=r"no longer takes questions|did not answer"):
        engine.ask({"do": "same"}, 3)
    thread.join(5)
    assert not thread.is_alive()
    assert same(engine)["do"] == "same"


def test_an_engine_that_no_longer_speaks(make: Make) -> None:
    """It closed its output and lives on: who waits is told soon, and another is started for the next at once."""
    engine = make()
    thread, found = in_thread(lambda: engine.ask({"do": "mute"}, 20))
    time.sleep(0.3)
    assert same(engine)["do"] == "same"
    thread.join(5)
    assert isinstance(found[0], EngineFault) and "ended before it answered" in found[0].message
    assert engine.starts == 2


def test_faults_do_not_grow(make: Make) -> None:
    """The same exception raised for each of 5,000 cells would hold 5,000 places of the program."""
    engine = make("ends")
    faults = []
    for _ in range(3):
        with pytest.raises(EngineFault) as caught:
            engine.ask_quickly({"do": "same"}, 10)
        faults.append(caught.value)
    assert len({id(fault) for fault in faults}) == 3


def open_files() -> int:
    return len(os.listdir("/proc/self/fd"))


def children() -> list[str]:
    """Processes started by this one, with their states; Z is one that nobody took leave of."""
    found = []
    for one in Path("/proc").iterdir():
        try:
            words = (one / "stat").read_text().rpartition(")")[2].split() if one.name.isdigit() else []
        except OSError:
            continue
        if words and words[1] == str(os.getpid()):
            found.append(words[0])
    return found


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="needs /proc")
def test_nothing_is_left_of_engines_that_ended(make: Make) -> None:
    """No process, not even a dead one, no open pipe, no thread, however they ended."""
    before, threads = open_files(), threading.active_count()
    running = len(children())
    engine = make()
    for turn in range(12):
        with pytest.raises((EngineFault, Stopped)):
            engine.ask({"do": ("die", "hang", "mute")[turn % 3]}, 0.1 if turn % 3 == 1 else 10)
    same(engine)
    engine.stop()
    wait_until(lambda: len(children()) == running and open_files() <= before and threading.active_count() <= threads)


def test_a_console_window_is_never_opened_on_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    """By imitation: there is no Windows here. The flag is passed, and without process groups the process is killed."""
    seen: list[dict] = []

    class Unseen(io.BytesIO):
        def fileno(self) -> int:
            raise OSError

    class Process:
        killed = False

        def __init__(self, command: list[str], **words: object) -> None:
            seen.append(words)
            self.command, self.pid = command, 1
            self.stdin, self.stdout, self.stderr = io.BytesIO(), io.BytesIO(), Unseen()

        def poll(self) -> int | None:
            return -9 if self.killed else None

        def wait(self, _: float | None = None) -> int:
            if not self.killed:
                raise engine_process.subprocess.TimeoutExpired("quotekit", 0)
            return -9

        def kill(self) -> None:
            self.killed = True

    monkeypatch.setattr(engine_process.subprocess, "CREATE_NO_WINDOW", 0x08000000, raising=False)
    monkeypatch.setattr(engine_process.subprocess, "Popen", Process)
    monkeypatch.delattr(engine_process.os, "killpg")
    process = engine_process.EngineProcess(["quotekit.exe", "answer"], {})
    wait_until(lambda: process._popen.killed)  # type: ignore[attr-defined]
    assert seen[0]["creationflags"] == 0x08000000
    assert not process.alive


ASKS = """
import os, sys, time
from quotekit.addin.office.environment import engine_environment
from quotekit.addin.office.pipe import Engine
engine = Engine([sys.executable, "-P", "-m", "quotekit", "answer"], sys.argv[1], engine_environment(os.environ))
print(engine.ask({"do": "dance"}, 20)["problems"][0]["code"], engine._start._process._popen.pid, flush=True)
time.sleep(600)
"""


def test_the_real_engine_ends_when_who_asks_is_killed() -> None:
    """An office that is killed takes leave of nobody: the end of its pipe is all that the engine hears."""
    root = str(Path(__file__).parents[2])
    command = [sys.executable, "-c", ASKS, version()]
    office = subprocess.Popen(command, stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": root})
    assert office.stdout is not None
    code, number = office.stdout.readline().split()
    assert code == b"unknown-request" and running(int(number))
    office.kill()
    office.communicate()
    wait_until(lambda: not running(int(number)))


def running(number: int) -> bool:
    """Whether a process runs; one that waits to be taken leave of does not."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False
