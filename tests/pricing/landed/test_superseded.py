"""Numbers that the shop book of today replaces: the newer is bought, the older counts and is used up."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.landed.build_order import OrderPlan, build_order
from quotekit.pricing.landed.open_needs import JobToOrder
from quotekit.pricing.landed.stock import Stock, stock_of
from quotekit.pricing.landed.superseded import final_number, numbers_of
from tests.build import a_part
from tests.pricing.landed.jobs import DAY, agreed, shop, to_order
from tests.pricing.landed.orders import a_line, a_move, an_order, entries


def today() -> ShopBook:
    """SEAL is replaced by SEAL-B, that by SEAL-C at 7.00 a pack of two."""
    parts = [
        a_part("SEAL", "6.40", 2, suppliers_number="N-1", replaced_by="SEAL-B"),
        a_part("SEAL-B", "6.60", 2, suppliers_number="N-1B", replaced_by="SEAL-C"),
        a_part("SEAL-C", "7.00", 2, suppliers_number="N-1C"),
    ]
    return shop(parts=[*parts, *(part for code, part in shop().parts.items() if code != "SEAL")])


@pytest.mark.parametrize(
    ("part", "final"), [("SEAL", "SEAL-C"), ("SEAL-B", "SEAL-C"), ("SEAL-C", "SEAL-C"), ("X", "X")]
)
def test_the_chain_is_followed_to_its_end(part: str, final: str) -> None:
    assert final_number(part, today()) == final


def test_all_numbers_of_a_part() -> None:
    assert numbers_of("SEAL-C", today()) == ["SEAL-C", "SEAL", "SEAL-B"]
    assert numbers_of("BELT", today()) == ["BELT"]


def plan(*jobs: JobToOrder, stock: Stock | None = None) -> OrderPlan:
    return build_order(jobs, stock or Stock(), today(), DAY)


def told(plan: OrderPlan) -> tuple[dict[str, dict[str, Decimal]], dict[tuple[str, str], Decimal]]:
    """Units by part bought and job, and by part and job from the shelf."""
    if plan.ordered is None:
        return {}, {}
    lines = {line.part: dict(line.jobs) for line in plan.ordered.lines}
    return lines, {(take.part, take.job): take.quantity for take in plan.ordered.shelf}


def test_the_newer_number_is_bought_and_told() -> None:
    """One pack for both jobs: one was agreed with the old number, one with the new."""
    newer = to_order("118", agreed(**{"SEAL-C": 1}), book=today())
    found = plan(to_order("117", agreed(SEAL=1)), newer)
    assert told(found) == ({"SEAL-C": {"117": 1, "118": 1}}, {})
    assert found.ordered is not None and found.ordered.lines[0].suppliers_number == "N-1C"
    assert [note.code for note in found.notes].count("part-superseded") == 1
    assert "SEAL was agreed and is replaced by SEAL-C: that is ordered." in [note.message for note in found.notes]


def test_what_is_there_under_the_older_number_is_used_up_first() -> None:
    """Under the number it lies there by, so that the count of the shelf is right."""
    stock = stock_of(entries(a_move("SEAL", 1)))
    assert told(plan(to_order("117", agreed(SEAL=3)), stock=stock)) == ({"SEAL-C": {"117": 2}}, {("SEAL", "117"): 1})


def test_what_was_ordered_under_the_older_number_counts() -> None:
    """Two seals came as SEAL before the number changed; a change needs three: one SEAL-C is bought."""
    stock = stock_of(entries(an_order(a_line("SEAL", packs=1, pack=2, needed=2))))
    assert told(plan(to_order("117", agreed(SEAL=3)), stock=stock))[0] == {"SEAL-C": {"117": 1}}
    assert told(plan(to_order("117", agreed(**{"SEAL-C": 2}), book=today()), stock=stock)) == ({}, {})


def test_less_agreed_than_ordered_under_either_number_is_told() -> None:
    stock = stock_of(entries(an_order(a_line("SEAL", packs=1, pack=2, needed=2))))
    notes = plan(to_order("117", agreed(**{"SEAL-C": 1}), book=today()), stock=stock).notes
    assert [note.message for note in notes if note.code == "part-not-agreed-now"] == [
        "Ordered for job 117 and no longer agreed: 1 of SEAL."
    ]
