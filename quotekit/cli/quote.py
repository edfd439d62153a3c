"""`quotekit quote BOOK JOB`: the customer's quote and the shop's costing."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say, step

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from quotekit.cli.inputs import Inputs
    from quotekit.cli.output_files import WriteTo
    from quotekit.documents.sheet import Picture
    from quotekit.model.quote import Quote
    from quotekit.problems import Problem

TOO_LARGE = "figure-too-large"

EXAMPLE = """\
example:
  quotekit quote "shop book.xlsx" "job 117.xlsx"

writes, beside the job, `117-1 quote.xlsx` for the customer and `117-1 costing.xlsx` for the shop
(job number and version), and prints their names. With --json one object goes to stdout instead.
With --pdf it also writes `117-1 quote.pdf`: the customer's quote as it prints. LibreOffice makes it, without a window;
where that is not installed or fails, nothing at all is written.
With --page it also writes `117-1 quote.html`, to open in any browser: figures follow the customer's choice there.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "quote",
        help="the customer's quote and the shop's costing of a job",
        description="Price a job from a shop book: up to three options for the customer, and the shop's costing.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, help="the job workbook")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the job)")
    parser.add_argument("--json", action="store_true", help="print the whole quote, with costs, as one JSON object")
    parser.add_argument("--pdf", action="store_true", help="also write the customer's quote as a PDF (LibreOffice)")
    parser.add_argument("--page", action="store_true", help="also write the customer's quote as one page of HTML")
    parser.add_argument("--replace", action="store_true", help="write over an earlier quote of this job and version")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, price, write, say where."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book, options.job)
    quote, problems = price(inputs)
    if quote is None or has_errors(problems):
        return _refuse(options, inputs, quote, problems, PROBLEMS)
    folder = options.out if options.out is not None else options.job.parent
    names, in_the_way = write_quote(
        quote,
        problems,
        folder,
        inputs=(options.book, options.job),
        replace=options.replace,
        page=options.page,
        pdf=options.pdf,
        keep_issued=options.replace,
    )
    if has_errors(in_the_way):
        code = PROBLEMS if any(problem.code == TOO_LARGE for problem in in_the_way) else DISK
        return _refuse(options, inputs, quote, [*problems, *in_the_way], code)
    _tell(options, quote, [*problems, *in_the_way], names)
    return DONE


def price(inputs: Inputs) -> tuple[Quote | None, list[Problem]]:
    """The quote, and all problems of the workbooks and the engine together; None where the workbooks stop it."""
    from quotekit.cli.inputs import with_engine_problems
    from quotekit.problems import has_errors

    if has_errors(inputs.problems) or inputs.book is None or inputs.job is None:
        return None, list(inputs.problems)
    from quotekit.pricing import build_quote

    with step("Pricing the job"):
        quote = build_quote(inputs.book, inputs.job)
    return quote, with_engine_problems(inputs, quote.problems)


def write_quote(
    quote: Quote,
    problems: list[Problem],
    folder: Path,
    *,
    inputs: tuple[Path, Path],
    replace: bool,
    page: bool = False,
    pdf: bool = False,
    keep_issued: bool = False,
) -> tuple[list[Path], list[Problem]]:
    """Write what can be handed over; problems of the disk come back, errors when nothing was written.

    `keep_issued`: what was issued is kept as a copy where it is written over.
    """
    from quotekit.workbook.cannot_write import CannotWrite, NoPdf

    writers, found = documents_of_quote(quote, problems, folder, inputs=inputs, replace=replace, page=page, pdf=pdf)
    if not writers:
        return [], found
    try:
        with step("Writing the files"):
            found = [*found, *_put(writers, quote, inputs[0], keep_issued=keep_issued)]
    except CannotWrite as refused:
        return [], [too_large(quote, refused)]
    except NoPdf as refused:
        return [], [refused.problem]
    return list(writers), found


def _put(writers: Mapping[Path, WriteTo], quote: Quote, book: Path, *, keep_issued: bool) -> list[Problem]:
    """The files in their places, all or none; what is to be known of what stood there."""
    if keep_issued:
        from datetime import date

        from quotekit.cli.write_over_issued import write_over_issued

        return write_over_issued(writers, quote, book, date.today())
    from quotekit.cli.output_files import write_together

    write_together(writers)
    return []


def documents_of_quote(
    quote: Quote,
    problems: list[Problem],
    folder: Path,
    *,
    inputs: tuple[Path, Path],
    replace: bool,
    page: bool = False,
    pdf: bool = False,
) -> tuple[dict[Path, WriteTo], list[Problem]]:
    """What writes each file of a quote, all into one folder; none where something stands in the way."""
    from quotekit.cli.output_files import check_targets, file_start

    start = file_start(quote.job.job_number, quote.job.version)
    customer, costing = folder / f"{start} quote.xlsx", folder / f"{start} costing.xlsx"
    asked = {".pdf": pdf, ".html": page}
    for_customer = (customer, *(customer.with_name(f"{start} quote{kind}") for kind, wanted in asked.items() if wanted))
    found = check_targets((*for_customer, costing), inputs, replace=replace)
    found = found or (no_office_for(for_customer) if pdf and quote.offered else [])
    if found:
        return {}, found
    return _writers(quote, problems, for_customer, costing, inputs=inputs)


