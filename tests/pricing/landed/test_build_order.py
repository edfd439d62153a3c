"""Whole orders of accepted jobs: shelf, packs, suppliers, what is left over, what the shop should know."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.entries import Ordered
from quotekit.model.record_json import from_json, to_json
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.landed.build_order import OrderPlan, build_order
from quotekit.pricing.landed.open_needs import JobToOrder
from quotekit.pricing.landed.stock import stock_of
from tests.build import a_job, a_one_off, a_part, a_supplier
from tests.pricing.landed.jobs import DAY, agreed, shop, to_order
from tests.pricing.landed.orders import a_line, a_move, an_order, came, entries

BOOK = shop()


def planned(*jobs: JobToOrder, so_far: tuple[Any, ...] = (), book: ShopBook = BOOK, day: date = DAY) -> OrderPlan:
    return build_order(jobs, stock_of(entries(*so_far)), book, day)


def an_order_of(*jobs: JobToOrder, so_far: tuple[Any, ...] = (), book: ShopBook = BOOK) -> Ordered:
    ordered = planned(*jobs, so_far=so_far, book=book).ordered
    assert ordered is not None
    return ordered


def packs(ordered: Ordered) -> list[tuple[str, str, int, dict[str, str], str]]:
    return [
        (
            line.part,
            line.supplier,
            line.packs,
            {job: f"{units}" for job, units in line.jobs.items()},
            f"{line.left_over}",
        )
        for line in ordered.lines
    ]


def test_two_jobs_share_an_order() -> None:
    """Three seals: a pack of five from AXLE, 15.00 with its extra freight, against 12.80 + 1.00 + 11.95 from NORTH."""
    ordered = an_order_of(to_order("117"), to_order("118", agreed(SEAL=1)))
    assert packs(ordered) == [("SEAL", "AXLE", 1, {"117": "2", "118": "1"}, "2")]
    assert (f"{ordered.landed}", f"{ordered.usual}", ordered.proven) == ("15.00", "25.75", True)
    assert ordered.bound == ordered.landed
    (supplier,) = ordered.suppliers
    assert (supplier.name, supplier.goods, supplier.freight, supplier.fee) == (
        "Axle",
        Decimal("14.50"),
        Decimal("0.50"),
        0,
    )


def test_everything_a_line_says() -> None:
    (line,) = an_order_of(to_order()).lines
    assert (line.suppliers_number, line.pack_quantity, line.pack_cost, line.amount) == (
        "A-1",
        5,
        Decimal("14.50"),
        Decimal("14.50"),
    )
    assert (line.needed, line.left_over, line.lead_days, line.extra_freight, line.unit) == (
        2,
        3,
        3,
        Decimal("0.50"),
        "each",
    )
    assert an_order_of(to_order(what=agreed(BELT=1))).lines[0].returnable is False


def test_where_it_is_not_bought_as_usual() -> None:
    """AXLE in place of NORTH for the seal; the belt as ever."""
    lines = an_order_of(
        to_order(what=agreed(SEAL=2, BELT=1)),
        book=shop(
            suppliers=[a_supplier("NORTH", freight=Decimal(1)), a_supplier("AXLE"), a_supplier("SHELF", shelf=True)]
        ),
    ).lines
    elsewhere = an_order_of(to_order()).lines
    assert [(line.part, line.supplier, line.instead_of) for line in (*lines, *elsewhere)] == [
        ("BELT", "NORTH", ""),
        ("SEAL", "NORTH", ""),
        ("SEAL", "AXLE", "NORTH"),
    ]


def test_old_prices_are_told_together() -> None:
    """Ninety days are in order, ninety-one are not; a price without a day says nothing."""
    parts = [
        a_part("SEAL", "6.40", 2, cost_date=date(2026, 8, 28)),
        a_part("BELT", "11.80", cost_date=date(2026, 8, 27)),
        a_part("CABLE", "9.40"),
    ]
    plan = planned(to_order(what=agreed(SEAL=1, BELT=1, CABLE=1)), book=shop(parts=parts, offers=()))
    assert [(note.code, note.message) for note in plan.notes] == [
        ("order-price-old", "Prices more than 90 days old: BELT from NORTH (2026-08-27).")
    ]


def test_the_shelf_first() -> None:
    """What orders left over is used before anything is bought; what was never counted is taken as there."""
    ordered = an_order_of(
        to_order("117", agreed(SEAL=2, COTTER=6)), to_order("118", agreed(SEAL=2)), so_far=(a_move("SEAL", 3),)
    )
    assert [(take.part, take.job, f"{take.quantity}") for take in ordered.shelf] == [
        ("COTTER", "117", "6"),
        ("SEAL", "117", "2"),
        ("SEAL", "118", "1"),
    ]
    assert packs(ordered) == [("SEAL", "AXLE", 1, {"118": "1"}, "4")]


def test_only_from_the_shelf_is_an_order_too() -> None:
    """It is what tells that the parts are taken."""
    ordered = an_order_of(to_order(), so_far=(a_move("SEAL", 3),))
    assert (ordered.lines, ordered.suppliers, ordered.landed, ordered.usual) == ((), (), 0, 0)
    assert len(ordered.shelf) == 1


def test_what_is_on_its_way_is_used_where_it_is_in_time() -> None:
    """Three of four seals of an older order are left over; they come on Tuesday, 1 December."""
    older = an_order(a_line("SEAL", needed=1, jobs={"99": Decimal(1)}))
    assert an_order_of(to_order(), so_far=(older,)).lines == ()
    in_a_hurry = to_order(by=date(2026, 11, 30))
    assert packs(an_order_of(in_a_hurry, so_far=(older,))) == [("SEAL", "NORTH", 1, {"117": "2"}, "0")]
    assert an_order_of(in_a_hurry, so_far=(older, came(1, 1, 1))).lines == ()


def test_counted_stock_that_is_short_stays_open() -> None:
    """Four of six cotters are there and nobody else sells them: four are taken, two stay open, and that is told."""
    job = to_order(what=agreed(COTTER=6))
    plan = planned(job, so_far=(a_move("COTTER", 4),))
    assert plan.ordered is not None
    assert [f"{take.quantity}" for take in plan.ordered.shelf] == ["4"]
    assert [(note.code, note.message) for note in plan.notes] == [
        ("shelf-short", "Job 117 needs 2 of COTTER that the shelf has not, and nobody offers it.")
    ]
    again = planned(job, so_far=(a_move("COTTER", 4), plan.ordered))
    assert (again.ordered, [note.code for note in again.notes]) == (None, ["shelf-short"])


def test_nothing_needed_is_no_order() -> None:
    first = an_order_of(to_order())
    assert planned(to_order(), so_far=(first,)) == OrderPlan(ordered=None)
    assert planned() == OrderPlan(ordered=None)
    assert planned(to_order(what=agreed(own_SEAL=2))).ordered is None


def test_a_revision_orders_only_what_is_new() -> None:
    first = an_order_of(to_order())
    ordered = an_order_of(to_order(what=agreed(SEAL=2, BELT=1)), so_far=(first,))
    assert packs(ordered) == [("BELT", "NORTH", 1, {"117": "1"}, "0")]
    assert ordered.jobs == ("117",)


def test_needed_by_is_kept_with_the_order() -> None:
    ordered = an_order_of(to_order("117", agreed(7, SEAL=1)), to_order("118", agreed(SEAL=1)))
    assert ordered.needed_by == {"117": date(2026, 12, 3)}


def test_late_parts_of_a_job_are_told_together() -> None:
    """Promised for Thursday itself: both come later, on two days."""
    plan = planned(to_order(what=agreed(2, SEAL=1, BELT=1)))
    assert [(note.code, note.message) for note in plan.notes] == [
        ("part-too-late", "Job 117 needs BELT by 2026-11-26: the soonest is 2026-12-03."),
        ("part-too-late", "Job 117 needs SEAL by 2026-11-26: the soonest is 2026-11-30."),
    ]
    assert plan.notes[0].remedy == (
        "It is ordered where it comes soonest; tell the customer. The job's other parts may come by then too."
    )
    assert plan.ordered is not None
    assert packs(plan.ordered)[1][:2] == ("SEAL", "NORTH")


def test_the_other_parts_of_a_job_that_waits_may_wait_too() -> None:
    """The belt comes on 3 December whatever is done: so the seal may come then, which lands for less."""
    promised, named = (to_order(what=agreed(4, SEAL=5, BELT=1), by=by) for by in (None, date(2026, 12, 3)))
    book = shop(
        suppliers=[a_supplier("NORTH", lead_days=2), a_supplier("AXLE", lead_days=4), a_supplier("SHELF", shelf=True)]
    )
    sellers = [{line[0]: line[1] for line in packs(an_order_of(job, book=book))} for job in (promised, named)]
    assert sellers == [{"SEAL": "AXLE", "BELT": "NORTH"}] * 2


def test_a_lead_nobody_knows_is_told() -> None:
    book = shop(suppliers=[a_supplier("NORTH", lead_days=None)], offers=())
    plan = planned(to_order(what=agreed(3, SEAL=1)), book=book)
    assert [note.message for note in plan.notes] == [
        "Job 117 needs SEAL by 2026-11-27: no supplier says when it comes."
    ]


def test_a_one_off_part_without_a_cost_is_ordered_and_told() -> None:
    line = a_one_off(1, "part", 1, unit_price=20, supplier="NORTH")
    job = to_order(what=agreed(**{"ONEOFF-1": 1}), record=a_job(job_number="117", one_off=(line,)))
    plan = planned(job)
    assert plan.ordered is not None
    assert packs(plan.ordered) == [("Line 1 of 117", "NORTH", 1, {"117": "1"}, "0")]
    assert (plan.ordered.lines[0].cost_known, [note.code for note in plan.notes]) == (False, ["order-without-cost"])
    assert plan.ordered.landed == Decimal("11.95")


def test_where_the_usual_suppliers_cannot_be_that_is_kept() -> None:
    ordered = an_order_of(
        to_order(by=date(2026, 11, 27)), book=shop(suppliers=[a_supplier("NORTH"), a_supplier("AXLE", lead_days=1)])
    )
    assert (ordered.usual, ordered.usual_why) == (None, "SEAL from NORTH comes too late; it would land for 6.90")


def test_below_a_minimum_without_a_fee_the_shop_is_told_to_ask() -> None:
    """Nothing is charged, as in a quote; whether the supplier sends it is to be asked."""
    least = a_supplier("NORTH", minimum_order=Decimal(50))
    plan = planned(to_order(), book=shop(suppliers=[least], offers=()))
    assert [(note.code, note.message) for note in plan.notes] == [
        ("below-minimum", "North takes orders from 50.00; this one is 6.40.")
    ]
    with_fee = a_supplier("NORTH", minimum_order=Decimal(50), small_order_fee=Decimal(0))
    assert planned(to_order(), book=shop(suppliers=[with_fee], offers=())).notes == ()


def test_without_time_it_says_that_nothing_was_proved() -> None:
    plan = build_order([to_order()], stock_of([]), BOOK, DAY, seconds=0)
    assert plan.ordered is not None and not plan.ordered.proven
    assert [note.code for note in plan.notes] == ["order-not-proven"]
    assert plan.notes[0].message.endswith("It may be 15.00 above the least.")


def test_it_is_read_back_as_it_was_kept() -> None:
    ordered = an_order_of(to_order("117", agreed(7, SEAL=2, BELT=1, COTTER=6)))
    assert from_json(Ordered, to_json(ordered)) == ordered
