"""Sold hours: clock hours, share at the bench and efficiency, each of its own person; none is taken to be full."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.hours import read_hours
from quotekit.problems import has_errors
from tests.rate_rows import HOURS, SHEET, Typed, lines, where


def sold(*rows: Typed) -> Fraction:
    """Sold hours of rows that raise no error."""
    hours, problems = read_hours(lines(*rows), SHEET)
    assert not has_errors(problems), problems
    return sum((each.sold for each in hours), Fraction(0))


def codes(*rows: Typed) -> list[tuple[str, str]]:
    return where(read_hours(lines(*rows), SHEET)[1])


def named(owner: str, helper: str) -> tuple[Typed, ...]:
    """The same hours with other words in Line; `{}` stands for the kind."""
    return tuple((((owner if line == "Owner" else helper).format(kind)), amount, kind) for line, amount, kind in HOURS)


@pytest.mark.parametrize(
    ("owner", "helper"),
    [
        ("Owner", "Employee"),
        ("Owner {}", "Employee {}"),
        ("{} of the owner", "{}, employee"),
        ("Me: {}", "Shop help {}"),
    ],
)
def test_rows_of_a_person_share_a_name(owner: str, helper: str) -> None:
    assert sold(*named(owner, helper)) == Fraction("1709.12")


def test_the_order_of_rows_moves_nothing() -> None:
    assert sold(*reversed(HOURS)) == Fraction("1709.12")


@pytest.mark.parametrize("line", ["Efficiency", "All", "Efficiency, both"])
def test_a_percentage_that_names_nobody_is_everybodys(line: str) -> None:
    rows = (*HOURS[:2], *HOURS[3:5], (line, "90%", "efficiency"))
    assert sold(*rows) == (Fraction("1209.6") + 700) * Fraction(9, 10)


def test_a_name_that_nobody_has_is_not_taken_for_everybody() -> None:
    assert codes(*HOURS[:2], *HOURS[3:5], ("Winter", "90%", "efficiency")) == [("line-unclear", "A6")]


def test_several_clock_hours_of_one_name() -> None:
    """A second row of the same person, say for Saturdays, is sold at the same share."""
    rows = (*HOURS, ("Owner", 100, "clock hours"))
    assert sold(*rows) == Fraction("1709.12") + 57


def test_two_employees_share_what_their_group_is_given() -> None:
    rows: tuple[Typed, ...] = (
        ("Employee 1", 1000, "clock hours"),
        ("Employee 2", 500, "clock hours"),
        ("Employees", "70%", "share at the bench"),
        ("Employee 1", "80%", "efficiency"),
        ("Employee 2", "60%", "efficiency"),
    )
    assert sold(*rows) == 560 + 210


def test_one_persons_percentages_need_no_name() -> None:
    rows: tuple[Typed, ...] = (
        ("Owner", 2016, "clock hours"),
        ("Time at the bench", "60%", "share at the bench"),
        ("Pace", "95%", "efficiency"),
    )
    assert sold(*rows) == Fraction("1149.12")


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ([], [("no-clock-hours", "")]),
        ([("Owner", "95%", "efficiency")], [("no-clock-hours", "")]),
        ([("Owner", "95%", "clock hours")], [("not-an-amount", "B2")]),
        (HOURS[:2], [("share-missing", "A2")]),
        (HOURS[:1], [("share-missing", "A2"), ("share-missing", "A2")]),
        ((*HOURS, ("Owner", "50%", "efficiency")), [("share-twice", "B8")]),
        ((*HOURS, ("Efficiency", "50%", "efficiency")), [("share-twice", "B8"), ("share-twice", "B8")]),
        ((*HOURS[:5], ("Mechanic", "80%", "efficiency")), [("line-unclear", "A7")]),
        ((*HOURS[:5], ("Employe", "80%", "efficiency")), [("line-unclear", "A7")]),
        ((*HOURS[:5], ("Employee", 80, "efficiency")), [("percent-unclear", "B7")]),
        ([("A", 0, "clock hours"), ("", 1, "efficiency"), ("", 1, "share at the bench")], [("no-sold-hours", "B2")]),
        ([("A", 900, "clock hours"), ("", 0, "efficiency"), ("", 1, "share at the bench")], [("no-sold-hours", "B2")]),
    ],
    ids=["none", "no clock hours", "a percentage of hours", "no efficiency", "neither", "twice", "all and one",
         "a stranger", "a slip", "80", "zero hours", "zero efficiency"],
)  # fmt: skip
def test_what_is_asked(rows: list[Typed], found: list[tuple[str, str]]) -> None:
    assert codes(*rows) == found
    assert read_hours(lines(*rows), SHEET)[0] == [] or found[0][0] == "no-sold-hours"


@pytest.mark.parametrize(("clock", "warned"), [(42, True), (168, True), (169, False), (0, False)])
def test_hours_of_a_week_are_warned_about(clock: int, warned: bool) -> None:
    rows = (*HOURS, ("Son", clock, "clock hours"), ("Son", "50%", "share at the bench"), ("Son", "50%", "efficiency"))
    assert codes(*rows) == ([("hours-of-a-week", "B8")] if warned else [])


@given(
    clock=st.integers(1, 9000),
    share=st.integers(1, 100),
    efficiency=st.integers(1, 100),
)
def test_nobody_sells_more_hours_than_are_paid_for(clock: int, share: int, efficiency: int) -> None:
    rows: tuple[Typed, ...] = (
        ("Owner", clock, "clock hours"),
        ("Owner", f"{share}%", "share at the bench"),
        ("Owner", f"{efficiency}%", "efficiency"),
    )
    assert 0 < sold(*rows) <= clock
