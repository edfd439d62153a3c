"""Bundle savings and the discount of any choice: on with all members, capped in the order of the book.

Operations take 0.5 h = 50.00; a seal sells at 15.00, a belt at 30.00.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quotekit.model.expression import total
from quotekit.model.job import Job
from quotekit.model.shop_book import Bundle, ShopBook
from quotekit.pricing.live.parts import live_parts
from quotekit.pricing.live.savings import bundle_flags, hours_off_of, live_savings
from tests import build
from tests.pricing.live.bench import a_bench


def shop(*bundles: Bundle, **values: Any) -> ShopBook:
    """Extras A (two seals) and B (a seal and a belt), and these bundles."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("OP-A", parts="SEAL x 2"), build.an_operation("OP-B", parts="SEAL; BELT")],
        "parts": [build.a_part("SEAL"), build.a_part("BELT", 20)],
        "extras": [build.an_extra("A", ["OP-A"]), build.an_extra("B", ["OP-B"])],
    }
    return build.a_book(bundles=list(bundles), **(named | values))


class Savings:
    """Savings in cents, by charge and in order, for any of some items, with so much labour and parts."""

    def __init__(self, book: ShopBook, *keys: str, job: Job | None = None, labour: int = 10000) -> None:
        self.bench = a_bench(book, *keys, job=job)
        working, work = self.bench.working, self.bench.work
        self.flags = bundle_flags(working, self.bench.taken)
        parts = working.step("parts in total", total(*(part.amount for part in live_parts(working, work))))
        self.savings = live_savings(working, work, self.flags, labour, parts)

    def __call__(self, *ticked: str) -> list[tuple[str, int]]:
        return [(saving.charge, self.bench.number(saving.amount, *ticked)) for saving in self.savings]


def bundle(saving: Any, value: str, *members: str, code: str = "PAIR", **values: Any) -> Bundle:
    """A saving for these extras, A and B unless told otherwise."""
    return build.a_bundle(code, list(members or ("A", "B")), saving, value, **values)


def test_it_is_on_only_with_all_its_members() -> None:
    savings = Savings(shop(bundle("labour amount off", "8")), "A", "B")
    assert savings("A") == savings("B") == savings() == [("labour", 0)]
    assert savings("A", "B") == [("labour", 800)]


def test_a_member_counts_on_any_side() -> None:
    book = shop(
        bundle("labour amount off", "8", "HUB"),
        operations=[build.an_operation("OP-HUB", each_side=True)],
        extras=[build.an_extra("HUB", ["OP-HUB"])],
    )
    savings = Savings(book, "HUB@left", "HUB@right")
    assert savings("HUB@left") == savings("HUB@right") == savings("HUB@left", "HUB@right") == [("labour", 800)]


def test_an_operation_of_a_members_name_is_no_member() -> None:
    """A plan may take an operation by itself; bundles are of remedies and extras."""
    book = shop(bundle("labour amount off", "8", "OP-A"))
    assert Savings(book, "OP-A").flags == []


def test_a_bundle_that_no_choice_completes_is_left_out() -> None:
    assert Savings(shop(bundle("labour amount off", "8", "A", "ELSE")), "A", "B").savings == []


@pytest.mark.parametrize(
    ("dates", "counts"),
    [
        ({}, True),
        ({"from_": date(2026, 3, 2), "to": date(2026, 3, 2)}, True),
        ({"from_": date(2026, 3, 3)}, False),
        ({"to": date(2026, 3, 1)}, False),
    ],
)
def test_a_dated_bundle_counts_from_its_first_to_its_last_day(dates: dict[str, Any], counts: bool) -> None:
    """The quote is of 2 March 2026."""
    savings = Savings(shop(bundle("labour amount off", "8", **dates)), "A", "B")
    assert savings("A", "B") == ([("labour", 800)] if counts else [])


def test_money_off_parts_is_never_more_than_the_parts() -> None:
    """Parts of A and B are 30.00 + 45.00 = 75.00: 80.00 off takes 75.00."""
    assert Savings(shop(bundle("parts amount off", "80")), "A", "B")("A", "B") == [("parts", 7500)]


def test_caps_are_chained_in_the_order_of_the_book() -> None:
    """Labour 100.00: FIRST takes 70.00, of SECOND's 50.00 there are 30.00 left; parts have a cap of their own."""
    book = shop(
        bundle("labour amount off", "70", code="SECOND-IN-TEXT"),
        bundle("parts amount off", "10", code="PARTS"),
        bundle("labour amount off", "50", "A", code="FIRST-IN-TEXT"),
    )
    savings = Savings(book, "A", "B")
    assert savings("A", "B") == [("labour", 7000), ("parts", 1000), ("labour", 3000)]
    assert savings("A") == [("labour", 0), ("parts", 0), ("labour", 5000)]


def test_hours_off_are_no_saving_in_money() -> None:
    savings = Savings(shop(bundle("hours off", "0.3")), "A", "B")
    assert savings("A", "B") == []
    ((hours, flag),) = hours_off_of(savings.flags)
    assert str(hours) == "0.3"
    assert [savings.bench.number(flag, *keys) for keys in ((), ("A",), ("A", "B"))] == [0, 0, 1]


