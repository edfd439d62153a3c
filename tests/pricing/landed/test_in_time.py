"""Which packs are in time, and what must come by when after what is there already."""

from __future__ import annotations

from datetime import date

import pytest

from quotekit.model.landed import NEVER
from quotekit.pricing.landed.in_time import covers_of, is_covered, late_needs, soonest_day
from tests.pricing.landed.orders import DAY, FRIDAY, MONDAY, TUESDAY, a_lot, a_need, a_task, an_offer, number

SLOW, QUICK = an_offer("SEAL", lead_days=3), an_offer("SEAL", "AXLE", lead_days=1)


def asked(needs: list[object], offers: list[object], lots: list[object] = []) -> list[tuple[str, list[str]]]:  # noqa: B006
    task = a_task(needs, offers, (), lots)  # type: ignore[arg-type]
    return [(f"{cover.units}", [offer.supplier for offer in cover.offers]) for cover in covers_of(task)]


def test_a_supplier_that_is_too_late_is_not_asked() -> None:
    """The slow one sends by Tuesday: it may serve the need of Tuesday, not that of Friday."""
    needs = [a_need("SEAL", 2, by=FRIDAY), a_need("SEAL", 3, "118", by=TUESDAY)]
    assert asked(needs, [SLOW, QUICK]) == [("2", ["AXLE"]), ("5", ["NORTH", "AXLE"])]


def test_the_shelf_serves_the_first_day() -> None:
    needs = [a_need("SEAL", 2, by=FRIDAY), a_need("SEAL", 3, "118", by=TUESDAY)]
    assert asked(needs, [SLOW, QUICK], [a_lot("SEAL", 2)]) == [("3", ["NORTH", "AXLE"])]
    assert asked(needs, [SLOW, QUICK], [a_lot("SEAL", 4, MONDAY)]) == [("2", ["AXLE"]), ("1", ["NORTH", "AXLE"])]
    assert asked(needs, [SLOW, QUICK], [a_lot("SEAL", 5)]) == []


def test_where_nobody_is_in_time_the_soonest_is() -> None:
    """Both send after Thursday: the need of Thursday waits for the quick one, and that is told."""
    needs = [a_need("SEAL", 2, by=DAY)]
    assert asked(needs, [SLOW, QUICK]) == [("2", ["AXLE"])]
    (late,) = late_needs(a_task(needs, [SLOW, QUICK]))
    assert (late.need.by, late.there) == (DAY, FRIDAY)


def test_no_warning_where_the_shelf_has_enough() -> None:
    assert late_needs(a_task([a_need("SEAL", 2, by=DAY)], [SLOW], lots=[a_lot("SEAL", 2)])) == []
    assert late_needs(a_task([a_need("SEAL", 2)], [SLOW])) == []


def test_only_the_need_the_shelf_does_not_reach_is_late() -> None:
    """One on the shelf: the first job of the day gets it, the second waits."""
    needs = [a_need("SEAL", 1, "118", by=DAY), a_need("SEAL", 1, "117", by=DAY)]
    late = late_needs(a_task(needs, [SLOW], lots=[a_lot("SEAL", 1)]))
    assert [one.need.job for one in late] == ["118"]


@pytest.mark.parametrize("by", [NEVER, DAY])
def test_lead_days_that_nobody_knows(by: date) -> None:
    """Such a supplier is asked where there is no day, or nobody else; never where another is in time."""
    unknown = an_offer("SEAL", lead_days=None)
    assert asked([a_need("SEAL", by=by)], [unknown]) == [("1", ["NORTH"])]
    assert asked([a_need("SEAL", by=FRIDAY)], [unknown, QUICK]) == [("1", ["AXLE"])]
    late = late_needs(a_task([a_need("SEAL", by=DAY)], [unknown]))
    assert [one.there for one in late] == [None]


def test_a_part_that_nobody_sells_asks_for_nothing() -> None:
    """It stays open; the order of the other parts is none the worse."""
    assert asked([a_need("SEAL"), a_need("BELT")], [an_offer("BELT")]) == [("1", ["NORTH"])]
    assert soonest_day(a_task([], []), []) == DAY


def test_units_in_packs_count_by_quantity() -> None:
    task = a_task([a_need("SEAL", "2.5")], [an_offer("SEAL", pack=2)])
    (offer,) = task.offers
    assert [is_covered(covers_of(task), {offer: packs}) for packs in (0, 1, 2)] == [False, False, True]
    assert covers_of(task)[0].units == number("2.5")
