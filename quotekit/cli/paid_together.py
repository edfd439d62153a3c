"""Money that the job workbook says was paid, beside payments of the ledger: both count, and that is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quotekit.problems import Problem, warning

if TYPE_CHECKING:
    from decimal import Decimal

    from quotekit.model.job import Job


def paid_counted_together(job: Job, recorded: Decimal, remedy: str, typed: Decimal | None = None) -> Problem:
    """The warning, at the cell; `recorded` are the ledger's payments alone, `typed` what counts where not the job's."""
    amount = job.paid_so_far if typed is None else typed
    message = f"Paid so far ({amount}) and the ledger's payments ({recorded}) are counted together."
    return warning(job.place_of("Paid so far"), "paid-counted-together", message, remedy)
