"""The last entry of each job, without reading what the entries tell."""

from __future__ import annotations

import pytest

from quotekit.ledger.last_entries import last_entries
from quotekit.ledger.ledger import Ledger
from tests.ledger.drafts import add, noted, paid


def test_the_last_of_each_job_in_the_order_of_their_first(ledger: Ledger) -> None:
    """Capitals and spaces are no other job; other kinds are passed over."""
    add(ledger, paid(job="B-2"), noted(job="A-1"), paid(job="A-1"), noted(job="b-2 "), noted(job="C-3"))
    assert list(last_entries(ledger, ["noted"]).items()) == [("a-1", 2), ("b-2", 4), ("c-3", 5)]
    assert list(last_entries(ledger, ["noted", "paid"]).items()) == [("b-2", 4), ("a-1", 3), ("c-3", 5)]


@pytest.mark.parametrize("kinds", [["closed"], ["closed", "billed"]])
def test_none_of_these_kinds(ledger: Ledger, kinds: list[str]) -> None:
    add(ledger, noted())
    assert last_entries(ledger, kinds) == {}  # type: ignore[arg-type]
