"""What is to be done on a job now, with the shop book and the job it was agreed from, as the ledger keeps them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.frozen import Frozen
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import Agreed
    from quotekit.model.entries import Accepted
    from quotekit.model.story import Story, Told


@record
class AgreedWorkOfJob:
    """The yes that holds, the work it covers now, and the version of the quote that the work is of."""

    story: Story
    yes: Told[Accepted]
    agreed: Agreed
    frozen: Frozen
    version: int


def agreed_work(ledger: Ledger, job: str) -> tuple[AgreedWorkOfJob | None, list[Problem]]:
    """The work of a job, or why there is none. Raises LedgerFault where the frozen workbooks can't be read."""
    from quotekit.cli.frozen import read_frozen
    from quotekit.cli.jobs import known_job
    from quotekit.pricing.consent.authorised import agreed_now, last_yes, version_now

    story, problems = known_job(ledger, job)
    if story is None:
        return None, problems
    yes, agreed, version = last_yes(story), agreed_now(story), version_now(story)
    issued = story.version(version) if version is not None else None
    if yes is None or agreed is None or issued is None or version is None:
        return None, [_not_agreed(ledger, job)]
    found = AgreedWorkOfJob(story=story, yes=yes, agreed=agreed, frozen=read_frozen(ledger, issued), version=version)
    return found, []


def _not_agreed(ledger: Ledger, job: str) -> Problem:
    message = f"The customer of job {job} has not said yes, or has taken it back."
    remedy = "Record the yes with `quotekit accept` first: no work is done before it."
    return error(Place(ledger.address.shown), "not-agreed", message, remedy, job)
