"""What a person reads: problems with their cells, counts, the disk's complaints, slow steps."""

from __future__ import annotations

import errno
import json
import threading
import time

import pytest

from quotekit.cli import report
from quotekit.problems import Place, error, warning

PRICE = error(Place("book.xlsx", "Parts", "D14"), "x", "Pack cost is text.", "Type 12 as a number.", "$12")
OLD = warning(Place("book.xlsx", "Parts", "E14"), "y", "The price is 301 days old.", "Ask for today's price.")


def test_a_problem_is_three_lines() -> None:
    assert report.problem_text(PRICE) == (
        "book.xlsx:Parts!D14: Pack cost is text.\n    | $12\n    Type 12 as a number."
    )


def test_a_warning_says_that_it_is_one() -> None:
    assert report.problem_text(OLD).splitlines()[0] == "book.xlsx:Parts!E14: warning: The price is 301 days old."


def test_errors_come_first_and_the_count_last(capsys: pytest.CaptureFixture[str]) -> None:
    report.print_problems([OLD, PRICE, OLD])
    out, err = capsys.readouterr()
    assert out == ""
    assert [line for line in err.splitlines() if not line.startswith("    ")] == [
        "book.xlsx:Parts!D14: Pack cost is text.",
        "book.xlsx:Parts!E14: warning: The price is 301 days old.",
        "book.xlsx:Parts!E14: warning: The price is 301 days old.",
        "1 error, 2 warnings.",
    ]


def test_a_cells_text_stays_on_one_line() -> None:
    long = error(Place("b.xlsx"), "x", "m", "r", "first\nsecond " + "z" * 200)
    line = report.problem_text(long).splitlines()[1]
    assert line.startswith("    | first second zzz") and line.endswith("...") and len(line) < 130


@pytest.mark.parametrize(
    ("number", "expected"),
    [(errno.ENOSPC, "full"), (errno.EACCES, "--out"), (errno.EROFS, "read-only"), (errno.EIO, "disk")],
)
def test_each_complaint_of_the_disk_has_its_advice(number: int, expected: str) -> None:
    problem = report.stopped_problem(OSError(number, "said the disk", "a.xlsx"))
    assert problem.code == "disk"
    assert str(problem.place) == "a.xlsx"
    assert expected in problem.remedy


def test_a_wrapped_complaint_of_the_disk_is_found() -> None:
    """A library may put the disk's error in its own."""
    full = OSError(errno.ENOSPC, "No space left on device")
    assert report.disk_complaint(RuntimeError(full)) is full
    wrapped = ValueError("writing failed")
    wrapped.__cause__ = full
    assert report.disk_complaint(wrapped) is full
    assert report.disk_complaint(ValueError("something else")) is None


def test_any_other_exception_is_a_fault_of_quotekit() -> None:
    problem = report.stopped_problem(ZeroDivisionError("x"))
    assert problem.code == "quotekit-fault"
    assert "fault of quotekit" in problem.message and "ZeroDivisionError" in problem.message


def test_a_slow_step_is_shown_and_a_quick_one_is_not(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report, "SLOW_SECONDS", 0.01)
    with report.step("Reading book.xlsx"):
        time.sleep(0.1)
    monkeypatch.setattr(report, "SLOW_SECONDS", 60.0)
    with report.step("Pricing"):
        pass
    assert capsys.readouterr().err == "Reading book.xlsx ...\n"


@pytest.mark.parametrize(
    ("codes", "expected"),
    [((), 1), (("x", "y"), 1), (("x", "output-exists"), 3), (("output-open",), 3), (("no-libreoffice",), 3)],
)
def test_a_file_in_the_way_is_of_the_disk(codes: tuple[str, ...], expected: int) -> None:
    assert report.refusal_code(error(Place("a"), code, "Wrong.", "Mend it.") for code in codes) == expected


@pytest.mark.parametrize("as_json", [True, False])
def test_why_nothing_was_recorded(as_json: bool, capsys: pytest.CaptureFixture[str]) -> None:
    assert report.nothing_recorded("117", [PRICE], as_json=as_json) == 1
    said = capsys.readouterr()
    assert "Pack cost is text." in said.err and said.err.endswith("Nothing was recorded.\n")
    told = json.loads(said.out) if as_json else None
    assert (told and (told["job"], told["recorded"], len(told["problems"]))) == (("117", False, 1) if as_json else None)


def test_a_step_that_ends_just_as_it_is_shown_is_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """Else the sign of a slow step would turn for ever: loading what shows it takes a while itself."""
    told: list[str] = []

    class Status:
        def start(self) -> None:
            told.append("started")

        def stop(self) -> None:
            told.append("stopped")

    class SlowConsole:
        def __init__(self, **_: object) -> None:
            shown.set()
            time.sleep(0.2)

        def status(self, label: str) -> Status:
            return Status()

    shown = threading.Event()
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    monkeypatch.setattr("rich.console.Console", SlowConsole)
    monkeypatch.setattr(report, "SLOW_SECONDS", 0)
    with report.step("Writing the files"):
        assert shown.wait(30)
    assert told == ["started", "stopped"]
