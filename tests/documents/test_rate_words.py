"""What the shop rate says in words: each sentence from figures worked out by hand."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from quotekit.documents.rate_words import (
    burden_words,
    cost_words,
    in_hours,
    in_money,
    in_percent,
    parts_words,
    profit_words,
    standing_words,
    swing_words,
)


def a_rate(**build: Any) -> Any:
    """The figures that words look at, of a shop in dollars."""
    costs = {"pay": D(0), "burden": D(0)} | build.pop("costs", {})
    named: dict[str, Any] = {"parts_contribution": D(0), "parts_sales": None, "profit_share": None}
    built = SimpleNamespace(**(named | build), cost_of=lambda kind: costs[kind])
    return SimpleNamespace(build=built, currency="USD", language="en_US", swing=None)


@pytest.mark.parametrize(("amount", "words"), [("1234.5", "$1,234.50"), ("0", "$0.00"), ("-2", "-$2.00")])
def test_an_amount_in_a_sentence(amount: str, words: str) -> None:
    assert in_money(a_rate(), D(amount)) == words


@pytest.mark.parametrize(
    ("hours", "words"), [(D("1400"), "1,400"), (Fraction(1, 3), "0.33"), (D("2.505"), "2.51"), (D("2.50"), "2.5")]
)
def test_hours_have_two_decimals_at_most(hours: Any, words: str) -> None:
    assert in_hours(a_rate(), hours) == words


@pytest.mark.parametrize(
    ("share", "words"), [(Fraction(1, 4), "25 %"), (Fraction(1, 8), "12.5 %"), (Fraction(1), "100 %")]
)
def test_a_share_in_percent(share: Fraction, words: str) -> None:
    assert in_percent(a_rate(), share).replace("\u00a0", " ").replace("%", " %").replace("  ", " ") == words


@pytest.mark.parametrize(
    ("contribution", "sales", "words"),
    [
        ("0", None, "none on the sheet"),
        ("0", "100", "none on the sheet"),
        ("30", None, "their sales are not known"),
        ("30", "120", "25"),
    ],
)
def test_what_parts_leave(contribution: str, sales: str | None, words: str) -> None:
    """30 of 120 are a quarter."""
    made = parts_words(a_rate(parts_contribution=D(contribution), parts_sales=None if sales is None else D(sales)))
    assert made.startswith(words)
    assert (sales != "120") or made.endswith("of sales of $120.00")


@pytest.mark.parametrize(
    ("share", "sales", "words"),
    [
        (None, None, ""),
        (Fraction(1, 10), None, "of labour and what parts leave"),
        (Fraction(1, 10), D(120), "of all sales"),
        (Fraction(1, 10), D(0), "of labour"),
    ],
)
def test_what_the_profit_is_a_share_of(share: Fraction | None, sales: D | None, words: str) -> None:
    """Where nothing is sold but labour, of that; where the sales of parts are not known, of what they leave too."""
    made = profit_words(a_rate(profit_share=share, parts_sales=sales))
    assert made == "" if not words else (made.startswith("10") and made.endswith(words))
    assert (share is None) == (made == "")


@pytest.mark.parametrize(
    ("pay", "burden", "on_top", "of_both"),
    [("80", "20", "25", "20"), ("75", "25", "33.33", "25"), ("100", "50", "50", "33.33")],
)
def test_burden_on_top_of_pay_and_as_a_part_of_both(pay: str, burden: str, on_top: str, of_both: str) -> None:
    made = burden_words(a_rate(costs={"pay": D(pay), "burden": D(burden)}))
    assert made.startswith(f"Burden is {on_top}") and f" on top of pay, {of_both}" in made
    assert made.endswith(" of what pay costs altogether.")


@pytest.mark.parametrize("costs", [{"pay": D(0), "burden": D(5)}, {"pay": D(5), "burden": D(0)}])
def test_without_pay_or_burden_nothing_is_said(costs: dict[str, D]) -> None:
    assert burden_words(a_rate(costs=costs)) == ""


def test_how_much_of_the_profit_hangs_on_the_hours() -> None:
    rate = a_rate()
    assert swing_words(rate) == ""
    rate.swing = D("7.5")
    assert swing_words(rate) == (
        "Each 1 % fewer hours sold, with the parts that go with them, takes 7.5 % off the wanted profit."
    )


def test_a_cost_that_is_a_percentage_says_of_what() -> None:
    plain = SimpleNamespace(kind="burden", percent=None, on=())
    share: Any = SimpleNamespace(kind="burden", percent=Fraction(1, 4), on=("Mechanic", "Helper"))
    assert cost_words(a_rate(), plain) == "burden"  # type: ignore[arg-type]
    made = cost_words(a_rate(), share)
    assert made.startswith("burden, 25") and made.endswith(" of Mechanic, Helper")


@pytest.mark.parametrize(
    ("below_even", "below_profit", "wanted", "words"),
    [
        (True, True, True, "below break-even"),
        (True, False, False, "below break-even"),
        (False, True, True, "covers the cost, not the profit"),
        (False, False, True, "covers the cost and the profit"),
        (False, False, False, "covers the cost"),
        (False, True, False, "covers the cost"),
    ],
)
def test_how_a_rate_in_force_stands(*, below_even: bool, below_profit: bool, wanted: bool, words: str) -> None:
    row: Any = SimpleNamespace(below_break_even=below_even, below_profit=below_profit)
    assert standing_words(row, profit_wanted=wanted) == words
