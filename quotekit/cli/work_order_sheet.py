"""The sheet of a work order: which template it is filled into, what it says besides the work, where it goes."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.cli.agreed_work import AgreedWorkOfJob
    from quotekit.documents.work_order import WorkOrderFacts
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.work_order import WorkOrder
    from quotekit.problems import Problem


def write_work_order(
    options: argparse.Namespace, ledger: Ledger, work: AgreedWorkOfJob, order: WorkOrder
) -> tuple[Path | None, list[Problem]]:
    """Fill the template and put it in its folder; why not, where it can't be."""
    from quotekit.cli.output_files import check_targets, safe_file_name, these_bytes, write_together
    from quotekit.cli.which_template import filled, template_folders
    from quotekit.documents.work_order import fill_work_order

    beside = ledger.address.folder
    path = (options.out or beside or Path()) / f"{safe_file_name(work.yes.entry.job)}-{work.version} work order.xlsx"
    problems = check_targets([path], [], replace=options.replace)
    if problems:
        return None, [_said(problem) for problem in problems]
    language = work.frozen.book.settings.language
    sheet = fill_work_order(order, work_order_facts(work, options.on or date.today()))
    data, problems = filled("work order", template_folders(options, [beside]), language, [sheet])
    if data is None:
        return None, problems
    write_together({path: these_bytes(data)})
    return path, problems


def _said(problem: Problem) -> Problem:
    """What to do, where a work order is in the way: it has no version of its own to raise."""
    from dataclasses import replace

    if problem.code != "output-exists":
        return problem
    return replace(problem, remedy="Move it away, choose another folder with --out, or add --replace.")


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
