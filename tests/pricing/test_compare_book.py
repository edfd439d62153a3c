"""What a book says without a job, by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.comparison import FigureName
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.compare_book import book_figures, codes_behind, no_rate_of
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
    a_tax,
    an_extra,
    an_operation,
    settings,
)
from tests.rate_rows import Typed, lines

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


SIDED = [an_operation("FIT", "0.5", each_side=True), an_operation("ONCE", "0.5")]


def alone(name: str, **values: object) -> str | None:
    """What one remedy or extra of a book with an operation on each side and one done once comes to by itself."""
    named = {"operations": SIDED, "findings": [a_finding("WORN")], "remedies": [a_remedy("R", ["WORN"], ["FIT"])]}
    return figure(a_book(**(named | values)), name)


@pytest.mark.parametrize(
    ("values", "amount"),
    [
        ({}, "50.00"),
        ({"machines": [a_machine("A", positions=("front", "middle", "rear"))]}, "50.00"),
        ({"remedies": [a_remedy("R", ["WORN"], ["ONCE"])]}, "50.00"),
        ({"remedies": [a_remedy("R", ["WORN"], ["FIT", "ONCE"])]}, "100.00"),
        ({"remedies": [a_remedy("R", ["WORN"], ["FIT"], parts="SEAL")], "parts": [a_part("SEAL", 10)]}, "65.00"),
        ({"settings": settings(minimum_labour_hours=2)}, "200.00"),
        ({"labour_rates": [a_rate("MAIN", "33.333")]}, "16.67"),
        ({"settings": settings(currency="JPY"), "labour_rates": [a_rate("MAIN", 101)]}, "51"),
        ({"taxes": [a_tax()]}, "50.00"),
    ],
    ids=["one side", "of three positions", "done once", "both", "its own parts", "the shop's minimum",
         "rounded half up", "a currency without cents", "before tax"],
)  # fmt: skip
def test_what_a_remedy_by_itself_holds(values: dict[str, object], amount: str) -> None:
    """A figure to compare two books by: always of one side, before tax, as if it were the only work."""
    assert alone("remedies.R.alone", **values) == amount


def test_a_book_without_machines_prices_a_sided_remedy_too() -> None:
    """A first shop book has no Machines: left and right hold then."""
    assert alone("remedies.R.alone", machines=None) == "50.00"


def test_a_class_that_the_book_does_not_hold_is_passed_over() -> None:
    """The next class that it does hold counts, with its Always work."""
    values = {
        "operations": [*SIDED, an_operation("SAFE", "0.2")],
        "machines": [a_machine("MOWER"), a_machine("THROWER", always=["SAFE"])],
        "findings": [a_finding("WORN", machines=["GONE", "THROWER"])],
    }
    assert alone("remedies.R.alone", **values) == "70.00"
    extra = an_extra("X", ["FIT"], machines=["GONE", "THROWER"])
    assert alone("extras.X.alone", **values, extras=[extra]) == "70.00"


def test_a_rate_that_has_not_begun_leaves_all_work_out() -> None:
    """With half of the rates in force a remedy would look cheaper than it is."""
    rates = [a_rate("MAIN", 100), a_rate("WELD", 120, in_force_from=date(2027, 1, 1))]
    assert alone("remedies.R.alone", labour_rates=rates) is None
    assert alone("labour.MAIN.rate_per_hour", labour_rates=rates) == "100.00"


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"remedies": [a_remedy("R", ["WORN"], ["FIT"], parts="SEAL x 2")]}, "SEAL"),
        ({"operations": [an_operation("FIT", parts="SEAL")]}, "SEAL"),
        ({"operations": [an_operation("FIT", includes=["SMALL"]), an_operation("SMALL")]}, "SMALL"),
        ({"operations": [an_operation("FIT", access=["COVER"])], "access": [a_step("COVER", parts="CLIP")]}, "CLIP"),
        ({"operations": [an_operation("FIT", parts="KIT")], "parts": [a_part("KIT", contains="SEAL"), a_part("SEAL")]},
         "SEAL"),
        ({"operations": [an_operation("FIT", parts="OLD")], "parts": [a_part("OLD", replaced_by="NEW"), a_part("NEW")]},
         "NEW"),
        ({"parts_used": [a_part_used("FIT", "SEAL")]}, "SEAL"),
        ({"operations": [an_operation("FIT", parts="SEAL")], "parts": [a_part("SEAL", supplier="SOUTH")]}, "SOUTH"),
    ],
    ids=["its own parts", "of its work", "work that it includes", "of a step", "of a kit", "what replaced a part",
         "of Parts used", "a supplier"],
)  # fmt: skip
def test_every_row_that_a_remedy_leads_to_may_be_a_cause(values: dict[str, object], code: str) -> None:
    """A row that is missed here could never be named as the cause of another price."""
    named = {"operations": SIDED, "findings": [a_finding("WORN")], "remedies": [a_remedy("R", ["WORN"], ["FIT"])]}
    assert code in codes_behind(a_book(**(named | values)), "R")


def test_rows_that_lead_in_a_ring_end() -> None:
    """A book that is still being typed may replace each part by the other."""
    book = a_book(parts=[a_part("A", replaced_by="B"), a_part("B", replaced_by="A")])
    assert codes_behind(book, "A") == {"A", "B", "NORTH"}


YEAR = (
    ("Owner", 60000, "pay"),
    ("Rent", 20000, "overhead"),
    ("Owner", 2000, "clock hours"),
    ("Owner", "50%", "share at the bench"),
    ("Owner", "100%", "efficiency"),
)


@pytest.mark.parametrize(
    ("rows", "currency", "break_even", "for_profit", "why"),
    [
        (YEAR, "USD", "80.00", None, ""),
        ((*YEAR, ("Profit", "20%", "profit share")), "USD", "80.00", "100.00", ""),
        ((*YEAR, ("Profit", "19%", "profit share")), "JPY", "80", "99", ""),  # 98.77
        ((), "USD", None, None, "has no sheet Rate builder, or no row on it"),
        (YEAR[:2], "USD", None, None, "has a sheet Rate builder that is not understood ("),
    ],
)
def test_the_rate_of_the_shop_itself(
    rows: tuple[Typed, ...], currency: str, break_even: str | None, for_profit: str | None, why: str
) -> None:
    """80,000 a year over 1,000 hours that are sold: 80.00, and 80 / 0.8 with a profit of a fifth."""
    book = a_book(rate_builder=lines(*rows), settings=settings(currency=currency))
    assert (figure(book, "rate.break_even"), figure(book, "rate.for_profit")) == (break_even, for_profit)
    assert no_rate_of(book)[: len(why) or None] == why
