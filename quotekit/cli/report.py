"""How a command speaks to a person: problems with their cells, short messages, progress of a slow step.

All of it goes to stderr as plain text; results go to stdout.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

    from quotekit.cli.carry_out import Outcome
    from quotekit.problems import Problem

DONE, PROBLEMS, USAGE, DISK, STOPPED = 0, 1, 2, 3, 130

SLOW_SECONDS = 1.0

_OF_THE_DISK = ("output-exists", "output-open", "output-is-input", "no-libreoffice")
"""Problems of what is to be written, not of what was read."""


def say(text: str) -> None:
    """One line for the person at the screen."""
    print(text, file=sys.stderr, flush=True)


def print_problems(problems: Iterable[Problem]) -> None:
    """Every problem, errors first, with the cell's text and what to do, then how many there are."""
    listed = sorted(problems, key=lambda problem: problem.severity != "error")
    _tell_listener(listed)
    for problem in listed:
        say(problem_text(problem))
    if listed:
        say(count_text(listed))


def refusal_code(problems: Iterable[Problem]) -> int:
    """The exit code of a refusal: of the disk where a file stands in the way or a program is missing."""
    return DISK if any(problem.code in _OF_THE_DISK for problem in problems) else PROBLEMS


def refused_json(job: str | None, problems: Iterable[Problem]) -> dict[str, object]:
    """What a command that records answers where it recorded nothing."""
    from quotekit.documents.quote_json import problem_json

    return {"job": job, "recorded": False, "problems": [problem_json(problem) for problem in problems]}


def nothing_recorded(job: str | None, problems: Sequence[Problem], *, as_json: bool) -> int:
    """Say why nothing was recorded; the exit code."""
    print_problems(problems)
    say("Nothing was recorded.")
    if as_json:
        print_json(refused_json(job, problems))
    return refusal_code(problems)


def with_entry(told: dict[str, Any], outcome: Outcome, *, recorded: bool) -> dict[str, Any]:
    """What a command tells, with the entry that says it; null where there is none."""
    return told | {"recorded": recorded, "entry": outcome.entries[0].seq if outcome.entries else None}


def recorded_already(day: str, seq: int) -> str:
    """That the same was recorded before.

    >>> recorded_already("2026-11-28", 7)
    'It is recorded already, on 2026-11-28 (entry 7): nothing was added.'
    """
    return f"It is recorded already, on {day} (entry {seq}): nothing was added."


def problem_text(problem: Problem) -> str:
    """A problem as lines: `book.xlsx:Parts!D14: message`, the cell's text, what to do."""
    place = str(problem.place)
    message = problem.message if problem.severity == "error" else f"warning: {problem.message}"
    lines = [f"{place}: {message}" if place else message]
    if problem.text:
        lines.append(f"    | {_one_line(problem.text)}")
    if problem.remedy:
        lines.append(f"    {problem.remedy}")
    return "\n".join(lines)


def count_text(problems: Iterable[Problem]) -> str:
    """How many errors and warnings, in words.

    >>> count_text([])
    'No problems found.'
    """
    listed = list(problems)
    errors = sum(problem.severity == "error" for problem in listed)
    if not listed:
        return "No problems found."
    counts = [_counted(errors, "error"), _counted(len(listed) - errors, "warning")]
    return ", ".join(text for text in counts if text) + "."


def say_stopped(fault: Exception, *, as_json: bool, of_quote: bool = True) -> None:
    """A plain message for what went wrong outside the input: the disk, or a fault of quotekit itself.

    As JSON it is a quote without figures; of a command that gives no quote the problem alone.
    """
    problem = stopped_problem(fault)
    _tell_listener([problem])
    say(problem_text(problem))
    if as_json:
        from quotekit.documents.quote_json import problem_json

        print_json(_refusal([problem]) if of_quote else {"problems": [problem_json(problem)]})


