"""The quotes that were given for the jobs of a folder: as a ledger tells them, as costings beside them, or as results
of an earlier run. Where several tell of the same version, the results that were named win, then the ledger."""

from __future__ import annotations

import argparse
import json
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.batch import Given
    from quotekit.model.story import Story
    from quotekit.problems import Problem

GivenByVersion = dict[tuple[str, int], "Given"]
"""By job number and version."""


def earlier_results(path: Path | None) -> tuple[GivenByVersion, list[Problem]]:
    """Quotes in the results of an earlier run. Raises OSError."""
    from quotekit.batch.read_lines import results_in
    from quotekit.problems import Place, error

    if path is None:
        return {}, []
    try:
        with path.open(encoding="utf-8") as lines:
            return results_in(lines), []
    except ValueError as fault:
        said = "it is no text" if isinstance(fault, UnicodeDecodeError) else str(fault)
        message = f"These are no results of a batch: {said}."
        remedy = "Give the file `... batch results.jsonl` of an earlier run, or what --json printed."
        return {}, [error(Place(str(path)), "not-results", message, remedy)]


def check_ledger(options: argparse.Namespace) -> None:
    """See that a ledger that was named is there, before hours of work are done for it. Raises LedgerFault."""
    if options.ledger:
        from quotekit.cli.which_ledger import ledger_address
        from quotekit.ledger.open_ledger import open_ledger

        with open_ledger(ledger_address(options.ledger, book=options.book), create=False):
            pass


def given_in_ledger(options: argparse.Namespace, wanted: Collection[tuple[str, int]]) -> GivenByVersion:
    """Quotes that were issued, of the jobs that are wanted; none where there is no ledger. Raises LedgerFault."""
    from quotekit.cli.which_ledger import ledger_address

    address = ledger_address(options.ledger, book=options.book)
    if isinstance(address, Path) and not address.exists() and not options.ledger:
        return {}
    from quotekit.ledger.each_story import each_story
    from quotekit.ledger.open_ledger import open_ledger

    with open_ledger(address, create=False) as ledger:
        found = [given for story in each_story(ledger) for given in _of_story(ledger, story, wanted)]
    return dict(found)


def together(*sources: Mapping[tuple[str, int], Given]) -> GivenByVersion:
    """Several sources; the first that tells of a version wins."""
    found: GivenByVersion = {}
    for source in reversed(sources):
        found.update(source)
    return found


def _of_story(ledger: Ledger, story: Story, wanted: Collection[tuple[str, int]]) -> list[tuple[tuple[str, int], Given]]:
    from quotekit.batch.read_lines import given_of
    from quotekit.pricing.consent.authorised import answer_to
    from quotekit.pricing.standing import standing_of

    found = []
    for told in story.issued:
        key = story.job, told.entry.version or 0
        if key in wanted:
            is_open = told is story.current and answer_to(story, told.entry) is None
            line = json.loads(ledger.file(told.body.results.sha256))
            given = given_of(line, "the ledger", standing=standing_of(story), open_=is_open)
            if given is not None:
                found.append((key, given))
    return found
