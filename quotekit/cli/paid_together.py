"""Money that the job workbook says was paid, beside payments of the ledger: both count, and that is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, warning

if TYPE_CHECKING:
    from decimal import Decimal

    from quotekit.model.job import Job


def paid_counted_together(job: Job, recorded: Decimal, remedy: str) -> Problem:
    """The warning, at the cell; `recorded` are the ledger's payments alone."""
    source = job.sources.get("Paid so far")
    place = source.place("Value") if source is not None else Place(job.file)
    message = f"Paid so far ({job.paid_so_far}) and the ledger's payments ({recorded}) are counted together."
    return warning(place, "paid-counted-together", message, remedy)