def test_percent_off_the_parts_its_members_bring() -> None:
    """3 seals at 45.00 and a belt at 30.00: 10 % of 75.00 = 7.50."""
    savings = Savings(shop(bundle("percent off parts", "0.10")), "A", "B")
    assert savings("A", "B") == [("parts", 750)]
    assert savings("A") == [("parts", 0)]


def test_percent_off_parts_rounds_half_up() -> None:
    """12.5 % of 15.00 + 30.00 = 5.625 -> 5.63."""
    savings = Savings(shop(bundle("percent off parts", "0.125", "B")), "A", "B")
    assert savings("B") == [("parts", 563)]


def test_percent_off_looks_at_parts_before_kits_and_only_at_its_members() -> None:
    """The kit (60.00) has the two seals of A in it, so they cost nothing; the bundle of A still counts their 30.00.

    B's parts do not count: B is no member.
    """
    book = shop(
        bundle("percent off parts", "0.10", "A", "K"),
        parts=[build.a_part("SEAL"), build.a_part("BELT", 20), build.a_part("KIT", 40, contains="SEAL x 2")],
        operations=[
            build.an_operation("OP-A", parts="SEAL x 2"),
            build.an_operation("OP-B", parts="SEAL; BELT"),
            build.an_operation("OP-K", parts="KIT"),
        ],
        extras=[build.an_extra("A", ["OP-A"]), build.an_extra("B", ["OP-B"]), build.an_extra("K", ["OP-K"])],
    )
    savings = Savings(book, "A", "B", "K")
    assert savings("A", "K") == savings("A", "B", "K") == [("parts", 900)]


def test_percent_off_leaves_always_work_and_own_parts_apart() -> None:
    """The seals are always fitted on this machine; the belt is the customer's own: nothing to take 10 % off."""
    book = shop(
        bundle("percent off parts", "0.10"), machines=[build.a_machine("WASHED", always=["OP-A"]), build.a_machine()]
    )
    always = build.a_job(machine_class="WASHED")
    assert Savings(book, "A", "B", job=always)("A", "B") == [("parts", 450)]
    own = build.a_job(machine_class="WASHED", own_parts=("BELT",))
    assert Savings(book, "A", "B", job=own)("A", "B") == [("parts", 150)]


def test_percent_off_counts_what_the_members_access_brings_once() -> None:
    """Both open the cover, with a gasket at 15.00: 10 % of one."""
    book = shop(
        bundle("percent off parts", "0.10"),
        access=[build.a_step("COVER", parts="GASKET")],
        operations=[build.an_operation("OP-A", access=["COVER"]), build.an_operation("OP-B", access=["COVER"])],
        parts=[build.a_part("GASKET")],
    )
    assert Savings(book, "A", "B")("A", "B") == [("parts", 150)]


def test_percent_off_leaves_access_of_the_always_work_apart() -> None:
    """Washing always opens the cover: its gasket at 15.00 is nobody's; the guard's clip at 7.50 is the members'."""
    book = shop(
        bundle("percent off parts", "0.10"),
        access=[build.a_step("COVER", parts="GASKET"), build.a_step("GUARD", parts="CLIP")],
        operations=[
            build.an_operation("OP-A", access=["COVER"]),
            build.an_operation("OP-B", access=["COVER", "GUARD"]),
            build.an_operation("WASH", access=["COVER"]),
        ],
        parts=[build.a_part("GASKET"), build.a_part("CLIP", 5)],
        machines=[build.a_machine("WASHED", always=["WASH"]), build.a_machine()],
    )
    assert Savings(book, "A", "B")("A", "B") == [("parts", 225)]
    assert Savings(book, "A", "B", job=build.a_job(machine_class="WASHED"))("A", "B") == [("parts", 75)]


def test_percent_off_of_a_member_done_by_larger_work() -> None:
    """OVERHAUL includes the work of A: the two seals of A are not brought, so B's 45.00 alone count."""
    book = shop(
        bundle("percent off parts", "0.10"),
        operations=[
            build.an_operation("OP-A", parts="SEAL x 2"),
            build.an_operation("OP-B", parts="SEAL; BELT"),
            build.an_operation("OVERHAUL", includes=["OP-A"]),
        ],
    )
    savings = Savings(book, "A", "B", "OVERHAUL")
    assert savings("A", "B") == [("parts", 750)]
    assert savings("A", "B", "OVERHAUL") == [("parts", 450)]


def test_the_discount_is_of_what_bundles_left_and_rounded_once_a_charge() -> None:
    """Labour 100.00 - 70.00 = 30.00, parts 75.00: 3.3 % are 0.99 and 2.475 -> 2.48; without the bundle 3.30."""
    job = build.a_job(discount_percent="0.033")
    savings = Savings(shop(bundle("labour amount off", "70")), "A", "B", job=job)
    assert savings("A", "B") == [("labour", 7000), ("labour", 99), ("parts", 248)]
    assert savings("B") == [("labour", 0), ("labour", 330), ("parts", 149)]


def test_a_discount_of_everything() -> None:
    savings = Savings(shop(), "A", "B", job=build.a_job(discount_percent="1"))
    assert savings("A", "B") == [("labour", 10000), ("parts", 7500)]