def stopped_problem(fault: Exception) -> Problem:
    """The ledger's or the disk's complaint as a problem, or a fault of quotekit."""
    from quotekit.problems import Place, Problem, error

    known = getattr(fault, "problem", None)
    if isinstance(known, Problem):
        return known
    complaint = disk_complaint(fault)
    if isinstance(complaint, FileExistsError):
        place = Place(str(complaint.filename or ""))
        message = "It is there already, and nothing is ever written over it."
        return error(place, "output-exists", message, "Choose another folder.")
    if complaint is not None:
        file = str(complaint.filename or "")
        said = complaint.strerror or type(complaint).__name__
        return error(Place(file), "disk", f"The disk said: {said}.", disk_remedy(complaint))
    return error(
        Place(""),
        "quotekit-fault",
        f"This is a fault of quotekit, not of your workbooks ({type(fault).__name__}).",
        "No file was left half written. Set QUOTEKIT_DEBUG=1, run it again to see where, and please report it.",
    )


def disk_complaint(fault: BaseException | None) -> OSError | None:
    """The disk's own error, however a library has wrapped it."""
    seen: set[int] = set()
    while fault is not None and id(fault) not in seen:
        if isinstance(fault, OSError):
            return fault
        seen.add(id(fault))
        wrapped = next((value for value in fault.args if isinstance(value, OSError)), None)
        fault = wrapped or fault.__cause__ or fault.__context__
    return None


def disk_remedy(complaint: OSError) -> str:
    """What to do about a disk that refuses."""
    import errno

    remedies = {
        errno.ENOSPC: "The disk is full: free some space and run it again. Nothing was left half written.",
        errno.EDQUOT: "The quota of this disk is used up: free some space and run it again.",
        errno.EACCES: "You may not read or write there: change the permission, or choose another folder (--out).",
        errno.EPERM: "You may not read or write there: change the permission, or choose another folder (--out).",
        errno.EROFS: "The disk is read-only: choose a folder elsewhere (--out).",
        errno.ENOTDIR: "A file stands where a folder is wanted: choose another folder.",
        errno.ENAMETOOLONG: "The name is too long: shorten the job number or the folder.",
    }
    return remedies.get(complaint.errno or 0, "Check the folder and the disk, then run it again.")


def print_json(value: object, *, in_lines: bool = True) -> None:
    """One object on stdout and nothing else; a very large one on a single line."""
    import json

    print(json.dumps(value, indent=1 if in_lines else None))


_HEARS: ContextVar[Callable[[str], None] | None] = ContextVar("hears", default=None)


@contextmanager
def heard_steps(hears: Callable[[str], None]) -> Iterator[None]:
    """Within the block each step is told to `hears` at once, in place of a slow one's line on the screen."""
    token = _HEARS.set(hears)
    try:
        yield
    finally:
        _HEARS.reset(token)


def hears_steps() -> Callable[[str], None] | None:
    """Who hears of steps now; None where they are for the screen."""
    return _HEARS.get()


_GATHERS: ContextVar[list[Problem] | None] = ContextVar("gathers", default=None)


@contextmanager
def gathered_problems() -> Iterator[list[Problem]]:
    """Within the block each problem that is printed is also put into this list, with its cell."""
    found: list[Problem] = []
    token = _GATHERS.set(found)
    try:
        yield found
    finally:
        _GATHERS.reset(token)


def _tell_listener(problems: Iterable[Problem]) -> None:
    found = _GATHERS.get()
    if found is not None:
        found.extend(problems)


@contextmanager
def step(label: str) -> Iterator[None]:
    """Shows what is going on when a step takes longer than a second."""
    hears = _HEARS.get()
    if hears is not None:
        hears(label)
        yield
        return
    showing: list[object] = []
    timer = threading.Timer(SLOW_SECONDS, _show_step, (label, showing))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()  # one that is about to show something would show it for ever
        for status in showing:
            status.stop()  # type: ignore[attr-defined]


def _show_step(label: str, showing: list[object]) -> None:
    if not sys.stderr.isatty():
        say(f"{label} ...")
        return
    from rich.console import Console

    status = Console(stderr=True).status(f"{label} ...")
    status.start()
    showing.append(status)


def _refusal(problems: list[Problem]) -> object:
    from quotekit.documents.quote_json import lay_out_refusal_json

    return lay_out_refusal_json(problems)


def _one_line(text: str, longest: int = 120) -> str:
    line = " ".join(text.split())
    return line if len(line) <= longest else f"{line[: longest - 3]}..."


def _counted(number: int, noun: str) -> str:
    return "" if number == 0 else f"{number} {noun}{'' if number == 1 else 's'}"
