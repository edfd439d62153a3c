"""Prices one job of a watched folder, and keeps the text file of its problems."""

from __future__ import annotations

from pathlib import Path

from quotekit.cli.settled_files import is_workbook_name
from quotekit.cli.watched_jobs import Priced
from quotekit.problems import Problem, has_errors

HEADING = "What quotekit found in this job (written by `quotekit watch`; it goes when the job is clean)."


def price_watched(book: Path, job: Path, folder: Path) -> Priced:
    """Read, price, write over the program's own earlier files. Nothing is raised: what goes wrong is a problem."""
    from quotekit.cli.inputs import file_sha256, read_inputs
    from quotekit.cli.quote import price, write_quote
    from quotekit.cli.report import stopped_problem

    contents = file_sha256(job) or "", file_sha256(book) or ""
    try:
        quote, problems = price(read_inputs(book, job))
        if quote is None or has_errors(problems):
            return Priced(contents=contents, problems=tuple(problems))
        contents = quote.job.sha256, quote.book.sha256
        names, found = write_quote(quote, problems, folder, inputs=(book, job), replace=True)
    except Exception as fault:  # one bad file must not end the watch over the others
        return Priced(contents=contents, problems=(stopped_problem(fault),))
    waits_for = tuple(problem.place.file for problem in found if problem.code == "output-open")
    files = tuple(str(name) if name.parent != job.parent else name.name for name in names)
    return Priced(contents=contents, files=files, problems=(*problems, *found), waits_for=waits_for)


def problems_file(job: Path) -> Path:
    """Where the problems of a job are told; of one that is not read under its whole name: the other may lie beside."""
    return job.with_name(f"{job.stem if is_workbook_name(job.name) else job.name} problems.txt")


def tell_problems(job: Path, priced: Priced) -> bool:
    """Write the problems beside the job, or take the text file away; whether there are any.

    A file of that name that a person wrote stays as it is. Raises OSError.
    """
    from quotekit.cli.output_files import these_bytes, write_together

    path = problems_file(job)
    try:
        ours = path.read_text(encoding="utf-8", errors="replace").startswith(HEADING)
    except FileNotFoundError:
        ours = True
    if not priced.problems:
        if ours:
            path.unlink(missing_ok=True)
        return False
    if ours:
        write_together({path: these_bytes(_text(priced).encode())})
    return True


def _text(priced: Priced) -> str:
    from quotekit.cli.report import count_text, problem_text

    state = "It was priced all the same." if priced.files else "Nothing was written: an earlier quote is out of date."
    told = (problem_text(problem) for problem in _in_order(priced.problems))
    return "\n\n".join([f"{HEADING}\n{state} {count_text(priced.problems)}", *told]) + "\n"


def _in_order(problems: tuple[Problem, ...]) -> list[Problem]:
    """Errors first: they are what stops the quote."""
    return sorted(problems, key=lambda problem: problem.severity != "error")
