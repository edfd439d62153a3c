"""Interest factors and equivalent amounts: by hand, at their limits, and as identities."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing import economy

Factor = Callable[[Decimal, Decimal], Fraction]

interests = st.decimals(min_value="0.0001", max_value=1, places=4)
whole_years = st.integers(1, 40).map(Decimal)
any_years = st.decimals(min_value="0.1", max_value=40, places=1)


@pytest.mark.parametrize(
    ("factor", "expected"),
    [
        (economy.single_payment_compound_amount, Fraction(121, 100)),
        (economy.single_payment_present_worth, Fraction(100, 121)),
        (economy.uniform_series_compound_amount, Fraction(21, 10)),
        (economy.uniform_series_present_worth, Fraction(210, 121)),
        (economy.sinking_fund, Fraction(10, 21)),
        (economy.capital_recovery, Fraction(121, 210)),
    ],
)
def test_two_years_at_ten_percent(factor: Factor, expected: Fraction) -> None:
    """1.1 x 1.1 = 1.21; 1 at the end of each year comes to 1.1 + 1 = 2.1, today 2.1 / 1.21."""
    assert factor(Decimal("0.1"), Decimal(2)) == expected


@pytest.mark.parametrize(
    ("factor", "at_four", "at_three_and_a_half"),
    [
        (economy.single_payment_compound_amount, 1, 1),
        (economy.single_payment_present_worth, 1, 1),
        (economy.uniform_series_compound_amount, 4, Fraction(7, 2)),
        (economy.uniform_series_present_worth, 4, Fraction(7, 2)),
        (economy.sinking_fund, Fraction(1, 4), Fraction(2, 7)),
        (economy.capital_recovery, Fraction(1, 4), Fraction(2, 7)),
    ],
)
def test_no_interest_gives_the_limits_themselves(
    factor: Factor, at_four: Fraction, at_three_and_a_half: Fraction
) -> None:
    """The formulas divide zero by zero there; the limit is exact, and a little interest is close to it."""
    assert factor(Decimal(0), Decimal(4)) == at_four
    assert factor(Decimal(0), Decimal("3.5")) == at_three_and_a_half
    near = factor(Decimal("1E-12"), Decimal("3.5"))
    assert abs(near - at_three_and_a_half) < Fraction(1, 10**10)


@given(interests, any_years)
def test_factors_are_each_others_inverses(interest: Decimal, years: Decimal) -> None:
    """P/F = 1 / F/P, A/F = 1 / F/A, A/P = 1 / P/A, and P/A = F/A x P/F, to the last digit."""
    present_worth = economy.single_payment_present_worth(interest, years)
    assert present_worth * economy.single_payment_compound_amount(interest, years) == 1
    assert economy.sinking_fund(interest, years) * economy.uniform_series_compound_amount(interest, years) == 1
    assert economy.capital_recovery(interest, years) * economy.uniform_series_present_worth(interest, years) == 1
    series = economy.uniform_series_compound_amount(interest, years) * present_worth
    assert economy.uniform_series_present_worth(interest, years) == series


@given(interests, any_years)
def test_capital_recovery_is_the_sinking_fund_and_the_interest(interest: Decimal, years: Decimal) -> None:
    difference = economy.capital_recovery(interest, years) - economy.sinking_fund(interest, years)
    assert difference == Fraction(interest)


@given(interests, whole_years)
def test_a_series_is_the_sum_of_its_payments(interest: Decimal, years: Decimal) -> None:
    """The closed form against adding up year by year; F has 50 digits, so the sums agree to 40."""
    each = [(Decimal(year), 1) for year in range(1, int(years) + 1)]
    together = economy.present_value(each, interest)
    assert abs(together - economy.uniform_series_present_worth(interest, years)) < Fraction(1, 10**40)


@given(interests, any_years, st.integers(0, 10**7), st.integers(0, 10**7))
def test_salvage_in_two_forms(interest: Decimal, years: Decimal, first: int, salvage: int) -> None:
    """I x A/P - S x A/F = (I - S) x A/P + i x S."""
    recovery = economy.capital_recovery(interest, years)
    other = (first - salvage) * recovery + Fraction(interest) * salvage
    assert economy.capital_recovery_with_salvage(first, salvage, interest, years) == other


@given(interests, any_years, st.integers(1, 10**7))
def test_the_level_amount_is_worth_the_sum(interest: Decimal, years: Decimal, worth: int) -> None:
    yearly = economy.equivalent_a_year(worth, interest, years)
    assert yearly * economy.uniform_series_present_worth(interest, years) == worth


def test_a_present_value_counts_what_falls_today_in_full() -> None:
    """100 today, 11 in a year and 121 in two, at 10 %: 100 + 10 + 100."""
    amounts = [(Decimal(0), 100), (Decimal(1), Decimal("11")), (Decimal(2), 121)]
    assert economy.present_value(amounts, Decimal("0.1")) == 210
    assert economy.present_value([], Decimal("0.1")) == 0


@pytest.mark.parametrize("factor", [economy.sinking_fund, economy.capital_recovery])
@pytest.mark.parametrize("interest", ["0", "0.08"])
def test_no_years_have_no_amount_a_year(factor: Factor, interest: str) -> None:
    with pytest.raises(ValueError, match="more than zero years"):
        factor(Decimal(interest), Decimal(0))


def test_no_years_are_no_time_at_all() -> None:
    assert economy.single_payment_compound_amount(Decimal("0.08"), Decimal(0)) == 1
    assert economy.uniform_series_present_worth(Decimal("0.08"), Decimal(0)) == 0


@pytest.mark.parametrize(
    ("interest", "years", "said"),
    [("-0.01", "5", "interest must be zero or more"), ("0.05", "-1", "years must be zero or more")],
)
def test_what_is_out_of_the_domain(interest: str, years: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        economy.uniform_series_present_worth(Decimal(interest), Decimal(years))
