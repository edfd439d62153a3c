"""Request `returned`: what the customer chose in a quote that came back, and whether anything else differs in it.

The file itself is read, as `quotekit read-choice` reads it: its cells are held against the marks it was sent with. What
was ticked on the screen and not saved is read from a copy.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from quotekit.cli.answers.request import Words, told


def answer(words: Words) -> dict[str, Any]:
    """`{"file", "jobs": [paths of open jobs]}` gives the choice, the job it belongs to where it is open, the problems.

    `on` is the day to judge by, today where it is left out.
    """
    from quotekit.cli.read_choice import choice_json, read_choice

    returned = Path(words["file"])
    today = date.fromisoformat(words["on"]) if words.get("on") else date.today()
    job = _job_of(returned, [Path(path) for path in words.get("jobs", ())])
    choice, problems = read_choice(returned, today, job)
    found = choice_json(choice, problems)
    return {**found, "job_file": None if job is None else str(job), "problems": told(problems)}


def _job_of(returned: Path, jobs: list[Path]) -> Path | None:
    """The open job that a quote was made from, by its number; None where none is, or the quote can't be read."""
    from quotekit.workbook.job_identity import read_job_identity
    from quotekit.workbook.read_returned import read_quote

    quote, _ = read_quote(returned)
    if quote is None:
        return None
    for job in jobs:
        known, _ = read_job_identity(job)
        if known is not None and known[0].strip().casefold() == quote.number.strip().casefold():
            return job
    return None
