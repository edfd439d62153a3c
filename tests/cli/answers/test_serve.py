"""`quotekit answer` as a spreadsheet meets it: a real process, lines of JSON, and nothing else on the way back."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers import kinds, serve
from quotekit.cli.answers.request import Document, Refused, document
from quotekit.cli.main import main
from quotekit.cli.report import step
from tests.cli.small_shop import shop_book, write_book

COMMAND = [sys.executable, "-P", "-m", "quotekit", "answer"]
Line = dict[str, Any]


class Asked:
    """A running `quotekit answer`."""

    def __init__(self, **environment: str) -> None:
        self.process = subprocess.Popen(
            COMMAND, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=os.environ | environment
        )
        self.hello = self.line()

    def line(self) -> Line:
        assert self.process.stdout is not None
        return json.loads(self.process.stdout.readline())

    def send(self, data: bytes) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(data + b"\n")
        self.process.stdin.flush()

    def ask(self, **words: object) -> Line:
        self.send(json.dumps({"id": 5, **words}).encode())
        while "step" in (line := self.line()):
            assert line["id"] == 5
        return line


@pytest.fixture(scope="module")
def asked() -> Iterator[Asked]:
    one = Asked()
    yield one
    out, err = one.process.communicate(timeout=20)
    assert (out, one.process.returncode) == (b"", 0)
    assert b"Traceback" not in err


def test_it_greets_with_its_version(asked: Asked) -> None:
    assert asked.hello == {"hello": "quotekit", "version": serve.version(), "protocol": 1}


def test_a_shop_book_is_checked(asked: Asked, tmp_path: Path) -> None:
    """A whole request by way of the process: what the book says is said with the real one's name."""
    book = write_book(tmp_path / "book.xlsx", shop_book())
    told = asked.ask(do="check", document={"copy": str(book), "path": "/home/ann/book.xlsx"})
    assert told["id"] == 5 and isinstance(told["done"]["problems"], list)


@pytest.mark.parametrize(
    "data", [b"", b"rubbish", b"[1]", b"7", b"null", b"\xff\xfe", b"[" * 100_000, b'{"id": 1', b'"do"']
)
def test_what_is_no_request_is_refused_and_the_next_answered(asked: Asked, data: bytes) -> None:
    asked.send(data)
    told = asked.line()
    assert (told["id"], told["problems"][0]["code"]) == (None, "unknown-request")
    assert told["problems"][0]["message"] == "This is no request."


@pytest.mark.parametrize("do", ["dance", None, 7, ["check"], {"a": 1}, "answer_of"])
def test_a_kind_that_is_not_known(asked: Asked, do: object) -> None:
    """An extension that is newer may ask for what this version does not know."""
    told = asked.ask(do=do)
    assert told["problems"][0]["code"] == "unknown-request"
    assert "quotekit addin install" in told["problems"][0]["remedy"]


def test_a_request_without_its_words(asked: Asked) -> None:
    told = asked.ask(do="check")
    assert told["problems"][0]["message"] == "The request says no 'document'."


def test_a_file_that_is_gone(asked: Asked, tmp_path: Path) -> None:
    """A problem, never a traceback."""
    told = asked.ask(do="check", document={"copy": str(tmp_path / "gone.xlsx"), "path": None})
    problems = told.get("problems") or told["done"]["problems"]
    assert problems and "Traceback" not in json.dumps(told)


@pytest.mark.parametrize(("of_extension", "fits"), [("0.0.1", False), ("99.0", False), ("", False), (None, True)])
def test_an_extension_of_another_version_is_told_so(of_extension: str | None, fits: bool) -> None:
    """By an older one, that would take it for fitting, and a newer one too: nothing is done for it."""
    answers = io.BytesIO()
    serve.serve(io.BytesIO(b'{"id": 1, "do": "function"}\n'), answers, of_extension)
    hello, *more = [json.loads(line) for line in answers.getvalue().splitlines()]
    assert hello["hello"] == "quotekit"
    if fits:
        assert "problems" not in hello and len(more) == 1
    else:
        assert more == [] and hello["problems"][0]["code"] == "extension-of-other-version"
        assert hello["problems"][0]["message"].startswith(f"The extension is of quotekit {of_extension or '?'}, the")


def test_the_version_comes_by_a_variable() -> None:
    """As the extension passes it."""
    fits, other = Asked(QUOTEKIT_EXTENSION=serve.version()), Asked(QUOTEKIT_EXTENSION="0.0.1")
    assert "problems" not in fits.hello and "problems" in other.hello
    assert other.process.wait(20) == 0
    fits.process.communicate(timeout=20)


