"""What was found on a job by the version that is agreed now, read from its frozen workbooks."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.job import FoundFinding
    from quotekit.model.story import Story


def agreed_findings(ledger: Ledger, story: Story) -> tuple[FoundFinding, ...]:
    """All of them; none where nothing is agreed. Raises LedgerFault where the frozen workbooks can't be read."""
    from quotekit.cli.frozen import read_frozen
    from quotekit.pricing.consent.authorised import version_now

    issued = story.version(version_now(story) or 0)
    return () if issued is None else tuple(read_frozen(ledger, issued).job.findings)
