"""`quotekit work-order JOB`: the work that was agreed, for the bench, filled into the shop's template."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say, step
from quotekit.cli.typed_day import typed_day
from quotekit.cli.which_ledger import add_ledger_options
from quotekit.cli.which_template import add_template_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.cli.agreed_work import AgreedWorkOfJob
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
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the ledger)")
    parser.add_argument("--replace", action="store_true", help="write over a work order that is there")
    add_template_option(parser)
    add_ledger_options(parser, records=False)
    parser.add_argument(
        "--on", metavar="DATE", type=typed_day, help="the day on the sheet, as 2026-11-25 (default: today)"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look up what was agreed, put it in order, fill the template."""
    from quotekit.cli.agreed_work import agreed_work
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.cli.work_order_sheet import write_work_order
    from quotekit.pricing.work_order import build_work_order

    with opened_ledger(options) as ledger, step("Putting the work in order"):
        work, problems = agreed_work(ledger, options.job)
        if work is None:
            return _refuse(options, problems)
        order = build_work_order(work.frozen.book, work.frozen.job, work.agreed)
        path, problems = write_work_order(options, ledger, work, order)
        problems = [*_waiting(ledger, work), *problems]
    if path is None:
        in_the_way = any(problem.code.startswith("output-") for problem in problems)
        return _refuse(options, problems, DISK if in_the_way else PROBLEMS)
    print_problems(problems)
    if options.json:
        print_json(_as_json(work, order, [str(path)], problems))
    else:
        say(f"Job {work.yes.entry.job}, version {work.version}: {len(order.steps)} lines of work.")
        print(path)
    return DONE


def _waiting(ledger: Ledger, work: AgreedWorkOfJob) -> list[Problem]:
    """That a change waits for the customer's answer, and is not in the sheet."""
    from quotekit.pricing.consent.authorised import pending
    from quotekit.problems import Place, warning

    change = pending(work.story)
    if change is None:
        return []
    message = f"Version {change.entry.version} waits for the customer's answer; this is the work agreed to before."
    remedy = "Do nothing of the change before the answer; then write the work order again."
    return [warning(Place(ledger.address.shown), "change-waits", message, remedy)]


def _refuse(options: argparse.Namespace, problems: Sequence[Problem], code: int = PROBLEMS) -> int:
    from quotekit.documents.quote_json import problem_json

    print_problems(problems)
    say("Nothing was written.")
    if options.json:
        print_json({"job": options.job, "files": [], "problems": [problem_json(problem) for problem in problems]})
    return code


def _as_json(work: AgreedWorkOfJob, order: WorkOrder, files: list[str], problems: Sequence[Problem]) -> dict[str, Any]:
    from quotekit.documents.work_order_json import work_order_json

    return work_order_json(work.yes.entry.job, work.version, order, files, problems)
