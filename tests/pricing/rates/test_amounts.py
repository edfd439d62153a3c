"""An amount as its kind wants it; where it could be money or a percentage, the owner is asked."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing.rates.amounts import as_typed, hours_of, money_of, money_or_share, share_of
from tests.rate_rows import Typed, lines, where

Number = str | int | float


def row(amount: Number, kind: str) -> Typed:
    return ("Owner", amount, kind)


@pytest.mark.parametrize(
    ("amount", "share"), [("60%", "0.6"), ("0.6", "0.6"), (1, "1"), (0, "0"), ("100%", "1"), ("0.5%", "0.005")]
)
def test_a_share(amount: Number, share: str) -> None:
    (line,) = lines(row(amount, "share at the bench"))
    assert share_of(line) == (Fraction(share), [])


@pytest.mark.parametrize(
    ("amount", "code"), [(60, "percent-unclear"), ("1.5", "percent-unclear"), (2000, "not-an-amount")]
)
def test_a_number_above_one_is_no_share(amount: Number, code: str) -> None:
    """60 could be 60 % or 6000 %, and 2000 is surely something else."""
    (line,) = lines(row(amount, "efficiency"))
    value, problems = share_of(line)
    assert value is None and where(problems) == [(code, "B2")]


@pytest.mark.parametrize(("amount", "share"), [("110%", "1.1"), ("200%", "2"), (1, "1"), ("95%", "0.95")])
def test_a_bench_may_beat_the_pace_that_is_charged(amount: Number, share: str) -> None:
    """Where the book pays 1.1 hours for what takes one, the efficiency is 110 %."""
    (line,) = lines(row(amount, "efficiency"))
    assert share_of(line) == (Fraction(share), [])


@pytest.mark.parametrize(
    ("amount", "kind", "code", "asked"),
    [
        ("1.1", "efficiency", "percent-unclear", "is it 1.1 % or 110 %?"),
        (110, "efficiency", "percent-unclear", "is it 110 %?"),
        ("110", "share at the bench", "not-an-amount", "110 is no percentage"),
        ("1.1", "share at the bench", "percent-unclear", "is it 1.1 %?"),
        (250, "efficiency", "not-an-amount", "250 is no percentage"),
        ("200.5%", "efficiency", "percent-too-big", "more than 200 %, the most that efficiency can be"),
        ("110%", "share at the bench", "percent-too-big", "110 % is more than 100 %"),
        ("120%", "profit share", "percent-too-big", "120 % is more than 100 %"),
    ],
)
def test_above_100_percent_it_must_say_so_and_be_an_efficiency(
    amount: Number, kind: str, code: str, asked: str
) -> None:
    """Nothing is guessed: 1.1 may be 110 % or a slip, and nobody is at the bench for more hours than are paid."""
    (line,) = lines(row(amount, kind))
    value, problems = share_of(line)
    assert value is None and where(problems) == [(code, "B2")]
    assert asked in problems[0].message


@pytest.mark.parametrize("kind", ["burden", "parts contribution"])
def test_a_burden_or_margin_ends_at_100_percent(kind: str) -> None:
    (line,) = lines(row("110%", kind))
    found, problems = money_or_share(line)
    assert found is None and where(problems) == [("percent-too-big", "B2")]


@pytest.mark.parametrize(
    ("amount", "value", "percent"),
    [
        ("15%", "0.15", True),
        ("0.15", "0.15", True),
        (9300, "9300", False),
        (0, "0", False),
        ("100.01", "100.01", False),
    ],
)
def test_a_burden_is_money_or_a_percentage(amount: Number, value: str, percent: bool) -> None:
    (line,) = lines(row(amount, "burden"))
    found, problems = money_or_share(line)
    assert found is not None and problems == []
    assert (found.value, found.percent) == (Decimal(value), percent)


@pytest.mark.parametrize("amount", [1, 15, 100, "1.2"])
def test_a_small_burden_could_be_either(amount: Number) -> None:
    """15 is 15 % to most people and 15 dollars to the rest."""
    (line,) = lines(row(amount, "burden"))
    found, problems = money_or_share(line)
    assert found is None and where(problems) == [("amount-unclear", "B2")]


@pytest.mark.parametrize("amount", ["15%", "0.5"])
def test_money_and_hours_are_no_percentage(amount: Number) -> None:
    money, hours = lines(row(amount, "overhead"), row(amount, "clock hours"))
    assert where(money_of(money)[1]) == [("not-an-amount", "B2")]
    assert where(hours_of(hours)[1]) == [("not-an-amount", "B3")]


@pytest.mark.parametrize("amount", [0, 1, 62000, "0.0"])
def test_money_and_hours_of_a_year(amount: Number) -> None:
    money, hours = lines(row(amount, "pay"), row(amount, "clock hours"))
    assert money_of(money) == (Fraction(str(amount)), [])
    assert hours_of(hours) == (Fraction(str(amount)), [])


@pytest.mark.parametrize(("amount", "text"), [("15.50%", "15.5%"), (62000, "62000"), ("0.60", "0.6")])
def test_an_amount_is_shown_as_typed(amount: Number, text: str) -> None:
    (line,) = lines(row(amount, "burden"))
    assert as_typed(line) == text
