"""Who gets what: the shelf first, then what comes in, for the need that is due first."""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.landed import OrderTask, Packs
from quotekit.pricing.landed.share import left_over, share_out
from tests.pricing.landed.orders import FRIDAY, MONDAY, TUESDAY, a_lot, a_need, a_task, an_offer

SLOW, QUICK = an_offer("SEAL", pack=4, lead_days=3), an_offer("SEAL", "AXLE", pack=2, lead_days=1)


def shared(task: OrderTask, *packs: Packs) -> list[tuple[str, str, str]]:
    return [
        (one.need.job, f"{one.quantity}", one.offer.supplier if one.offer else "shelf")
        for one in share_out(task, packs)
    ]


def test_the_worked_example() -> None:
    """Three on the shelf, two for Monday, two for Tuesday, a pack of four: one of it is used."""
    needs = [a_need("SEAL", 2, "118", by=TUESDAY), a_need("SEAL", 2, "117", by=MONDAY)]
    task, pack = a_task(needs, [SLOW], lots=[a_lot("SEAL", 3)]), Packs(offer=SLOW, packs=1)
    assert shared(task, pack) == [("117", "2", "shelf"), ("118", "1", "shelf"), ("118", "1", "NORTH")]
    assert left_over(pack, share_out(task, [pack])) == 3


def test_what_comes_sooner_serves_what_is_due_sooner() -> None:
    """Were the slow packs handed out first, the job of Friday would wait for them."""
    needs = [a_need("SEAL", 2, "119", by=FRIDAY), a_need("SEAL", 3, "117", by=TUESDAY)]
    task = a_task(needs, [SLOW, QUICK])
    packs = [Packs(offer=SLOW, packs=1), Packs(offer=QUICK, packs=1)]
    assert shared(task, *packs) == [("119", "2", "AXLE"), ("117", "3", "NORTH")]


def test_jobs_of_one_day_in_text_order() -> None:
    needs = [a_need("SEAL", 1, "118"), a_need("SEAL", 1, "117")]
    assert shared(a_task(needs, [QUICK]), Packs(offer=QUICK, packs=1)) == [("117", "1", "AXLE"), ("118", "1", "AXLE")]


def test_several_lots_of_the_shelf_are_one_take() -> None:
    task = a_task([a_need("SEAL", 3)], [], lots=[a_lot("SEAL", 1), a_lot("SEAL", "1.5"), a_lot("SEAL", 9, MONDAY)])
    assert shared(task) == [("117", "3.0", "shelf")]


def test_what_there_is_not_enough_of_stays_open() -> None:
    """The first job of a day is served whole; the other gets what is left, or nothing."""
    needs = [a_need("SEAL", 2, "117"), a_need("SEAL", 2, "118"), a_need("SEAL", 1, "119")]
    assert shared(a_task(needs, [], lots=[a_lot("SEAL", 3)])) == [("117", "2", "shelf"), ("118", "1", "shelf")]


def test_packs_nobody_needs_are_left_over_whole() -> None:
    task = a_task([a_need("SEAL", 1)], [QUICK])
    packs = Packs(offer=QUICK, packs=3)
    assert left_over(packs, share_out(task, [packs])) == Decimal(5)
