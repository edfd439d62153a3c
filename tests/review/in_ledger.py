"""Stories as entries of a real ledger, in the order of their days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from quotekit.ledger.open_ledger import open_ledger
from quotekit.model.entries import Draft
from quotekit.model.story import Story, Told
from tests.pricing.review.stories import BOOK_BYTES

_IN_ORDER = ("issued", "comeback", "accepted", "declined", "closed", "billed")


def write_ledger(path: Path, stories: Iterable[Story], extra: Iterable[Draft] = ()) -> Path:
    """A ledger with these stories."""
    with open_ledger(path) as ledger, ledger.writing() as writing:
        writing.keep_file("book.xlsx", BOOK_BYTES)
        for draft in [*drafts_of(stories), *extra]:
            writing.append(draft)
    return path


def drafts_of(stories: Iterable[Story]) -> list[Draft]:
    """Every entry as it would be made, by day, and on one day in the order in which a job goes."""
    told = [(story, one) for story in stories for one in _told(story)]
    told.sort(key=lambda each: (each[1].entry.day, _IN_ORDER.index(each[1].entry.kind), each[1].entry.seq))
    return [_draft(story, one) for story, one in told]


def _told(story: Story) -> Iterator[Told[Any]]:
    for kind in _IN_ORDER:
        yield from getattr(story, kind)


def _draft(story: Story, told: Told[Any]) -> Draft:
    entry = told.entry
    return Draft(kind=entry.kind, job=story.job, body=told.body, day=entry.day, who=entry.who, version=entry.version)