def no_office_for(for_customer: Iterable[Path]) -> list[Problem]:
    """A problem where a PDF is among the files and can't be made, known before anything is written."""
    from quotekit.workbook.pdf import office_missing

    return [problem for target in for_customer if target.suffix == ".pdf" for problem in office_missing(target)]


def too_large(quote: Quote, refused: Exception) -> Problem:
    """That a workbook can't hold what the quote says."""
    from quotekit.problems import Place, error

    remedy = "Look for an amount or a quantity that is far too large, or a text that is far too long."
    return error(Place(quote.job.file), TOO_LARGE, f"A workbook can't hold this: {refused}.", remedy)


def _writers(
    quote: Quote, problems: list[Problem], for_customer: tuple[Path, ...], costing: Path, *, inputs: tuple[Path, Path]
) -> tuple[dict[Path, WriteTo], list[Problem]]:
    writers: dict[Path, WriteTo] = {}
    more: list[Problem] = []
    if quote.offered:
        photos, more = photos_of(quote, inputs[1])
        for target in for_customer:
            writers[target] = partial(writer_for_customer(target), quote, photos=photos)
    more = [*more, *_earlier_quotes(for_customer[0], tuple(writers), offered=bool(quote.offered))]
    everything = [*problems, *more]
    writers[costing] = partial(_write_costing, quote, everything, costing.parent, inputs)
    return writers, more


def _write_costing(quote: Quote, problems: list[Problem], folder: Path, inputs: tuple[Path, Path], path: Path) -> None:
    """The costing with every number explained; its links hold from the folder it will stand in."""
    from quotekit.documents.costing_explained import shown
    from quotekit.pricing.explain import explain_quote
    from quotekit.workbook.link_addresses import link_addresses
    from quotekit.workbook.write_sheet import write_costing

    addresses = link_addresses(folder, zip((quote.book.file, quote.job.file), inputs, strict=True))
    write_costing(quote, path, problems, trees=explain_quote(quote, shown), addresses=addresses)


def writer_for_customer(target: Path) -> Callable[..., None]:
    """What writes a file of the customer's, by its kind."""
    if target.suffix == ".html":
        from quotekit.workbook.write_page import write_page

        return write_page
    if target.suffix == ".pdf":
        from quotekit.workbook.pdf import write_pdf

        return write_pdf
    from quotekit.workbook.write_sheet import write_customer_quote

    return write_customer_quote


def photos_of(quote: Quote, job_path: Path) -> tuple[Mapping[str, Picture], list[Problem]]:
    """Pictures of the findings, by file name; none is loaded where no finding names one."""
    if not any(finding.photo for finding in quote.job.findings):
        return {}, []
    from quotekit.workbook.photos import read_photos

    with step("Reading photos"):
        photos, problems = read_photos(quote.job, job_path.parent)
    return photos, list(problems)


def _earlier_quotes(customer: Path, written: Iterable[Path], *, offered: bool) -> list[Problem]:
    """Files of an earlier run that are not written now, so that nobody hands over what no longer holds."""
    from quotekit.problems import Place, warning

    message = "An earlier file for the customer is still there and was not written again."
    if not offered:
        message = "An earlier customer quote is still there and no longer holds: no option can be offered now."
    kinds = (customer.with_name(f"{customer.stem}{kind}") for kind in (".xlsx", ".pdf", ".html"))
    left = [target for target in kinds if target not in written and target.exists()]
    return [warning(Place(str(target)), "earlier-quote", message, "Move it away, or delete it.") for target in left]


def _refuse(
    options: argparse.Namespace, inputs: Inputs, quote: Quote | None, problems: list[Problem], code: int
) -> int:
    print_problems(problems)
    say("Nothing was written.")
    if options.json:
        print_json(_refusal(options, inputs, quote, problems))
    return code


def _refusal(options: argparse.Namespace, inputs: Inputs, quote: Quote | None, problems: list[Problem]) -> object:
    from quotekit.cli.inputs import file_sha256
    from quotekit.documents.quote_json import lay_out_quote_json, lay_out_refusal_json

    if quote is not None:
        return lay_out_quote_json(quote, problems)
    return lay_out_refusal_json(
        problems,
        book=inputs.book,
        job=inputs.job,
        book_sha256=file_sha256(options.book),
        job_sha256=file_sha256(options.job),
    )


def _tell(options: argparse.Namespace, quote: Quote, problems: list[Problem], names: list[Path]) -> None:
    from quotekit.documents.quote_json import lay_out_quote_json, money
    from quotekit.money import minor_digits

    print_problems(problems)
    for tier in quote.tiers:
        total = f"{money(tier.total, minor_digits(quote.currency))} {quote.currency}"
        say(f"{tier.name}: {total}" if tier.offered else f"{tier.name}: not offered; {tier.reason}")
    if options.json:
        print_json(lay_out_quote_json(quote, problems, [str(name) for name in names]))
    else:
        print("\n".join(str(name) for name in names))
