"""Every job's story in one pass is the story that is told of it alone."""

from __future__ import annotations

import pytest

from quotekit.ledger.each_story import each_story
from quotekit.ledger.fault import LedgerFault
from quotekit.ledger.ledger import Ledger
from tests.ledger.by_hand import changing
from tests.ledger.drafts import add, add_issued, noted, paid, season


def test_each_is_told_as_alone(ledger: Ledger) -> None:
    """Jobs mixed with one another, of one job under two spellings, and of none."""
    season(ledger)
    add_issued(ledger, b"one more", job=" a-9")
    add(ledger, noted("of no job", job=""), noted("of a job that has no quote", job="999"), paid(job="A-9"))
    add_issued(ledger, b"and more", job="A-9 ")
    told = {story.job: story for story in each_story(ledger)}
    assert sorted(told) == sorted(ledger.jobs()) == ["117", "118", "A-9"]
    for job, story in told.items():
        assert story == ledger.story(job)


def test_none_in_an_empty_ledger(ledger: Ledger) -> None:
    assert list(each_story(ledger)) == []


def test_an_entry_that_cannot_be_read(address: str) -> None:
    from quotekit.ledger.open_ledger import open_ledger

    with open_ledger(address) as ledger:
        season(ledger)
    with changing(address) as execute:
        execute("UPDATE entries SET body = '{}' WHERE seq = 1")
    with open_ledger(address) as ledger, pytest.raises(LedgerFault) as refused:
        list(each_story(ledger))
    assert refused.value.problem.code == "ledger-unreadable"
