"""One workbook of the folder, from its bytes to its outcome. Same bytes, same book: same outcome, on any machine.

What counts as a job is decided by content, as `watch` does: a workbook with a sheet Job that is no shop book, quote or
costing. A workbook that can't be opened at all (locked by a password, damaged, empty) may be a job that somebody waits
for, so it is told as one, with what is wrong; a readable workbook of another kind is passed over.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence

from quotekit.batch.costing_figures import costing_figures
from quotekit.batch.outcome import Kind, Outcome
from quotekit.documents.quote_json import JsonObject, lay_out_quote_json, lay_out_refusal_json
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import Place, Problem, has_errors
from quotekit.record import record
from quotekit.workbook.all_problems import all_problems
from quotekit.workbook.compared_kind import kind_of_package
from quotekit.workbook.package import Package, held_package
from quotekit.workbook.photos_named import named_photos
from quotekit.workbook.read_job import read_job


@record
class BookRead:
    """The shop book of a run, read once, with its problems; None where the file is no shop book."""

    book: ShopBook | None
    problems: tuple[Problem, ...]
    sha256: str | None
    costings: bool = False
    """Whether costings beside the jobs are read, as the quotes that were given."""


def price_file(read: BookRead, file: str, data: bytes) -> Outcome:
    """What a workbook comes to."""
    package, problems = held_package(file, data)
    if package is None:
        return refused(read, file, problems, sha256=hashlib.sha256(data).hexdigest())
    kind, problems = kind_of_package(package)
    if kind == "job":
        return _price(read, package)
    if kind is None and any(problem.code != "not-comparable" for problem in problems):
        return refused(read, file, problems, sha256=package.sha256)
    figures = costing_figures(package) if kind == "costing" and read.costings else ""
    return Outcome(file=file, kind=_passed_over(kind), figures=figures)


def refused(read: BookRead, file: str, problems: Sequence[Problem], *, sha256: str | None) -> Outcome:
    """A job that can't be read: the object of `quote --json` with what is wrong, the shop book's problems first."""
    return Outcome(file=file, kind="job", line=json.dumps(_refusal(read, None, [*read.problems, *problems], sha256)))


def broken_off(file: str, problem: Problem) -> Outcome:
    """A job whose pricing broke off: the problem alone, as `quote --json` tells it."""
    return Outcome(file=file, kind="job", line=json.dumps(lay_out_refusal_json([problem])))


def _price(read: BookRead, package: Package) -> Outcome:
    job, found = read_job(package, read.book)
    problems = [*read.problems, *found]
    if read.book is None or job is None or has_errors(problems):
        line = _refusal(read, job, problems, package.sha256)
        return _told(package.file, job, line)
    quote = build_quote(read.book, job)
    problems = all_problems(problems, quote.problems, book=read.book.file, job=job.file)
    photos = named_photos(job) if quote.offered and not has_errors(problems) else ()
    return _told(package.file, job, lay_out_quote_json(quote, problems), tuple(photos))


def _told(file: str, job: Job | None, line: JsonObject, photos: tuple[tuple[str, Place], ...] = ()) -> Outcome:
    customer, machine = ("", "") if job is None else (job.customer, machine_of(job))
    return Outcome(file=file, kind="job", line=json.dumps(line), customer=customer, machine=machine, photos=photos)


def machine_of(job: Job) -> str:
    """The machine in a few words: make and model, else its class."""
    return " ".join(filter(None, (job.make, job.model))) or job.machine_class_name or job.machine_class


def _refusal(read: BookRead, job: Job | None, problems: Sequence[Problem], sha256: str | None) -> JsonObject:
    return lay_out_refusal_json(
        problems,
        book=read.book,
        job=job,
        book_sha256=read.sha256,
        job_sha256=sha256,
    )


def _passed_over(kind: str | None) -> Kind:
    match kind:
        case "shop book" | "quote" | "costing":
            return kind
        case _:
            return "other"
