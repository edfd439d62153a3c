"""What a year costs: every way to say whose pay a burden is on, and the rows that must be asked about."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.costs import read_costs, without_burden
from quotekit.problems import has_errors
from tests.rate_rows import Typed, lines, where

OWNER: Typed = ("Owner", 62000, "pay")
HELPER: Typed = ("Helper", 19000, "pay")


def cost(*rows: Typed) -> Fraction:
    """All costs of rows that raise no error."""
    costs, problems = read_costs(lines(*rows))
    assert not has_errors(problems), problems
    return sum((each.amount for each in costs), Fraction(0))


@pytest.mark.parametrize(
    ("burdens", "total"),
    [
        ([("Owner", "15%"), ("Helper", "18%")], 93720),
        ([("Owner burden", "15%"), ("Helper burden", "18%")], 93720),
        ([("Helper", "18%"), ("Owner", "15%")], 93720),
        ([("Owner", "0.15"), ("Helper", "0.18")], 93720),
        ([("Owner", 9300), ("Helper", 3420)], 93720),
        ([("Owner", "15%"), ("Helper", 3420)], 93720),
        ([("Taxes and benefits", 12720)], 93720),
        ([("Burden", "10%")], 89100),
        ([("Payroll tax", "7%"), ("Benefits", "3%")], 89100),
        ([("Owner", "10%"), ("Owner health plan", "5%")], 90300),
        ([], 81000),
    ],
)
def test_burdens(burdens: list[tuple[str, str | int]], total: int) -> None:
    """The same cost however the owner types it."""
    assert cost(OWNER, HELPER, *((line, amount, "burden") for line, amount in burdens)) == total


def test_a_percentage_says_of_whose_pay_it_is() -> None:
    costs, _ = read_costs(lines(OWNER, HELPER, ("Burden", "10%", "burden"), ("Helper", 500, "burden")))
    assert [(each.line, each.percent, each.on) for each in costs if each.kind == "burden"] == [
        ("Burden", Fraction(1, 10), ("Owner", "Helper")),
        ("Helper", None, ()),
    ]


def test_costs_stand_in_the_order_of_the_rows() -> None:
    rows: tuple[Typed, ...] = (("Rent", 100, "overhead"), OWNER, ("Owner", "10%", "burden"), ("Power", 50, "overhead"))
    assert [each.source.row for each in read_costs(lines(*rows))[0]] == [2, 3, 4, 5]


def test_one_name_on_several_rows_of_pay_is_one_person() -> None:
    assert cost(("Owner", 50000, "pay"), ("Owner", 12000, "pay"), HELPER, ("Owner", "15%", "burden")) == 90300


@pytest.mark.parametrize("line", ["Burden", "Health plan", "Owner"])
def test_with_one_line_of_pay_a_percentage_can_mean_no_other(line: str) -> None:
    costs, problems = read_costs(lines(OWNER, (line, "15%", "burden")))
    assert sum(each.amount for each in costs) == 71300 and problems == []


def test_a_percentage_of_a_name_that_is_nowhere_is_taken_on_all_pay_and_said_so() -> None:
    costs, problems = read_costs(lines(OWNER, HELPER, ("Health plan", "10%", "burden")))
    assert sum(each.amount for each in costs) == 89100
    assert where(problems) == [("burden-on-all-pay", "A4")]


@pytest.mark.parametrize(
    ("rows", "codes"),
    [
        ([("Helpr", "18%", "burden")], [("line-unclear", "A4")]),
        ([("Burden", "18%", "burden"), ("Owner", "15%", "burden")], [("line-unclear", "A4")]),
        ([("Health plan", "5%", "burden"), ("Owner", "15%", "burden")],
         [("burden-on-all-pay", "A4"), ("line-unclear", "A4")]),
        ([("Owner", 15, "burden")], [("amount-unclear", "B4")]),
        ([("Rent", "10%", "overhead")], [("not-an-amount", "B4")]),
        ([("Boss", "10%", "pay")], [("not-an-amount", "B4")]),
    ],
    ids=["a slip", "all or the rest", "a stranger or the rest", "15", "overhead", "pay"],
)  # fmt: skip
def test_what_is_asked(rows: list[Typed], codes: list[tuple[str, str]]) -> None:
    assert where(read_costs(lines(OWNER, HELPER, *rows))[1]) == codes


def test_a_percentage_of_no_pay() -> None:
    assert where(read_costs(lines(("Owner", "15%", "burden")))[1]) == [("line-unclear", "A2")]


def test_a_nameless_burden_beside_nameless_and_named_pay_is_asked_about() -> None:
    """`Wages` may be everybody's or the others'."""
    rows: tuple[Typed, ...] = (("Wages", 20000, "pay"), OWNER, ("Burden", "10%", "burden"))
    assert where(read_costs(lines(*rows))[1]) == [("line-unclear", "A4")]


@pytest.mark.parametrize(
    ("rows", "left"),
    [
        ([], ["Owner", "Helper"]),
        ([("Owner", "15%", "burden")], ["Helper"]),
        ([("Burden", "15%", "burden")], []),
        ([("Helper", 3420, "burden")], ["Owner"]),
        ([("Payroll", 12000, "burden")], []),
        ([("Health plan", 12000, "burden")], []),
    ],
)
def test_pay_that_no_burden_is_on(rows: list[Typed], left: list[str]) -> None:
    costs, _ = read_costs(lines(OWNER, HELPER, *rows))
    assert [each.line for each in without_burden(costs)] == left


@given(pay=st.integers(200, 200_000), percent=st.integers(0, 100))
def test_a_percentage_and_its_money_cost_the_same(pay: int, percent: int) -> None:
    owner: Typed = ("Owner", pay, "pay")
    in_percent, in_money = ("Owner", f"{percent}%", "burden"), Fraction(pay * percent, 100)
    assert cost(owner, in_percent) == pay + in_money
