"""Fair shares as trees (rules 5.6): hours by who needs the work, money by hours, the cent to the largest remainder."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.explain.split import rounded_toward_zero
from quotekit.pricing.explain.told import leaf
from tests.build import a_condition, a_finding, a_one_off, a_remedy, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_rules, assert_said, job_of


def shared(**values: Any) -> ShopBook:
    """Two repairs of 0.5 h and 0.3 h behind one cover of 0.5 h, with two seals and one."""
    named: dict[str, Any] = {
        "operations": [
            an_operation("FIT", "0.5", access=["COVER"], parts="SEAL x 2"),
            an_operation("TEST", "0.3", access=["COVER"], parts="SEAL"),
        ],
        "findings": [a_finding("WORN"), a_finding("OLD")],
        "remedies": [a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["TEST"])],
    }
    return a_shop(**(named | values))


def test_what_two_need_is_half_each_and_money_goes_by_hours() -> None:
    """The cover is 0.25 h for each; labour of 130.00 by 0.75 h of 1.3 h, seals by how many each brings."""
    assert_said(
        {
            "shares.NEW.hours": "0.75 = sum(hours of NEW at MAIN 0.75), half up to four decimals",
            "hours of NEW at MAIN": "0.75 = sum(Fit (FIT) 0.5, a part of COVER 0.25)",
            "a part of COVER": "0.25 = quotient(Cover (COVER) 0.5, items that need it 2)",
            "hours of all items at MAIN": "1.3 = sum(hours of NEW at MAIN 0.75, hours of OTHER at MAIN 0.55)",
            "NEW: labour at MAIN": (
                "75.00 = share(labour at MAIN 130.00, hours of NEW at MAIN 0.75, hours of all items at MAIN 1.3, "
                "of what rounding leaves 0.00)"
            ),
            "OTHER: SEAL": (
                "15.00 = share(parts.SEAL.amount 45.00, SEAL brought by OTHER 1, SEAL brought by all 3, "
                "of what rounding leaves 0.00)"
            ),
            "shares.NEW.amount": (
                "105.00 = sum(shares.NEW.labour 75.00, shares.NEW.parts 30.00, shares.NEW.sublet 0.00)"
            ),
        },
        shared(),
    )
    assert_rules({"a part of COVER": "for each of the 2 items that need it"}, shared())


def test_the_odd_cent_goes_to_the_earlier_of_two_alike() -> None:
    """33.33 sent out for both: 16.67 and 16.66, and each tree says whether the cent fell to it."""
    book = shared(
        operations=[
            an_operation("FIT", "0.5", requires=["OUT"]),
            an_operation("TEST", "0.3", requires=["OUT"]),
            an_operation("OUT", 0, sublet_cost="33.33"),
        ]
    )
    assert_said(
        {
            "NEW: sent out OUT": (
                "16.67 = share(sublet OUT 33.33, NEW 1, items that need it 2, of what rounding leaves 0.01)"
            ),
            "OTHER: sent out OUT": (
                "16.66 = share(sublet OUT 33.33, OTHER 1, items that need it 2, of what rounding leaves 0.00)"
            ),
            "shares.OTHER.amount": (
                "46.66 = sum(shares.OTHER.labour 30.00, shares.OTHER.parts 0.00, shares.OTHER.sublet 16.66)"
            ),
        },
        book,
    )


def test_the_minimum_is_split_by_all_hours() -> None:
    """70.00 are missing to two hours: 40.38 by 0.75 h of 1.3 h."""
    line = (
        "40.38 = share(minimum labour 70.00, hours of NEW 0.75, hours of all items 1.3, of what rounding leaves 0.00)"
    )
    book = shared(settings=settings(minimum_labour_hours=2))
    assert_said(
        {
            "NEW: minimum labour": line,
            "shares.NEW.labour": "115.38 = sum(NEW: labour at MAIN 75.00, NEW: minimum labour 40.38)",
            "shares.OTHER.labour": "84.62 = sum(OTHER: labour at MAIN 55.00, OTHER: minimum labour 29.62)",
        },
        book,
    )


def test_the_minimum_goes_to_whoever_has_hours() -> None:
    """One of two items takes no time: all of the minimum line is the other's."""
    book = shared(
        operations=[an_operation("FIT", "0.5"), an_operation("TEST", 0)], settings=settings(minimum_labour_hours=1)
    )
    assert_said(
        {
            "NEW: minimum labour": (
                "50.00 = share(minimum labour 50.00, hours of NEW 0.5, hours of all items 0.5, "
                "of what rounding leaves 0.00)"
            ),
            "shares.OTHER.labour": "0.00 = sum(OTHER: minimum labour 0.00)",
        },
        book,
    )


def test_the_minimum_of_work_without_hours_is_split_equally() -> None:
    book = shared(
        operations=[an_operation("FIT", 0), an_operation("TEST", 0)], settings=settings(minimum_labour_hours=1)
    )
    assert_said(
        {
            "NEW: minimum labour": (
                "50.00 = share(minimum labour 100.00, NEW 1, items that need it 2, of what rounding leaves 0.00)"
            )
        },
        book,
    )


def test_the_allowance_goes_to_what_rust_slows() -> None:
    """25 % of the 0.5 h that rust slows is 0.125 h, all of it NEW's."""
    book = shared(
        operations=[an_operation("FIT", "0.5", slowed_by_rust=True), an_operation("TEST", "0.3")],
        conditions=[a_condition("RUSTY", "0.25")],
    )
    assert_said(
        {
            "hours of NEW at MAIN": "0.625 = sum(Fit (FIT) 0.5, allowance of NEW 0.125)",
            "allowance of NEW": "0.125 = product(hours of NEW slowed by rust 0.5, allowance for each hour slowed 0.25)",
            "allowance for each hour slowed": "0.25 = quotient(hours.allowance 0.125, hours slowed by rust 0.5)",
            "hours of OTHER at MAIN": "0.3 = sum(Test (TEST) 0.3)",
        },
        book,
        job_of(book, condition="RUSTY"),
    )


def test_a_one_off_part_is_its_own_lines() -> None:
    book = shared()
    job = job_of(book, one_off=[a_one_off(1, "part", 2, unit_price="7")])
    assert_said(
        {
            "shares.ONEOFF-1.parts": "14.00 = sum(parts.ONEOFF-1.amount 14.00)",
            "shares.NEW.parts": "30.00 = sum(NEW: SEAL 30.00)",
        },
        book,
        job,
    )


@pytest.mark.parametrize(
    ("amount", "own", "together", "digits", "expected"),
    [
        ("100", "1", "3", 2, "33.33"),
        ("200", "1", "3", 2, "66.66"),
        ("-100", "1", "3", 2, "-33.33"),
        ("-0.01", "1", "2", 2, "0"),
        ("100", "1", "3", 0, "33"),
        ("100", "1", "0", 2, "0"),
    ],
)
def test_a_share_is_cut_toward_zero_before_cents_are_given_out(
    amount: str, own: str, together: str, digits: int, expected: str
) -> None:
    """A saving of -100.00 cut into thirds leaves -33.33, not -33.34; without a weight nothing falls to anybody."""
    amounts = tuple(leaf("", Fraction(one), cells=()) for one in (amount, own, together))
    assert rounded_toward_zero(amounts, digits) == Fraction(expected)  # type: ignore[arg-type]