class Slow:
    """An action that is held until it is let go; it tells a step first."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *, reads: bool) -> None:
        self.begun, self.go, self.ended = threading.Event(), threading.Event(), threading.Event()
        monkeypatch.setattr(serve, "answer_of", lambda kind: self.answer if kind == "slow" else (lambda _: {}))
        monkeypatch.setattr(serve, "ONLY_READS", {"slow"} if reads else set())

    def answer(self, _: object) -> dict[str, Any]:
        with step("Working"):
            self.begun.set()
            self.go.wait(20)
        self.ended.set()
        return {"slow": True}


class Pipe(io.RawIOBase):
    """Requests that come when the test lets them."""

    def __init__(self) -> None:
        reading, self.writing = os.pipe()
        self.stream = os.fdopen(reading, "rb")

    def put(self, **words: object) -> None:
        os.write(self.writing, json.dumps(words).encode() + b"\n")

    def end(self) -> None:
        os.close(self.writing)


def served(pipe: Pipe) -> tuple[threading.Thread, io.BytesIO]:
    answers = io.BytesIO()
    thread = threading.Thread(target=serve.serve, args=(pipe.stream, answers))
    thread.start()
    return thread, answers


def lines(answers: io.BytesIO) -> list[Line]:
    return [json.loads(line) for line in answers.getvalue().splitlines()]


def test_cells_are_answered_while_an_action_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    slow, pipe = Slow(monkeypatch, reads=True), Pipe()
    thread, answers = served(pipe)
    pipe.put(id=1, do="slow")
    assert slow.begun.wait(10)
    pipe.put(id=2, do="function")
    end = time.monotonic() + 10
    while {"id": 2, "done": {}} not in lines(answers):
        assert time.monotonic() < end
        time.sleep(0.01)
    slow.go.set()
    assert slow.ended.wait(10)
    pipe.end()
    thread.join(10)
    assert [line.get("step") or line["done"] for line in lines(answers) if line.get("id") == 1] == [
        "Working",
        {"slow": True},
    ]


@pytest.mark.parametrize("reads", [True, False])
def test_when_the_office_ends(monkeypatch: pytest.MonkeyPatch, reads: bool) -> None:
    """What may be recording is let finish, also what was asked for and has not begun; what only reads is left."""
    monkeypatch.setattr(serve, "READS_SECONDS", 0.3)
    slow, pipe = Slow(monkeypatch, reads=reads), Pipe()
    thread, answers = served(pipe)
    pipe.put(id=1, do="slow")
    pipe.put(id=2, do="slow")
    assert slow.begun.wait(10)
    pipe.end()
    thread.join(1.0)
    assert thread.is_alive() is not reads
    slow.go.set()
    thread.join(10)
    assert not thread.is_alive()
    if not reads:
        assert [line["id"] for line in lines(answers) if "done" in line] == [1, 2]


def test_requests_from_a_file_are_all_answered(tmp_path: Path) -> None:
    """The end of the requests comes before the answers: those that only read have time enough."""
    asked = "".join(f'{{"id": {number}, "do": "check", "document": {{"copy": "/no.xlsx"}}}}\n' for number in range(3))
    done = subprocess.run(COMMAND, input=asked.encode(), capture_output=True, check=True, timeout=30)
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert [line["id"] for line in told if "done" in line or "problems" in line] == [0, 1, 2]


@pytest.mark.parametrize(
    ("raised", "code"),
    [
        (Refused([]), None),
        (PermissionError(13, "Permission denied", "/x"), "disk"),
        (ZeroDivisionError("x"), "quotekit-fault"),
        (RecursionError(), "quotekit-fault"),
    ],
)
def test_whatever_goes_wrong_is_a_problem(monkeypatch: pytest.MonkeyPatch, raised: Exception, code: str | None) -> None:
    def answer(_: object) -> dict[str, Any]:
        raise raised

    monkeypatch.setattr(serve, "answer_of", lambda _: answer)
    answers = io.BytesIO()
    serve.serve(io.BytesIO(b'{"id": 1, "do": "function"}\n'), answers)
    told = lines(answers)[1]
    assert [problem["code"] for problem in told["problems"]] == ([code] if code else [])


def test_nobody_who_reads_any_more_is_no_fault() -> None:
    """The office was killed: the pipe is broken, the process ends by itself."""

    class Broken(io.BytesIO):
        def flush(self) -> None:
            raise BrokenPipeError

    serve.serve(io.BytesIO(b'{"id": 1, "do": "dance"}\n'), Broken())


def test_every_kind_has_its_module() -> None:
    for kind in kinds.QUICK | kinds.ACTIONS:
        assert callable(kinds.answer_of(kind)), kind
    assert set(kinds.ACTIONS) >= kinds.ONLY_READS
    assert not set(kinds.ACTIONS) & set(kinds.QUICK)


def test_started_by_hand_it_says_what_it_is_for(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", type("Terminal", (), {"isatty": lambda _: True})())
    assert main(["answer"]) == 2
    assert "started by a spreadsheet, not by hand" in capsys.readouterr().err


def test_a_workbook_that_was_never_saved_has_no_folder() -> None:
    """What is written would have nowhere to go."""
    saved = document({"document": {"copy": "/tmp/a.xlsx", "path": "/home/ann/a.ods"}}, "document")
    assert saved == Document(copy=Path("/tmp/a.xlsx"), path=Path("/home/ann/a.ods"))
    assert saved.folder == Path("/home/ann")
    with pytest.raises(Refused) as caught:
        _ = document({"document": {"copy": "/tmp/Untitled 1.xlsx", "path": None}}, "document").folder
    assert [problem.code for problem in caught.value.problems] == ["never-saved"]
