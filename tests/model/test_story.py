"""What happened to a job, told by its entries: the state of things is worked out, never stored."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.entries import Entry, Noted, Ordered, Paid
from quotekit.model.record_json import UnreadableRecord, to_json
from quotekit.model.story import KINDS, Story, job_key, same_job, story_of
from tests.ledger.drafts import issued
from tests.ledger.test_rows import FILE


def entry(seq: int, kind: str, body: object, version: int | None = None) -> Entry:
    """An entry of job 117."""
    return Entry(
        seq=seq,
        at="2026-11-28T12:00:00.000000Z",
        day=date(2026, 11, 28),
        who="Ida",
        why="",
        kind=kind,  # type: ignore[arg-type]
        job="117",
        version=version,
        number=None,
        body=body if isinstance(body, dict) else to_json(body),
        hash="",
        before="",
    )


def version(seq: int, number: int, **values: Any) -> Entry:
    """An issued version."""
    return entry(seq, "issued", {**to_json(issued(FILE).body), **values}, number)


def paid(seq: int, amount: str) -> Entry:
    return entry(seq, "paid", Paid(amount=Decimal(amount), purpose="deposit"))


def written(seq: int, of: int) -> Entry:
    return entry(seq, "written", {"of": of, "folder": "/quotes", "documents": []})


def test_a_job_nobody_knows() -> None:
    story = story_of("117", [])
    assert story == Story(job="117")
    assert (story.current, story.paid_so_far) == (None, 0)


def test_the_last_version_holds() -> None:
    story = story_of("117", [version(1, 1), version(2, 2)])
    assert story.current is not None and story.current.entry.version == 2
    first = story.version(1)
    assert first is not None and first.entry.seq == 1
    assert story.version(3) is None


def test_the_documents_of_a_version() -> None:
    """A version without them was never finished."""
    story = story_of("117", [version(1, 1), written(2, of=1), version(3, 2)])
    finished, unfinished = (story.documents_of(told.entry) for told in story.issued)
    assert finished is not None and finished.entry.seq == 2
    assert unfinished is None


@pytest.mark.parametrize(
    ("amounts", "typed", "expected"),
    [([], "0", "0"), (["60.00"], "0", "60.00"), (["60.00", "-10.00"], "0", "50.00"), (["60.00"], "25.50", "85.50")],
)
def test_money_taken_less_money_given_back_with_what_was_typed(amounts: list[str], typed: str, expected: str) -> None:
    """Paid so far of the job workbook is money that is not in the ledger; that of the version that holds counts."""
    entries = [version(1, 1, paid_typed="999.00"), version(2, 2, paid_typed=typed)]
    entries += [paid(seq, amount) for seq, amount in enumerate(amounts, start=3)]
    assert story_of("117", entries).paid_so_far == Decimal(expected)


def test_kinds_that_are_of_no_job_are_passed_over() -> None:
    order = Ordered(
        jobs=("117",),
        lines=(),
        suppliers=(),
        shelf=(),
        landed=Decimal(0),
        usual=None,
        bound=Decimal(0),
        compared="",
        currency="USD",
    )
    story = story_of("117", [entry(1, "ordered", order), entry(2, "noted", Noted(text="x")), paid(3, "1.00")])
    assert [told.entry.seq for told in story.paid] == [3]


def test_an_entry_that_cannot_be_read_is_not_passed_over() -> None:
    with pytest.raises(UnreadableRecord):
        story_of("117", [entry(1, "paid", {"amount": "sixty"})])


def test_each_kind_has_a_record() -> None:
    from typing import get_args

    from quotekit.model.entries import EntryKind

    assert set(KINDS) == set(get_args(EntryKind))


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("117", "117", True),
        (" 117 ", "117", True),
        ("A-7", "a-7", True),
        ("A  7", "a 7", True),
        ("STRASSE", "straße", True),
        ("117", "0117", False),
        ("117", "117-1", False),
    ],
)
def test_job_numbers_compare_without_case_and_outer_spaces(one: str, other: str, same: bool) -> None:
    assert same_job(one, other) is same
    assert (job_key(one) == job_key(other)) is same
