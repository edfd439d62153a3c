"""Which job a job workbook is: its number and version, without the shop book."""

from __future__ import annotations

from pathlib import Path

from quotekit.problems import Problem
from quotekit.workbook.columns import JOB, JOB_WORKBOOK
from quotekit.workbook.grid import read_grid
from quotekit.workbook.job_fields import read_job_fields
from quotekit.workbook.other_workbook import book_for_job
from quotekit.workbook.tables import find_tables


def read_job_identity(path: Path) -> tuple[tuple[str, int] | None, list[Problem]]:
    """Number and version of a job, or why they cannot be read; the job's other problems are of no matter here."""
    grid, problems = read_grid(path)
    if grid is None:
        return None, problems
    mistaken = book_for_job(grid)
    if mistaken:
        return None, mistaken
    tables, problems = find_tables(grid, JOB_WORKBOOK, "job workbook")
    if JOB.name not in tables:
        return None, problems
    fields, problems = read_job_fields(tables[JOB.name], None, {})
    number, version = fields.values.get("job_number"), fields.values.get("version", 1)
    return ((str(number), version), []) if number and isinstance(version, int) else (None, problems)
