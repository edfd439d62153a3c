"""Rounding, splitting and the money of ISO 4217: the only places where a digit may be lost."""

from __future__ import annotations

from decimal import Decimal, FloatOperation, Inexact, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.money import (
    EXACT,
    Exact,
    allocate,
    compound,
    in_fifty_digits,
    minor_digits,
    round_down,
    round_to,
    round_up,
    round_up_to_step,
    shown_hours,
    whole_units,
)


def D(text: str) -> Decimal:
    """A decimal as written."""
    return Decimal(text)


@pytest.mark.parametrize(
    ("currency", "digits"),
    [("USD", 2), ("EUR", 2), ("JPY", 0), ("KRW", 0), ("KWD", 3), ("TND", 3), ("CLF", 4), ("HUF", 2)],
)
def test_minor_units_are_those_of_the_standard(currency: str, digits: int) -> None:
    """ISO 4217 list one; the forint has two although none is minted."""
    assert minor_digits(currency) == digits


@pytest.mark.parametrize(
    ("value", "digits", "rounded"),
    [
        (D("1.005"), 2, "1.01"),
        (D("1.0049999999999999999999999999999999"), 2, "1.00"),
        (D("2.5"), 0, "3"),
        (D("3.5"), 0, "4"),
        (D("-0.005"), 2, "-0.01"),
        (D("-2.5"), 0, "-3"),
        (D("0.0005"), 3, "0.001"),
        (D("7"), 2, "7.00"),
        (Fraction(1, 3), 2, "0.33"),
        (Fraction(2, 3), 2, "0.67"),
        (Fraction(1, 8), 2, "0.13"),
        (Fraction(-1, 8), 2, "-0.13"),
        (5, 2, "5.00"),
    ],
)
def test_half_goes_away_from_zero(value: Exact, digits: int, rounded: str) -> None:
    """Half up, never to the even digit; the text shows the digits of the currency."""
    assert str(round_to(value, digits)) == rounded


@pytest.mark.parametrize(
    ("value", "digits", "rounded"),
    [
        (D("1.001"), 2, "1.01"),
        (D("1.00"), 2, "1.00"),
        (D("0"), 2, "0.00"),
        (Fraction(1, 3), 2, "0.34"),
        (Fraction(1, 2), 0, "1"),
    ],
)
def test_an_upper_limit_rounds_up(value: Exact, digits: int, rounded: str) -> None:
    assert str(round_up(value, digits)) == rounded


@pytest.mark.parametrize(
    ("value", "digits", "rounded"),
    [
        (D("1.009"), 2, "1.00"),
        (D("1.01"), 2, "1.01"),
        (D("12.345"), 2, "12.34"),
        (D("0"), 2, "0.00"),
        (Fraction(2, 3), 2, "0.66"),
        (Fraction(3, 2), 0, "1"),
    ],
)
def test_what_must_not_be_passed_rounds_down(value: Exact, digits: int, rounded: str) -> None:
    assert str(round_down(value, digits)) == rounded


@pytest.mark.parametrize(
    ("hours", "step", "billed"),
    [
        (D("4.61"), "0.1", "4.7"),
        (D("4.60"), "0.1", "4.6"),
        (D("4.6000000000000000000000001"), "0.1", "4.7"),
        (D("0"), "0.1", "0"),
        (D("1.01"), "0.25", "1.25"),
        (D("1.3"), "0.5", "1.5"),
        (Fraction(1, 3), "0.1", "0.4"),
        (Fraction(3, 10), "0.1", "0.3"),
    ],
)
def test_hours_go_up_to_the_step_and_an_exact_step_stays(hours: Exact, step: str, billed: str) -> None:
    assert round_up_to_step(hours, D(step)) == D(billed)


