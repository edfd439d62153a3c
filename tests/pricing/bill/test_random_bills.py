"""Random jobs billed after random stories, by the engine and by a second implementation in fractions.

`python -m tests.pricing.bill.random_bills 2000 0` compares thousands.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.pricing.bill.make_bill import bill_of_work
from quotekit.pricing.bill.to_bill import WorkToBill
from tests.pricing.bill.cases import Drawn, again, bill, closed, drawn
from tests.pricing.bill.random_bills import compare

JOBS, BATCH = 100, 50
MET = ("bills", "comeback", "core-back", "held", "inspection-credit", "money back", "parts-beyond-consent", "tax back")
"""What the jobs of these seeds hold: a comparison that never met it would say nothing of it."""


@pytest.fixture(scope="module")
def jobs() -> list[Drawn]:
    return list(drawn(range(60)))


def test_bills_are_those_of_the_second_implementation() -> None:
    """Subtotal, each tax, total, due and money back, of two bills after one another, some after a billed no."""
    wrong: list[str] = []
    met: set[str] = set()
    for first in range(0, JOBS, BATCH):
        found = compare(range(first, first + BATCH))
        wrong += found.wrong
        met |= set(found.seen)
    assert wrong == []
    assert set(MET) <= met


def test_all_done_as_agreed_is_billed_as_quoted(jobs: list[Drawn]) -> None:
    """Nothing is worked out a second way that could differ: to the cent, tax by tax, with any extras taken."""
    assert len(jobs) > 30
    for one in jobs:
        made, problems = bill_of_work(one.to_bill())
        assert made is not None and problems == [], one.seed
        quoted = tuple((line.tax, line.base, line.amount) for line in one.tier.taxes)
        assert (made.subtotal, made.taxes, made.total) == (one.tier.subtotal, quoted, one.tier.total), one.seed


def test_billed_twice_is_nothing_new(jobs: list[Drawn]) -> None:
    for one in jobs:
        facts = one.to_bill()
        assert bill_of_work(again(facts, bill(facts))) == (None, []), one.seed


def test_lines_add_up_and_dues_are_never_below_zero(jobs: list[Drawn]) -> None:
    for one in jobs:
        for paid in (0, 40, 5000):
            made = bill(one.to_bill(payments=((None, "Paid", Decimal(paid)),)))
            assert sum(line.amount for line in made.lines) == made.subtotal
            assert made.total == made.subtotal + made.tax
            assert made.due - made.refund == made.total - paid
            assert made.due >= 0 and made.refund >= 0 and not (made.due and made.refund)


def test_no_item_left_out_makes_a_bill_dearer(jobs: list[Drawn]) -> None:
    """A saving lost or freight no longer free is the shop's, not the customer's: before tax and with tax."""
    tried = 0
    for one in jobs:
        facts = one.to_bill()
        for key in [item.key for item in facts.agreed.items]:
            made = _without(facts, key)
            if made is not None:
                tried += 1
                assert made[0] <= facts.agreed.subtotal and made[1] <= facts.agreed.total, (one.seed, key)
    assert tried > 30


def _without(facts: WorkToBill, key: str) -> tuple[Decimal, Decimal] | None:
    made, _ = bill_of_work(replace(facts, closed=closed(not_done=key)))
    return None if made is None else (made.subtotal, made.total)
