"""A job waits for its last part: its other parts need not be there sooner."""

from __future__ import annotations

from datetime import date

import pytest

from quotekit.model.landed import NEVER
from quotekit.pricing.landed.waiting import waiting_together
from tests.pricing.landed.orders import DAY, FRIDAY, MONDAY, TUESDAY, a_lot, a_need, a_task, an_offer

SLOW_BELT = an_offer("BELT", lead_days=3)
"""There on Tuesday."""
SEAL = an_offer("SEAL", lead_days=1)
"""There on Friday."""


@pytest.mark.parametrize(
    ("by", "seal", "belt"),
    [(FRIDAY, TUESDAY, TUESDAY), (MONDAY, TUESDAY, TUESDAY), (TUESDAY, TUESDAY, TUESDAY), (NEVER, NEVER, NEVER)],
)
def test_what_comes_too_late_puts_off_the_whole_job(by: date, seal: date, belt: date) -> None:
    task = a_task([a_need("SEAL", by=by), a_need("BELT", by=by)], [SEAL, SLOW_BELT])
    assert [need.by for need in waiting_together(task).needs] == [seal, belt]


def test_another_job_keeps_its_day() -> None:
    task = a_task([a_need("SEAL", job="118", by=FRIDAY), a_need("BELT", job="117", by=DAY)], [SEAL, SLOW_BELT])
    assert [(need.job, need.by) for need in waiting_together(task).needs] == [("118", FRIDAY), ("117", TUESDAY)]


def test_the_last_of_several_late_parts_counts() -> None:
    later = an_offer("BEARING", lead_days=4)
    needs = [a_need("BEARING", by=DAY), a_need("BELT", by=DAY), a_need("SEAL", by=DAY)]
    days = {need.by for need in waiting_together(a_task(needs, [SEAL, SLOW_BELT, later])).needs}
    assert days == {date(2026, 12, 2)}


def test_what_is_on_the_shelf_or_has_no_known_day_puts_nothing_off() -> None:
    shelf = a_task([a_need("SEAL", by=FRIDAY), a_need("BELT", by=FRIDAY)], [SEAL, SLOW_BELT], lots=[a_lot("BELT", 1)])
    unknown = a_task([a_need("SEAL", by=FRIDAY), a_need("BELT", by=FRIDAY)], [SEAL, an_offer("BELT", lead_days=None)])
    assert [waiting_together(task) for task in (shelf, unknown)] == [shelf, unknown]