@pytest.mark.parametrize(
    ("quantity", "pack", "packs"), [("5", "4", 2), ("4", "4", 1), ("0.1", "4", 1), ("8.01", "4", 3), ("0", "4", 0)]
)
def test_whole_packs_cover_the_quantity(quantity: str, pack: str, packs: int) -> None:
    assert whole_units(D(quantity), D(pack)) == packs


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        ("1.00", [1, 1, 1], ["0.34", "0.33", "0.33"]),
        ("0.02", [1, 1, 1], ["0.01", "0.01", "0.00"]),
        ("10.00", [1, 2], ["3.33", "6.67"]),
        ("-1.00", [1, 1, 1], ["-0.34", "-0.33", "-0.33"]),
        ("5.00", [0, 1, 0], ["0.00", "5.00", "0.00"]),
        ("0.03", [0, 0], ["0.02", "0.01"]),
        ("0.00", [3, 4], ["0.00", "0.00"]),
        ("1.00", [Fraction(1, 3), Fraction(2, 3)], ["0.33", "0.67"]),
        ("1.00", [D("0.5"), Fraction(1, 2)], ["0.50", "0.50"]),
    ],
)
def test_shares_by_largest_remainder(total: str, weights: list[Exact], shares: list[str]) -> None:
    """The largest remainder gets the next cent; ties go to the earlier line; no weight at all counts as equal."""
    assert [str(share) for share in allocate(D(total), weights, 2)] == shares


def test_nothing_to_share_among() -> None:
    assert allocate(D("1.00"), [], 2) == []


cents = st.integers(-10_000_000, 10_000_000).map(lambda value: Decimal(value).scaleb(-2))
weight = st.integers(0, 1000) | st.fractions(min_value=0, max_value=100, max_denominator=997)


@given(cents, st.lists(weight, min_size=1, max_size=12))
def test_shares_add_up_and_are_within_a_cent_of_the_exact_share(total: Decimal, weights: list[Fraction]) -> None:
    shares = allocate(total, weights, 2)
    assert sum(shares) == total
    even = weights if any(weights) else [Fraction(1)] * len(weights)
    for share, part in zip(shares, even, strict=True):
        assert abs(Fraction(share) - Fraction(total) * Fraction(part) / Fraction(sum(even))) < Fraction(1, 100)


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=10**6), st.integers(0, 4))
def test_rounding_moves_a_value_by_half_a_unit_at_most(value: Fraction, digits: int) -> None:
    assert abs(Fraction(round_to(value, digits)) - value) <= Fraction(1, 2 * 10**digits)


@given(st.integers(-(10**9), 10**9))
def test_a_decimal_and_the_same_fraction_round_alike(thousandths: int) -> None:
    value = Decimal(thousandths).scaleb(-3)
    assert round_to(value, 2) == round_to(Fraction(value), 2)


@pytest.mark.parametrize(
    ("hours", "shown"),
    [(D("1.25"), "1.25"), (Fraction(5, 8), "0.625"), (Fraction(2, 3), "0.6667"), (Fraction(1, 3), "0.3333")],
)
def test_hours_are_shown_exactly_where_they_can_be(hours: Exact, shown: str) -> None:
    assert str(shown_hours(hours)) == shown


def test_interest_over_years() -> None:
    """5 % for three years: 1.05 x 1.05 x 1.05; half a year is a root."""
    assert compound(D("0.05"), D("3")) == D("1.157625")
    assert compound(D("0"), D("2.5")) == 1
    assert round_to(compound(D("0.21"), D("0.5")), 20) == D("1.1")


def test_a_number_is_read_to_fifty_digits() -> None:
    """Half up at the fiftieth, and a whole number of thousands of digits as well."""
    assert in_fifty_digits(Fraction(2, 3)) == D("0." + "6" * 49 + "7")
    assert in_fifty_digits(Fraction(10**5000 + 1)) == D("1E+5000")


def test_a_lost_digit_is_an_error() -> None:
    with localcontext(EXACT), pytest.raises(Inexact):
        D("1") / D("3")


def test_a_float_is_an_error() -> None:
    with localcontext(EXACT), pytest.raises(FloatOperation):
        Decimal(1 / 10)
