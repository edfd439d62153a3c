"""`quotekit work-order JOB`: the work that was agreed, for the bench, filled into the shop's template."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say, step
from quotekit.cli.typed_day import typed_day
from quotekit.cli.which_ledger import add_ledger_options
from quotekit.cli.which_template import add_template_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.cli.agreed_work import AgreedWorkOfJob
    from quotekit.documents.work_order import WorkOrderFacts
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.work_order import WorkOrder
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit work-order 117                          the work that was agreed, beside the ledger
  quotekit work-order 117 --out bench --replace    again, over the one that is there

The technician fills in hours, parts and notes, on paper or in the workbook; `quotekit close 117 --from FILE` reads it.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "work-order",
        help="the work that was agreed, for the bench",
        description="Write the work order of a job: steps in order, cautions, measurements, parts, cells to fill in.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the ledger)")
    parser.add_argument("--on", metavar="DATE", type=typed_day, help="the day on the sheet (default: today)")
    parser.add_argument("--replace", action="store_true", help="write over a work order that is there")
    add_template_option(parser)
    add_ledger_options(parser, records=False)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look up what was agreed, put it in order, fill the template."""
    from quotekit.cli.agreed_work import agreed_work
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.pricing.work_order import build_work_order

    with opened_ledger(options) as ledger, step("Putting the work in order"):
        work, problems = agreed_work(ledger, options.job)
        if work is None:
            return _refuse(options, problems)
        order = build_work_order(work.frozen.book, work.frozen.job, work.agreed)
        path, problems = _write(options, ledger, work, order)
    if path is None:
        in_the_way = any(problem.code.startswith("output-") for problem in problems)
        return _refuse(options, problems, DISK if in_the_way else PROBLEMS)
    if options.json:
        print_json(_as_json(work, order, [str(path)]))
    else:
        say(f"Job {work.yes.entry.job}, version {work.version}: {len(order.steps)} lines of work.")
        print(path)
    return DONE


def _refuse(options: argparse.Namespace, problems: Sequence[Problem], code: int = PROBLEMS) -> int:
    from quotekit.documents.quote_json import problem_json

    print_problems(problems)
    say("Nothing was written.")
    if options.json:
        print_json({"job": options.job, "files": [], "problems": [problem_json(problem) for problem in problems]})
    return code


def _write(
    options: argparse.Namespace, ledger: Ledger, work: AgreedWorkOfJob, order: WorkOrder
) -> tuple[Path | None, list[Problem]]:
    from quotekit.cli.output_files import check_targets, safe_file_name, write_together
    from quotekit.cli.which_template import template_folders
    from quotekit.documents.money_text import paper_of
    from quotekit.documents.work_order import fill_work_order
    from quotekit.workbook.fill_template import fill_template
    from quotekit.workbook.find_template import find_template

    beside = ledger.address.path.parent if ledger.address.path is not None else None
    path = (options.out or beside or Path()) / f"{safe_file_name(work.yes.entry.job)}-{work.version} work order.xlsx"
    problems = check_targets([path], [], replace=options.replace)
    if problems:
        return None, [_said(problem) for problem in problems]
    language = work.frozen.book.settings.language
    template, problems = find_template("work order", template_folders(options, [beside]), paper_of(language))
    if template is None:
        return None, problems
    data, problems = fill_template(
        template, [fill_work_order(order, work_order_facts(work, options.on or date.today()))]
    )
    if data is None:
        return None, problems
    write_together({path: lambda target: _write_bytes(target, data)})
    return path, problems


def _said(problem: Problem) -> Problem:
    """What to do, where a work order is in the way: it has no version of its own to raise."""
    from dataclasses import replace

    if problem.code != "output-exists":
        return problem
    return replace(problem, remedy="Move it away, choose another folder with --out, or add --replace.")


def _write_bytes(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def work_order_facts(work: AgreedWorkOfJob, day: date) -> WorkOrderFacts:
    """What the sheet says besides the work."""
    from quotekit.documents.work_order import WorkOrderFacts
    from quotekit.money import minor_digits
    from quotekit.pricing.consent.authorised import most_without_asking

    book, yes = work.frozen.book, work.yes
    condition = book.conditions.get(work.agreed.condition)
    return WorkOrderFacts(
        settings=book.settings,
        job=work.frozen.job,
        version=work.version,
        agreement=yes.entry.seq,
        option=work.agreed.option,
        agreed_on=yes.entry.day,
        by=yes.body.by,
        customer=yes.body.customer,
        total=yes.body.agreed.total,
        most=most_without_asking(yes.body, minor_digits(book.settings.currency)),
        basis=yes.body.rule.compares,
        written_on=day,
        condition=condition.name or condition.code if condition is not None else "",
    )


def _as_json(work: AgreedWorkOfJob, order: WorkOrder, files: list[str]) -> dict[str, Any]:
    from quotekit.documents.work_order_json import work_order_json

    return work_order_json(work.yes.entry.job, work.version, order, files)
