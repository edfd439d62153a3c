"""What a job still needs, and by when."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.entries import Ordered
from quotekit.model.landed import NEVER
from quotekit.pricing.landed.open_needs import JobToOrder, day_needed, no_longer_needed, open_needs
from quotekit.pricing.landed.stock import stock_of
from tests.build import a_job, a_part
from tests.pricing.landed.jobs import agreed, shop, to_order
from tests.pricing.landed.orders import a_line, a_take, an_order, entries


def needed(job: JobToOrder, *orders: Ordered) -> dict[str, str]:
    stock = stock_of(entries(*orders))
    return {one.need.part: f"{one.need.quantity}" for one in open_needs([job], stock, shop())}


def test_agreed_parts_but_the_customers_own() -> None:
    """What the customer brings is never ordered."""
    assert needed(to_order(what=agreed(SEAL=2, own_BELT=1))) == {"SEAL": "2"}


def test_ordered_twice_nothing_is_ordered_twice() -> None:
    """Packs on order and units from the shelf count, whoever typed the job's number in which capitals."""
    order = an_order(a_line("SEAL", needed=1, jobs={"A-7": Decimal(1)}), shelf=[a_take("SEAL", 1, "a-7")])
    assert needed(to_order("A-7", agreed(SEAL=2)), order) == {}
    assert needed(to_order("A-7", agreed(SEAL=5, BELT=1)), order) == {"SEAL": "3", "BELT": "1"}
    assert needed(to_order("117", agreed(SEAL=2)), order) == {"SEAL": "2"}


def test_a_job_with_its_own_row_needs_a_part_of_its_own() -> None:
    """What was ordered of the book's part is no help."""
    job = to_order(record=a_job(job_number="117", parts=[a_part("SEAL", "9.00", supplier="AXLE")]))
    assert needed(job, an_order(a_line("SEAL", needed=2, jobs={"117": Decimal(2)}))) == {"SEAL of 117": "2"}
    assert needed(job, an_order(a_line("seal  of 117", needed=2, jobs={"117": Decimal(2)}))) == {}


def test_less_agreed_than_ordered_is_told() -> None:
    """A revision that needs less leaves the shop with parts: it should know, and nothing is ordered."""
    order = an_order(a_line("SEAL", needed=3, jobs={"117": Decimal(3)}), a_line("BELT", needed=1))
    job = to_order(what=agreed(SEAL=2))
    assert needed(job, order) == {}
    notes = no_longer_needed([job], stock_of(entries(order)), job.book)
    assert [(note.code, note.message) for note in notes] == [
        ("part-not-agreed-now", "Ordered for job 117 and no longer agreed: 1 of BELT."),
        ("part-not-agreed-now", "Ordered for job 117 and no longer agreed: 1 of SEAL."),
    ]
    assert no_longer_needed([to_order("118")], stock_of(entries(order)), job.book) == []


@pytest.mark.parametrize(
    ("ready_days", "by", "expected"),
    [
        (5, None, date(2026, 12, 1)),
        (2, None, date(2026, 11, 26)),
        (0, None, date(2026, 11, 24)),
        (None, None, NEVER),
        (5, date(2027, 1, 4), date(2027, 1, 4)),
        (5, NEVER, NEVER),
    ],
)
def test_by_when(ready_days: int | None, by: date | None, expected: date) -> None:
    """Yes on Thursday, two days of queue: ready in five working days needs the parts in three."""
    job = to_order(what=agreed(ready_days, SEAL=1), by=by)
    assert day_needed(job) == expected
    assert [one.need.by for one in open_needs([job], stock_of([]), shop())] == [expected]
