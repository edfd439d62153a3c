"""Hours and labour of any choice: access once, further positions, rust and its limit, rates, the minimum, hours off.

The labour rate MAIN is 100.00 an hour unless told otherwise, hours are billed in steps of 0.1.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.live.hours import live_labour
from tests import build
from tests.pricing.live.bench import a_bench

RUSTY = build.a_job(condition="RUSTY")


def shop(*operations: object, **values: Any) -> ShopBook:
    """A book with these operations, a cover of 0.2 + 0.3 h, and a second rate WELD at 120.00 an hour."""
    shop_settings = {name: values.pop(name) for name in ("hours_step", "minimum_labour_hours") if name in values}
    return build.a_book(
        operations=list(operations),
        access=[build.a_step("COVER")],
        settings=build.settings(**shop_settings),
        labour_rates=[build.a_rate(), build.a_rate("WELD", 120)],
        **values,
    )


class Labour:
    """Labour in cents for any of some items; `off` are hours that come off while something is ticked."""

    def __init__(self, book: ShopBook, *keys: str, job: Job | None = None, off: tuple[str, str] | None = None) -> None:
        self.bench = a_bench(book, *keys, job=job)
        given = [(Decimal(off[0]), self.bench.ticks[off[1]])] if off else []
        self.labour = live_labour(self.bench.working, self.bench.work, given)

    def __call__(self, *ticked: str) -> dict[str, int]:
        """Each labour line that is not zero."""
        lines = {**self.labour.rates, "minimum": self.labour.minimum}
        amounts = {name: self.bench.number(line, *ticked) for name, line in lines.items()}
        return {name: amount for name, amount in amounts.items() if amount}


def test_access_is_opened_and_charged_once() -> None:
    """0.4 + 0.5 of the cover = 0.9 h; with the belt 0.4 + 0.3 + 0.5 = 1.2 h, and not 1.7."""
    labour = Labour(
        shop(build.an_operation("BUSH", "0.4", access=["COVER"]), build.an_operation("BELT", "0.3", access=["COVER"])),
        "BUSH", "BELT",
    )  # fmt: skip
    assert labour("BUSH") == {"MAIN": 9000}
    assert labour("BELT") == {"MAIN": 8000}
    assert labour("BUSH", "BELT") == {"MAIN": 12000}
    assert labour() == {}


def test_hours_are_rounded_up_once_for_all_work() -> None:
    """0.42 h alone is billed as 0.5; twice 0.42 h is 0.84, billed as 0.9 and not as 1.0. A whole step stays."""
    labour = Labour(
        shop(build.an_operation("A", "0.42"), build.an_operation("B", "0.42"), build.an_operation("C", "0.06")),
        "A", "B", "C",
    )  # fmt: skip
    assert labour("A") == {"MAIN": 5000}
    assert labour("A", "B") == {"MAIN": 9000}
    assert labour("A", "B", "C") == {"MAIN": 9000}


def test_a_step_of_a_quarter_of_an_hour() -> None:
    """0.4 h is billed as 0.5 h, and 0.8 h as 1.0 h."""
    labour = Labour(shop(build.an_operation("A", "0.4"), build.an_operation("B", "0.4"), hours_step="0.25"), "A", "B")
    assert (labour("A"), labour("A", "B")) == ({"MAIN": 5000}, {"MAIN": 10000})


def test_the_second_side_takes_its_own_hours_whichever_side_is_first() -> None:
    """One bushing 0.6 h; the other 0.4 h more: 1.0 h together."""
    book = shop(build.an_operation("BUSH", "0.6", second_side_hours="0.4", each_side=True))
    labour = Labour(book, "BUSH@left", "BUSH@right")
    assert labour("BUSH@left") == labour("BUSH@right") == {"MAIN": 6000}
    assert labour("BUSH@left", "BUSH@right") == {"MAIN": 10000}


def test_every_further_position_takes_the_second_side_hours() -> None:
    """Four wheels: 0.5, then three times 0.2: 1.1 h; three of them 0.9 h."""
    sides = ("left front", "left rear", "right front", "right rear")
    book = shop(build.an_operation("HUB", "0.5", second_side_hours="0.2", each_side=True))
    keys = tuple(f"HUB@{side}" for side in sides)
    labour = Labour(book, *keys, job=build.a_job(positions=sides))
    assert [labour(*keys[:count]) for count in (1, 2, 3, 4)] == [
        {"MAIN": 5000}, {"MAIN": 7000}, {"MAIN": 9000}, {"MAIN": 11000},
    ]  # fmt: skip
    assert labour(keys[1], keys[3]) == {"MAIN": 7000}


def test_a_second_side_that_takes_longer() -> None:
    """0.5 h, and 0.7 h for the second, where the first is in the way."""
    book = shop(build.an_operation("BUSH", "0.5", second_side_hours="0.7", each_side=True))
    assert Labour(book, "BUSH@left", "BUSH@right")("BUSH@left", "BUSH@right") == {"MAIN": 12000}


def test_two_labour_rates_are_rounded_up_each_for_itself() -> None:
    """MAIN 0.42 h -> 0.5 h = 50.00; WELD 0.42 h -> 0.5 h at 120.00 = 60.00."""
    book = shop(build.an_operation("A", "0.42"), build.an_operation("B", "0.42", labour="WELD"))
    labour = Labour(book, "A", "B")
    assert labour("A", "B") == {"MAIN": 5000, "WELD": 6000}
    assert labour("B") == {"WELD": 6000}


def test_the_jobs_own_rate_takes_the_place_of_the_usual() -> None:
    """0.5 h at 120.00."""
    labour = Labour(shop(build.an_operation("A", "0.5")), "A", job=build.a_job(labour_rate="WELD"))
    assert labour("A") == {"WELD": 6000}


def test_a_rate_with_more_digits_than_the_currency() -> None:
    """0.3 h at 33.335 an hour = 10.0005, rounded half up to 10.00; 0.5 h = 16.6675 -> 16.67."""
    book = build.a_book(
        operations=[build.an_operation("A", "0.3"), build.an_operation("B", "0.2")],
        labour_rates=[build.a_rate(rate="33.335")],
    )
    labour = Labour(book, "A", "B")
    assert labour("A") == {"MAIN": 1000}
    assert labour("A", "B") == {"MAIN": 1667}


@pytest.mark.parametrize(("currency", "amount"), [("JPY", 50), ("USD", 5000), ("KWD", 50000)])
def test_labour_in_minor_units_of_the_currency(currency: str, amount: int) -> None:
    """Half an hour at 100 an hour is 50, in currencies without, with two and with three decimals."""
    book = build.a_book(operations=[build.an_operation("A", "0.5")], settings=build.settings(currency=currency))
    assert Labour(book, "A")("A") == {"MAIN": amount}


def rusty_shop(limit: str | None, **values: Any) -> ShopBook:
    """25 % on what rust slows: A 1.0 h and B 1.0 h (welded); the cover and C are not slowed."""
    return shop(
        build.an_operation("A", 1, slowed_by_rust=True),
        build.an_operation("B", 1, slowed_by_rust=True, labour="WELD"),
        build.an_operation("C", 1, access=["COVER"]),
        conditions=[build.a_condition(at_most_hours=limit)],
        **values,
    )


def test_rust_makes_slowed_work_longer_and_no_other() -> None:
    """A: 1.0 + 0.25 = 1.25 -> 1.3 h. With C and the cover 1.0 + 0.5 more: 2.75 -> 2.8 h."""
    labour = Labour(rusty_shop(None), "A", "B", "C", job=RUSTY)
    assert labour("A") == {"MAIN": 13000}
    assert labour("C") == {"MAIN": 15000}
    assert labour("A", "C") == {"MAIN": 28000}


def test_the_allowance_to_the_minute() -> None:
    """In steps of 0.01 h: 1.0 + 0.25 = 1.25 h; with the weld and a limit of 0.3 h, 1.0 + 0.15 = 1.15 h each."""
    assert Labour(rusty_shop(None, hours_step="0.01"), "A", job=RUSTY)("A") == {"MAIN": 12500}
    limited = Labour(rusty_shop("0.3", hours_step="0.01"), "A", "B", job=RUSTY)
    assert limited("A") == {"MAIN": 12500}
    assert limited("A", "B") == {"MAIN": 11500, "WELD": 13800}


def test_an_allowance_with_three_decimals() -> None:
    """12.5 % of 1.0 h, in steps of 0.001 h: 1.125 h = 112.50."""
    book = shop(
        build.an_operation("A", 1, slowed_by_rust=True), conditions=[build.a_condition(allowance="0.125")],
        hours_step="0.001",
    )  # fmt: skip
    assert Labour(book, "A", job=RUSTY)("A") == {"MAIN": 11250}


def test_without_the_condition_nothing_is_added() -> None:
    assert Labour(rusty_shop(None), "A", "B")("A", "B") == {"MAIN": 10000, "WELD": 12000}


def test_the_limit_of_the_allowance_holds_for_the_job_and_is_split_over_the_rates() -> None:
    """A alone: 0.25 h is below the limit of 0.3: 1.25 -> 1.3 h. A and B: 0.5 h would be more, so 0.3 h,
    half to each rate: 1.15 -> 1.2 h of MAIN and of WELD at 120.00 = 144.00."""
    labour = Labour(rusty_shop("0.3"), "A", "B", job=RUSTY)
    assert labour("A") == {"MAIN": 13000}
    assert labour("A", "B") == {"MAIN": 12000, "WELD": 14400}


def test_the_allowance_at_its_limit_exactly() -> None:
    """0.25 of 2.0 h is 0.5 h, which the limit of 0.5 still allows: 1.25 -> 1.3 h each."""
    labour = Labour(rusty_shop("0.5"), "A", "B", job=RUSTY)
    assert labour("A", "B") == {"MAIN": 13000, "WELD": 15600}


def test_a_split_that_is_no_decimal() -> None:
    """Limit 0.2 h over 1.0 h of MAIN and 0.5 h of WELD: 0.1333... and 0.0666...: billed 1.2 and 0.6 h.

    A limit of 0.15 h gives 0.1 and 0.05 exactly: 1.1 h is a whole step and stays; 0.55 -> 0.6 h.
    """
    operations = (
        build.an_operation("A", 1, slowed_by_rust=True),
        build.an_operation("B", "0.5", slowed_by_rust=True, labour="WELD"),
    )
    for limit, expected in (("0.2", {"MAIN": 12000, "WELD": 7200}), ("0.15", {"MAIN": 11000, "WELD": 7200})):
        book = shop(*operations, conditions=[build.a_condition(at_most_hours=limit)])
        assert Labour(book, "A", "B", job=RUSTY)("A", "B") == expected


def test_a_limit_of_no_hours_adds_none() -> None:
    assert Labour(rusty_shop("0"), "A", job=RUSTY)("A") == {"MAIN": 10000}


def test_hours_to_the_minimum_are_a_line_at_the_usual_rate() -> None:
    """Minimum 1.0 h: A 0.4 h -> 0.6 h are missing. With B 0.4 + 0.3 h -> 0.3 h. With the weld 1.2 h: none."""
    book = shop(
        build.an_operation("A", "0.4"),
        build.an_operation("B", "0.3"),
        build.an_operation("W", "0.8", labour="WELD"),
        minimum_labour_hours=1,
    )
    labour = Labour(book, "A", "B", "W")
    assert labour("A") == {"MAIN": 4000, "minimum": 6000}
    assert labour("A", "B") == {"MAIN": 7000, "minimum": 3000}
    assert labour("A", "W") == {"MAIN": 4000, "WELD": 9600}
    assert labour("W") == {"WELD": 9600, "minimum": 2000}


def test_the_minimum_looks_at_billed_hours() -> None:
    """0.92 h is billed as 1.0 h, so nothing is missing."""
    assert Labour(shop(build.an_operation("A", "0.92"), minimum_labour_hours=1), "A")("A") == {"MAIN": 10000}


def test_hours_off_come_before_rounding_up() -> None:
    """0.42 + 0.42 h less 0.2 h = 0.64 h -> 0.7 h."""
    book = shop(build.an_operation("A", "0.42"), build.an_operation("B", "0.42"))
    labour = Labour(book, "A", "B", off=("0.2", "B"))
    assert labour("A") == {"MAIN": 5000}
    assert labour("A", "B") == {"MAIN": 7000}


def test_hours_off_never_go_below_zero() -> None:
    assert Labour(shop(build.an_operation("A", "0.4")), "A", off=("2", "A"))("A") == {}


def test_hours_off_come_from_the_usual_rate_alone() -> None:
    """0.5 h of MAIN less 0.3 h; the weld keeps its 0.5 h. Without work at the usual rate nothing comes off."""
    book = shop(build.an_operation("A", "0.5"), build.an_operation("W", "0.5", labour="WELD"))
    labour = Labour(book, "A", "W", off=("0.3", "W"))
    assert labour("A", "W") == {"MAIN": 2000, "WELD": 6000}
    assert labour("W") == {"WELD": 6000}


def test_hours_off_of_work_slowed_by_rust_at_its_limit() -> None:
    """1.0 h and the limit of 0.1 h, less 0.35 h = 0.75 h -> 0.8 h."""
    labour = Labour(rusty_shop("0.1"), "A", job=RUSTY, off=("0.35", "A"))
    assert labour("A") == {"MAIN": 8000}


def test_a_one_off_line_brings_its_hours_and_access() -> None:
    """1.5 h welded behind the cover, which is opened at the usual rate: 180.00 and 0.5 h = 50.00."""
    line = build.a_one_off(quantity="1.5", labour="WELD", access=["COVER"])
    labour = Labour(shop(), "ONEOFF-1", job=build.a_job(one_off=(line,)))
    assert labour("ONEOFF-1") == {"MAIN": 5000, "WELD": 18000}
