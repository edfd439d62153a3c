"""Writes the workbook of the shop rate, never over something a person would miss."""

from __future__ import annotations

from dataclasses import replace as changed
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import step, stopped_problem

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quotekit.model.rate import ShopRate
    from quotekit.problems import Problem

FILE = "shop rate.xlsx"


def write_rate(
    rate: ShopRate, problems: Iterable[Problem], book: Path, folder: Path | None, *, replace: bool
) -> tuple[list[Path], list[Problem]]:
    """Write the workbook. Where no folder was asked for, whatever stands in the way is a warning only."""
    target = (book.parent if folder is None else folder) / FILE
    found = _write(rate, problems, target, book, replace=replace)
    if folder is None:
        found = [changed(problem, severity="warning") for problem in found]
    return ([] if found else [target]), found


def _write(rate: ShopRate, problems: Iterable[Problem], target: Path, book: Path, *, replace: bool) -> list[Problem]:
    """What stands in the way; an earlier file that says the same does not."""
    from quotekit.cli.output_files import check_targets, these_bytes, write_together
    from quotekit.documents.rate_book import lay_out_rate_book
    from quotekit.workbook.write_sheet import CannotWrite, workbook_bytes

    try:
        with step("Writing the workbook"):
            data = workbook_bytes(lay_out_rate_book(rate, problems))
            if target.is_file() and target.read_bytes() == data:
                return []
            found = check_targets((target,), (book,), replace=replace)
            if not found:
                write_together({target: these_bytes(data)})
    except OSError as fault:
        return [stopped_problem(fault)]
    except CannotWrite as refused:
        return [_too_large(target, refused)]
    return [_for_a_rate(problem) for problem in found]


def _for_a_rate(problem: Problem) -> Problem:
    """The advice for files of a job does not fit here."""
    if problem.code != "output-exists":
        return problem
    return changed(problem, remedy="Add --replace, move it away, or choose another folder with --out.")


def _too_large(target: Path, refused: Exception) -> Problem:
    from quotekit.problems import Place, error

    remedy = "Look for an amount that is far too large, or a text that is far too long."
    return error(Place(str(target)), "figure-too-large", f"A workbook can't hold this: {refused}.", remedy)
