"""Prices one job of a watched folder, and keeps the text file of its problems."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.settled_files import is_workbook_name
from quotekit.cli.watched_jobs import Priced
from quotekit.problems import Place, Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.model.quote import Quote

TOLD = " problems.txt"
HEADING = "What quotekit found in this job (written by `quotekit watch`; it goes when the job is clean)."


def price_watched(book: Path, job: Path, folder: Path, taken: Mapping[str, str] | None = None) -> Priced:
    """Read, price, write over the program's own earlier files. Nothing is raised: what goes wrong is a problem.

    `taken` says which other job of the folder wrote which file: what another wrote is not written over, and neither is
    what was issued.
    """
    from quotekit.cli.inputs import file_sha256, read_inputs
    from quotekit.cli.quote import price, write_quote
    from quotekit.cli.report import stopped_problem

    contents = file_sha256(job) or "", file_sha256(book) or ""
    try:
        quote, problems = price(read_inputs(book, job))
        if quote is None or has_errors(problems):
            return Priced(contents=contents, problems=tuple(problems))
        contents = quote.job.sha256, quote.book.sha256
        kept = _not_written(quote, contents, (book, job, folder), taken or {})
        if kept is not None:
            return kept
        names, found = write_quote(quote, problems, folder, inputs=(book, job), replace=True)
    except Exception as fault:  # one bad file must not end the watch over the others
        return Priced(contents=contents, problems=(stopped_problem(fault),))
    waits_for = tuple(problem.place.file for problem in found if problem.code == "output-open")
    files = tuple(_named(name, job) for name in names)
    found = [*problems, *found]
    return Priced(contents=contents, files=files, problems=tuple(found), waits_for=waits_for, lacks=_lacks(quote, job))


def _not_written(
    quote: Quote, contents: tuple[str, str], where: tuple[Path, Path, Path], taken: Mapping[str, str]
) -> Priced | None:
    """What a job comes to whose quote is another job's by its name, or was issued; None where it may be written."""
    from quotekit.cli.issued_version import issued_problem, issued_version
    from quotekit.cli.output_files import file_start

    book, job, folder = where
    start = file_start(quote.job.job_number, quote.job.version)
    name = _named(folder / f"{start} costing.xlsx", job)
    for file, other in taken.items():
        if file.casefold() == name.casefold():
            return Priced(contents=contents, problems=(_second_job(quote, other),), behind=other, wants=file)
    issued = issued_version(quote, book, folder)
    if issued is not None:
        known = contents[0] in issued.job_workbooks
        return Priced(contents=contents, problems=() if known else (issued_problem(quote, issued),))
    customer = folder / f"{start} quote.xlsx"
    if not _is_chosen(customer):
        return None
    return Priced(contents=contents, problems=(_chosen_problem(customer),), stands=_named(customer, job))


def _is_chosen(customer: Path) -> bool:
    """Whether an option or an extra is picked in a quote that is there: a person did, and it is no longer ours."""
    from datetime import date

    from quotekit.workbook.read_returned import read_returned

    if not customer.exists():
        return False
    choice, _ = read_returned(customer, date.min)
    return choice is not None and bool(choice.tier or choice.extras)


def _chosen_problem(customer: Path) -> Problem:
    message = "A choice was made in this quote, so it is not written over."
    remedy = "Record the choice or note it, then move this file away; or give the job a new Version."
    return error(Place(str(customer)), "choice-made", message, remedy)


def _lacks(quote: Quote, job: Path) -> tuple[str, ...]:
    """Photos of the findings that are not there yet: a telephone may send them later than the job was saved."""
    names = {finding.photo for finding in quote.job.findings if finding.photo}
    return tuple(sorted(name for name in names if Path(name).name == name and not (job.parent / name).exists()))


def _second_job(quote: Quote, other: str) -> Problem:
    """That two workbooks of the folder are the same version of one job."""
    job = quote.job
    message = f"{other} is version {job.version} of job {job.job_number} already, and its quote is not written over"
    remedy = "Give this one a Job number or Version of its own, or put one of the two away."
    return error(job.place_of("Job number"), "job-twice", message, remedy, job.job_number)


def _named(path: Path, job: Path) -> str:
    """How a file that is written is named: one beside the job by its name alone, so that both may be moved."""
    return path.name if path.parent == job.parent else str(path)


def problems_file(job: Path) -> Path:
    """Where the problems of a job are told; of one that is no .xlsx under its whole name: the other may lie beside."""
    return job.with_name(f"{job.stem if job.suffix.lower() == '.xlsx' else job.name}{TOLD}")


def told_before(folder: Path) -> list[str]:
    """Names of the workbooks whose problems an earlier run told, also of those that are gone since."""
    there = {problems_file(path).name: path.name for path in folder.iterdir() if is_workbook_name(path.name)}
    told = (path.name for path in folder.glob(f"*{TOLD}") if _is_ours(path))
    named = {name: there.get(name) or _named_after(name.removesuffix(TOLD)) for name in told}
    return [workbook for workbook in named.values() if not workbook.lower().endswith(".ods")]


def _named_after(told: str) -> str:
    return told if told.lower().endswith((".ods", ".xlsm")) else f"{told}.xlsx"


def tell_problems(job: Path, priced: Priced) -> bool:
    """Write the problems beside the job, or take the text file away; whether there are any.

    A file of that name that a person wrote stays as it is. Raises OSError.
    """
    from quotekit.cli.output_files import these_bytes, write_together

    path = problems_file(job)
    ours = _is_ours(path)
    if not priced.problems:
        if ours:
            path.unlink(missing_ok=True)
        return False
    if ours:
        write_together({path: these_bytes(_text(priced).encode(errors="backslashreplace"))})
    return True


def _is_ours(path: Path) -> bool:
    """Whether a text file is the program's own, or not there."""
    try:
        return path.read_text(encoding="utf-8", errors="replace").startswith(HEADING)
    except FileNotFoundError:
        return True


def _text(priced: Priced) -> str:
    from quotekit.cli.report import count_text, problem_text

    state = "It was priced all the same." if priced.files else "Nothing was written: an earlier quote is out of date."
    told = (problem_text(problem) for problem in _in_order(priced.problems))
    return "\n\n".join([f"{HEADING}\n{state} {count_text(priced.problems)}", *told]) + "\n"


def _in_order(problems: tuple[Problem, ...]) -> list[Problem]:
    """Errors first: they are what stops the quote."""
    return sorted(problems, key=lambda problem: problem.severity != "error")
