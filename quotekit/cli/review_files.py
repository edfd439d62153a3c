"""Writes the workbooks of a review, never over something a person would miss."""

from __future__ import annotations

from dataclasses import replace as changed
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import step, stopped_problem

if TYPE_CHECKING:
    from quotekit.model.review import Review
    from quotekit.problems import Problem


def write_review(review: Review, folder: Path, *, replace: bool) -> tuple[list[Path], list[Problem]]:
    """Write the review and, where there are any, the proposed times; what stands in the way is a problem.

    A file that says the same already is left as it is.
    """
    from quotekit.cli.output_files import check_targets, these_bytes, write_together
    from quotekit.problems import Place, error
    from quotekit.workbook.cannot_write import CannotWrite

    try:
        with step("Writing the workbooks"):
            files = _files(review, folder)
        missing = {path: data for path, data in files.items() if not _says_the_same(path, data)}
        found = check_targets(missing, (), replace=replace)
        if not found and missing:
            write_together({path: these_bytes(data) for path, data in missing.items()})
    except OSError as fault:
        return [], [stopped_problem(fault)]
    except CannotWrite as refused:
        remedy = "Look for an amount or a text that is far too large, or review fewer days."
        return [], [error(Place(str(folder)), "figure-too-large", f"A workbook can't hold this: {refused}.", remedy)]
    remedy = "Add --replace, move it away, or choose another folder with --out."
    told = [changed(one, remedy=remedy) if one.code == "output-exists" else one for one in found]
    return ([] if told else list(files)), told


def _files(review: Review, folder: Path) -> dict[Path, bytes]:
    from quotekit.documents.review_book import lay_out_review
    from quotekit.documents.review_proposals import has_cells, lay_out_proposals
    from quotekit.workbook.write_sheet import workbook_bytes

    first, last = review.span.first.isoformat(), review.span.last.isoformat()
    files = {folder / f"review {first} to {last}.xlsx": workbook_bytes(lay_out_review(review))}
    if has_cells(review):
        files[folder / f"proposed times {last}.xlsx"] = workbook_bytes(lay_out_proposals(review))
    return files


def _says_the_same(path: Path, data: bytes) -> bool:
    return path.is_file() and path.read_bytes() == data
