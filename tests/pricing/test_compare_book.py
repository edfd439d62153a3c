"""What a book says without a job, by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.comparison import FigureName
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.compare_book import book_figures, codes_behind
from tests.build import (
    a_band,
    a_book,
    a_finding,
    a_machine,
    a_part,
    a_part_used,
    a_rate,
    a_remedy,
    a_step,
    an_extra,
    an_operation,
)

DAY = date(2026, 11, 28)


def figure(book: ShopBook, name: str, day: date = DAY) -> str | None:
    found = book_figures(book, day).get(FigureName(None, None, name))
    return found.text if found is not None else None


@pytest.mark.parametrize(
    ("part", "price"),
    [
        (a_part("SEAL", "10", "4"), "3.75"),  # 2.50 each and half as much again
        (a_part("SEAL", "10", "4", list_price_each="3"), "3.00"),
        (a_part("SEAL", "10", "4", fixed_price_each="9.999"), "10.00"),
        (a_part("SEAL", "10", "4", replaced_by="BELT"), "3.75"),  # its own row, not of what replaced it
    ],
)
def test_the_price_of_a_part(part: object, price: str) -> None:
    assert figure(a_book(parts=[part, a_part("BELT", 40)], markup=[a_band()]), "parts.SEAL.unit_price") == price


@pytest.mark.parametrize(
    ("day", "rate"), [(date(2026, 1, 1), "90.00"), (date(2026, 6, 30), "90.00"), (date(2026, 7, 1), "96.00")]
)
def test_the_rate_of_a_day_is_the_latest_that_has_begun(day: date, rate: str) -> None:
    rates = [
        a_rate("MAIN", 90, in_force_from=date(2026, 1, 1)),
        a_rate("MAIN", 96, cost=None, in_force_from=date(2026, 7, 1)),
    ]
    book = a_book(labour_rates=rates)
    assert figure(book, "labour.MAIN.rate_per_hour", day) == rate
    assert figure(book, "labour.MAIN.cost_per_hour", day) == (None if rate == "96.00" else "40.00")


def worked() -> ShopBook:
    """0.5 h and access of 0.5 h at 100, a part of 15.00 on one side; 0.2 h of Always work on throwers."""
    return a_book(
        operations=[
            an_operation("FIT", "0.5", each_side=True, access=["COVER"], parts="SEAL"),
            an_operation("SAFE", "0.2"),
        ],
        access=[a_step("COVER")],
        parts=[a_part("SEAL", 10)],
        machines=[a_machine("THROWER", always=["SAFE"]), a_machine("MOWER")],
        findings=[a_finding("WORN", machines=["MOWER"]), a_finding("LEAK", machines=["THROWER"]), a_finding("ANY")],
        remedies=[
            a_remedy("R-WORN", ["WORN"], ["FIT"]),
            a_remedy("R-LEAK", ["LEAK"], ["FIT"]),
            a_remedy("R-ANY", ["ANY"], ["FIT"]),
        ],
        extras=[an_extra("X-FIT", ["FIT"])],
    )


@pytest.mark.parametrize(
    ("name", "amount"),
    [
        ("remedies.R-WORN.alone", "115.00"),  # mowers have no Always work
        ("remedies.R-LEAK.alone", "135.00"),  # 0.2 h more
        ("remedies.R-ANY.alone", "135.00"),  # for any machine: the book's first class
        ("extras.X-FIT.alone", "135.00"),
    ],
)
def test_a_remedy_by_itself_on_one_side(name: str, amount: str) -> None:
    assert figure(worked(), name) == amount


def test_a_day_before_every_rate_prices_no_work() -> None:
    """No rate is in force: no work is priced, parts are."""
    book = a_book(labour_rates=[a_rate(in_force_from=date(2027, 1, 1))], parts=[a_part("SEAL", 10)])
    assert [name.figure for name in book_figures(book, DAY)] == ["parts.SEAL.unit_price"]


def test_every_figure_is_an_exact_amount() -> None:
    assert all(isinstance(one.number, Decimal) and one.text for one in book_figures(worked(), DAY).values())


def test_the_codes_that_a_remedy_leads_to() -> None:
    """Operations and what they force, their access with what that needs, parts with companions, and suppliers."""
    book = a_book(
        operations=[an_operation("FIT", requires=["TEST"], access=["COVER"]), an_operation("TEST"), an_operation("NO")],
        access=[a_step("COVER", needs=["BELT-OFF"]), a_step("BELT-OFF")],
        parts=[a_part("SEAL", also_needs="CLIP x 2"), a_part("CLIP"), a_part("OLD", replaced_by="SEAL")],
        parts_used=[a_part_used("COVER", "OLD")],
        remedies=[a_remedy("R", ["WORN"], ["FIT"])],
        findings=[a_finding("WORN")],
    )
    expected = {"R", "FIT", "TEST", "COVER", "BELT-OFF", "OLD", "SEAL", "CLIP", "NORTH"}
    assert codes_behind(book, "R") == expected
