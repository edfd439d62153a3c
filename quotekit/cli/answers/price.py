"""Request `price`: the quote and the costing of the open job, written beside it as `quotekit quote` writes them.

What was priced is kept for a while under a token, so that a yes to writing over an earlier quote, or a PDF asked for
afterwards, writes that very quote: it is not read and priced a second time, and no later change slips in between.
"""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.request import Document, Refused, Words, document, told
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.problems import Problem

_MOST_KEPT = 6
_IN_THE_WAY = frozenset({"output-exists", "output-open"})
_kept: dict[int, Priced] = {}
_tokens = itertools.count(1)


@record
class Priced:
    """A quote that was worked out, and where it belongs."""

    quote: Quote
    problems: tuple[Problem, ...]
    book: Path
    job: Path


def answer(words: Words) -> dict[str, Any]:
    """`{"document", "book"}` prices and writes; `{"token", "replace", "pdf", "page"}` goes on with what was priced.

    Gives what was written, the options with their totals, and the warnings; or `in_the_way`, the files that are there
    already or stand open. Raises Refused.
    """
    token = words["token"] if words.get("token") is not None else _price(words)
    priced = _kept.get(token)
    if priced is None:
        return {"token": None, "in_the_way": []}
    if words.get("pdf") or words.get("page"):
        _refuse_issued(priced)
        return {"token": token, **_write_more(priced, words)}
    return {"token": token, **_write(priced, replace=bool(words.get("replace")))}


def _price(words: Words) -> int:
    """Read both workbooks as they stand on the screen and price the job. Raises Refused."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.quote import price
    from quotekit.problems import has_errors

    job, book = document(words, "document"), document(words, "book")
    path, book_path = job.folder / _name(job), book.folder / _name(book)
    with as_named(job) as job_copy, as_named(book) as book_copy:
        quote, problems = price(read_inputs(book_copy, job_copy))
    if quote is None or has_errors(problems):
        raise Refused(problems)
    token = next(_tokens)
    _kept[token] = Priced(quote=quote, problems=tuple(problems), book=book_path, job=path)
    for old in list(_kept)[:-_MOST_KEPT]:
        del _kept[old]
    return token


def _name(one: Document) -> str:
    return (one.path or one.copy).name


@contextmanager
def as_named(one: Document) -> Iterator[Path]:
    """The copy under the real workbook's full name: problems, links and the costing name what a person knows."""
    if one.path is None or one.copy.name == one.path.name:
        yield one.copy
        return
    from tempfile import TemporaryDirectory

    with TemporaryDirectory(prefix="quotekit-") as folder:
        yield Path(shutil.copyfile(one.copy, Path(folder) / one.path.name))


def _write(priced: Priced, *, replace: bool) -> dict[str, Any]:
    from quotekit.cli.quote import write_quote
    from quotekit.problems import has_errors

    quote, inputs = priced.quote, (priced.book, priced.job)
    if replace:
        _refuse_issued(priced)
    names, found = write_quote(quote, list(priced.problems), priced.job.parent, inputs=inputs, replace=replace)
    if has_errors(found):
        if not _can_be_cleared(found):
            raise Refused([*priced.problems, *found])
        _refuse_issued(priced)
        return {"in_the_way": [_obstacle(problem) for problem in found]}
    return {"in_the_way": [], **_outcome(quote, names), "warnings": told([*priced.problems, *found])}


def _outcome(quote: Quote, names: list[Path]) -> dict[str, Any]:
    *for_customer, costing = map(str, names)
    return {
        "job": quote.job.job_number,
        "version": quote.job.version,
        "quote": for_customer[0] if for_customer else None,
        "costing": costing,
        "tiers": [_tier(tier, quote) for tier in quote.tiers],
    }


def _tier(tier: PricedTier, quote: Quote) -> dict[str, Any]:
    from quotekit.documents.money_text import money_text

    total = money_text(tier.total, quote.currency, quote.book.settings.language) if tier.offered else ""
    return {"code": tier.code, "name": tier.name, "offered": tier.offered, "total": total, "reason": tier.reason}


def _can_be_cleared(found: list[Problem]) -> bool:
    """Whether a yes, or closing a window, is all it takes."""
    return all(problem.code in _IN_THE_WAY and not Path(problem.place.file).is_dir() for problem in found)


def _obstacle(problem: Problem) -> dict[str, str]:
    return {"path": problem.place.file, "code": problem.code, "message": problem.message, "remedy": problem.remedy}


def _refuse_issued(priced: Priced) -> None:
    """A quote that was issued is what the customer has: it is not written over. Raises Refused, LedgerFault."""
    from quotekit.cli.issued_version import issued_problem, issued_version

    issued = issued_version(priced.quote, priced.book, priced.job.parent)
    if issued is not None:
        raise Refused([issued_problem(priced.quote, issued)])


def _write_more(priced: Priced, asked: Mapping[str, Any]) -> dict[str, Any]:
    """The same quote as a PDF or a page, beside the workbook that is written already. Raises Refused."""
    from functools import partial

    from quotekit.cli.output_files import check_targets, file_start, write_together
    from quotekit.cli.quote import no_office_for, photos_of, writer_for_customer
    from quotekit.cli.report import step
    from quotekit.workbook.cannot_write import NoPdf

    quote, folder = priced.quote, priced.job.parent
    start = file_start(quote.job.job_number, quote.job.version)
    kinds = [kind for kind, name in ((".pdf", "pdf"), (".html", "page")) if asked.get(name)]
    targets = [folder / f"{start} quote{kind}" for kind in kinds]
    in_the_way = check_targets(targets, (priced.book, priced.job), replace=bool(asked.get("replace")))
    if in_the_way and _can_be_cleared(in_the_way):
        return {"in_the_way": [_obstacle(problem) for problem in in_the_way]}
    if in_the_way or no_office_for(targets):
        raise Refused(in_the_way or no_office_for(targets))
    photos, _ = photos_of(quote, priced.job)
    try:
        with step("Writing the files"):
            write_together({target: partial(writer_for_customer(target), quote, photos=photos) for target in targets})
    except NoPdf as fault:
        raise Refused([fault.problem]) from None
    return {"in_the_way": [], "files": [str(target) for target in targets]}
