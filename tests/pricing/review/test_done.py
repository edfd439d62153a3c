"""What counts of a closed job: what was last agreed, the last closing, all its bills, up to the last day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from quotekit.model.entries import BillLine, Comeback, Revision
from quotekit.model.review import Span
from quotekit.model.story import Story, Told
from quotekit.pricing.review.done import code_key, done_within, seen_until, work_done, work_not_done
from tests.pricing.review.stories import DAY, SEASON, a_closing, a_job, agreed_on, an_entry, done, told

D = Decimal
NEXT_DAY = DAY + timedelta(days=1)


@pytest.mark.parametrize(
    ("first", "last", "counts"),
    [
        (DAY, DAY, True),
        (DAY - timedelta(days=9), DAY - timedelta(days=1), False),
        (NEXT_DAY, NEXT_DAY, False),
    ],
)
def test_a_job_counts_by_the_day_of_closing(first: date, last: date, counts: bool) -> None:
    """Both ends are included; a job is in one span only."""
    assert (done_within(told(a_job()), Span(first=first, last=last)) is not None) is counts


@pytest.mark.parametrize(
    "job",
    [
        a_job(hours=None),
        a_job(accepted_on=None),
        a_job(declined=((DAY, "price", None),)),
    ],
    ids=["open", "never agreed", "refused altogether"],
)
def test_what_is_no_closed_job(job: object) -> None:
    """A job without closing, without a yes, or refused as a whole is reviewed nowhere."""
    assert done_within(told(job), SEASON) is None  # type: ignore[arg-type]


def test_the_last_yes_counts() -> None:
    """A supplement that was agreed to is what the job is held against."""
    job = a_job(later=(agreed_on("FIT 0.9"),))
    assert done(job).agreed.work[0].hours == D("0.9")
    assert done(job).changes == 1


def test_a_no_to_a_supplement_leaves_the_first_yes() -> None:
    """The work stays as agreed first."""
    job = a_job(declined=((DAY, "price", 2),))
    assert done(job).agreed.work[0].hours == D("0.5")


def test_a_revision_that_needed_no_yes_counts() -> None:
    """It is in force without one, and is a change of what was agreed."""
    story = told(a_job())
    changed = agreed_on("FIT 0.55")
    revision = Revision(
        of_version=1,
        tier="good",
        extras=(),
        before=D(50),
        after=D(55),
        threshold=D(10),
        needs_consent=False,
        agreed=changed,
    )
    later = Told(an_entry("issued", "117", 9, DAY, 2), replace(story.issued[0].body, revision=revision))
    found = done_within(replace(story, issued=(*story.issued, later)), SEASON)
    assert found is not None
    assert (found.agreed.work[0].hours, found.changes) == (D("0.55"), 1)


def test_the_last_closing_counts_as_a_whole() -> None:
    """A corrected work order takes the place of the first."""
    story = told(a_job())
    again = Told(an_entry("closed", "117", 50, DAY), a_closing("FIT 0.7"))
    found = done_within(replace(story, closed=(*story.closed, again)), SEASON)
    assert found is not None and [line.hours for line in found.closed.hours] == [D("0.7")]


@pytest.mark.parametrize(
    ("invoiced", "charged", "expected"),
    [("80", None, D(80)), (None, None, None), (None, "0", D(0)), (None, "0.5", None), ("25", "0.5", D(25))],
    ids=["billed", "not billed", "a free comeback", "a comeback at half, not billed", "a comeback at half"],
)
def test_what_was_invoiced(invoiced: str | None, charged: str | None, expected: Decimal | None) -> None:
    """Nothing is taken as zero but a comeback for which nothing is charged."""
    back = None if charged is None else Comeback(first_job="100", cause="part", charged=D(charged))
    assert done(a_job(invoiced=invoiced, comeback=back)).invoiced == expected


def test_bills_add_up() -> None:
    """A second bill holds what came later, not the whole again."""
    story = told(a_job(invoiced="80"))
    more = Told(an_entry("billed", "117", 60, DAY), replace(story.billed[0].body, subtotal=D(15)))
    found = done_within(replace(story, billed=(*story.billed, more)), SEASON)
    assert found is not None and found.invoiced == D(95)


def test_parts_that_stand_on_the_bill() -> None:
    """By the key of the line, compared without case; None where there is no bill."""
    lines = (
        BillLine(key="part:SEAL", text="Seal", amount=D(7)),
        BillLine(key="labour:MAIN", text="Labour", amount=D(50)),
    )
    assert done(a_job(bills=lines)).billed_parts == {code_key("seal")}
    assert done(a_job(invoiced=None)).billed_parts is None


@pytest.mark.parametrize(
    ("not_done", "left"),
    [("", ["FIT", "SEAL", "COVER"]), ("DO-FIT", ["SEAL", "COVER"]), ("FIT", ["SEAL", "COVER"]),
     ("DO-FIT; DO-SEAL", []), ("COVER", ["FIT", "SEAL"])],
)  # fmt: skip
def test_work_that_was_done(not_done: str, left: list[str]) -> None:
    """A step falls away with the last item that needs it; an operation by its own key or its item's."""
    job = a_job(work="FIT 0.5; SEAL 0.3; COVER 0.4 access for DO-FIT DO-SEAL", not_done=not_done)
    assert [work.key for work in work_done(done(job))] == left
    assert len(work_not_done(done(job))) == 3 - len(left)


def test_work_that_is_always_done_stays() -> None:
    """It belongs to no item."""
    job = a_job(work="FIT 0.5", not_done="DO-FIT")
    always = replace(job.agreed.work[0], key="TEST", code="TEST", users=())
    changed = replace(job, agreed=replace(job.agreed, work=(*job.agreed.work, always)))
    assert [work.key for work in work_done(done(changed))] == ["TEST"]


def test_later_entries_are_not_seen() -> None:
    """A review of May does not know what was billed in June."""
    story = told(a_job(issued_on=DAY, closed_on=NEXT_DAY))
    seen = seen_until(story, DAY)
    assert (len(seen.issued), len(seen.accepted), len(seen.closed), len(seen.billed)) == (1, 1, 0, 0)
    assert seen_until(story, NEXT_DAY) == story


def test_a_story_without_entries() -> None:
    """Nothing happened, nothing is reviewed."""
    assert done_within(Story(job="1"), SEASON) is None
