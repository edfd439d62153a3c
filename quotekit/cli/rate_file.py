"""Writes the workbook of the shop rate, never over something a person would miss."""

from __future__ import annotations

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
    from quotekit.cli.output_files import check_targets, write_together
    from quotekit.documents.rate_book import lay_out_rate_book
    from quotekit.workbook.write_sheet import CannotWrite, write_workbook

    target = (book.parent if folder is None else folder) / FILE
    found = check_targets((target,), (book,), replace=replace)
    if not found:
        try:
            with step("Writing the workbook"):
                write_together({target: lambda path: write_workbook(lay_out_rate_book(rate, problems), path)})
        except OSError as fault:
            found = [stopped_problem(fault)]
        except CannotWrite as refused:
            found = [_too_large(target, refused)]
    return ([] if found else [target]), found if folder is not None else [_as_warning(problem) for problem in found]


def _as_warning(problem: Problem) -> Problem:
    from dataclasses import replace

    return replace(problem, severity="warning")


def _too_large(target: Path, refused: Exception) -> Problem:
    from quotekit.problems import Place, error

    remedy = "Look for an amount that is far too large, or a text that is far too long."
    return error(Place(str(target)), "figure-too-large", f"A workbook can't hold this: {refused}.", remedy)
