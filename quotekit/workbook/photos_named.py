"""Which photos a job names, and in which cells; nothing is opened, and no library of pictures is loaded."""

from __future__ import annotations

from collections.abc import Iterator

from quotekit.model.job import Job
from quotekit.problems import Place


def named_photos(job: Job) -> Iterator[tuple[str, Place]]:
    """Each photo name once, with the cell of the first finding that has it."""
    seen: set[str] = set()
    for found in job.findings:
        if found.photo and found.photo not in seen:
            seen.add(found.photo)
            yield found.photo, found.source.place("Photo")
