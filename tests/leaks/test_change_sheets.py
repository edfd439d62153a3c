"""The sheet for a changed job: a shop with other costs and the same prices writes the same bytes for its customer."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings

from quotekit.documents.consent_sheet import lay_out_consent_sheet
from quotekit.model.quote import Quote
from quotekit.problems import has_errors
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.written import JOBS
from tests.documents.changed_jobs import a_changed_job
from tests.leaks.same_prices import secrets_in
from tests.leaks.secrets_of import leaks
from tests.leaks.test_other_costs_same_bytes import both, charging_freight, example, told_apart
from tests.random_jobs import Case, a_random_case, cases


def sheet(quote: Quote) -> bytes:
    """What the customer gets."""
    return workbook_bytes(lay_out_consent_sheet(a_changed_job(quote)))


@pytest.mark.parametrize("path", JOBS[:4], ids=lambda path: path.stem)
def test_examples_with_other_costs_give_the_same_bytes(path: Path) -> None:
    """And no odd cost of the other shop stands anywhere in the file."""
    book, job = example(path)
    mine, other = both(charging_freight(book, "none"), job)
    assert mine.offered and told_apart(mine, other)
    assert sheet(mine) == sheet(other)
    assert list(leaks(sheet(other), secrets_in(other.book, other.job))) == []


@settings(max_examples=15)
@given(cases())
def test_random_changes_with_other_costs_give_the_same_bytes(case: Case) -> None:
    mine, other = both(*case)
    if has_errors(mine.problems) or not mine.offered:
        return
    assert sheet(mine) == sheet(other)


def test_enough_changes_are_compared() -> None:
    """Some with new work and parts: else equal bytes say little."""
    seen = 0
    for seed in range(12):
        mine, _ = both(*a_random_case(seed))
        if not has_errors(mine.problems) and mine.offered:
            changes = a_changed_job(mine).changes
            seen += bool(changes.new and changes.parts)
    assert seen > 3, seen
