"""Outside checks 3.01 to 3.20: interest factors, equivalent annual cost, capital recovery.

Sources
-------
EEA
    Engineering Economic Analysis (Newnan; author from memory), Appendix: Compound Interest Tables, 35 % table, p. 585,
    older edition, page copy, read (3.01 to 3.06). https://issuhub.com/view/index/4775?pageIndex=612
DCF
    Discrete cash flow: compound interest factors, 0.25 %, Table 1, page copy, read (3.07, 3.08).
    https://vdocuments.us/discrete-cash-flow.html
TAB
    Standard compound-interest tables of any engineering economy text, from memory (3.10 to 3.14).
E390
    ENGR 390 Lecture 13, Equivalent Annual Worth, Winter 2007, Capital Cost Recovery slide, read (3.15, and the formula
    of 3.20, its numbers worked out). https://fdocuments.net/document/lecture-13-5584447a1af9e.html
PF
    OpenStax, Principles of Finance, section 16.5 Choosing between Projects, public repository
    openstax/osbooks-principles-finance, commit 1deb7fd, 2026-05-05, CC BY-NC-SA 4.0 (its numbers, not its text), read
    (3.16; the inputs of 3.17, worked out).

The book prints the perpetuity of 3.16 from a rounded annual figure, $3 to $4 off: the unrounded line is asserted.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing import build_quote, economy
from tests import build

PRINTED = [
    ("3.01", "0.35", 2, ".5487", ".4255", ".7755"),
    ("3.02", "0.35", 3, ".4064", ".2397", ".5897"),
    ("3.03", "0.35", 4, ".3011", ".1508", ".5008"),
    ("3.05", "0.35", 10, ".0497", ".0183", ".3683"),
    ("3.06", "0.35", 20, ".00247", ".00087", ".3509"),
    ("3.07", "0.0025", 5, "0.9876", "0.19900", "0.20150"),
    ("3.08", "0.0025", 12, "0.9705", "0.08219", "0.08469"),
]
"""Check, interest, years, P/F, A/F, A/P as printed: right to half a unit of the last printed digit."""

REMEMBERED = [
    ("3.10", "0.08", 5, "0.68058", "0.17046", "0.25046"),
    ("3.11", "0.08", 10, "0.46319", "0.06903", "0.14903"),
    ("3.13", "0.10", 10, "0.38554", "0.06275", "0.16275"),
    ("3.14", "0.12", 6, "0.50663", "0.12323", "0.24323"),
]
"""The same, from memory: within 0.000005."""


def factors(interest: str, years: int) -> list[Fraction]:
    """P/F, A/F and A/P."""
    i, n = Decimal(interest), Decimal(years)
    return [
        economy.single_payment_present_worth(i, n),
        economy.sinking_fund(i, n),
        economy.capital_recovery(i, n),
    ]


def half_a_unit(printed: str) -> Fraction:
    """Half a unit of the last printed digit."""
    return Fraction(1, 2 * 10 ** len(printed.partition(".")[2]))


@pytest.mark.parametrize(("check", "interest", "years", "p_f", "a_f", "a_p"), PRINTED, ids=lambda value: str(value))
def test_printed_factors(check: str, interest: str, years: int, p_f: str, a_f: str, a_p: str) -> None:
    """3.01 to 3.06 (EEA), 3.07 and 3.08 (DCF)."""
    for exact, printed in zip(factors(interest, years), (p_f, a_f, a_p), strict=True):
        assert abs(exact - Fraction(printed)) <= half_a_unit(printed), check


@pytest.mark.parametrize(("check", "interest", "years", "p_f", "a_f", "a_p"), REMEMBERED, ids=lambda value: str(value))
def test_remembered_factors(check: str, interest: str, years: int, p_f: str, a_f: str, a_p: str) -> None:
    """3.10 to 3.14 (TAB, from memory)."""
    for exact, printed in zip(factors(interest, years), (p_f, a_f, a_p), strict=True):
        assert abs(exact - Fraction(printed)) <= Fraction("0.000005"), check


@pytest.mark.parametrize(("interest", "years"), [("0.08", 5), ("0.10", 10), ("0.0025", 24)])
def test_3_15_capital_recovery_is_sinking_fund_and_interest(interest: str, years: int) -> None:
    """3.15 (E390): asked within 1E-12; here it holds to the last digit."""
    _, a_f, a_p = factors(interest, years)
    assert a_p - a_f == Fraction(interest)


def net_present_value(cost: int, inflow: int, years: int) -> Fraction:
    """An outlay today and the same inflow at the end of each year, at 10 %."""
    amounts = [(Decimal(0), -cost), *((Decimal(year), inflow) for year in range(1, years + 1))]
    return economy.present_value(amounts, Decimal("0.10"))


def test_3_16_two_machines_with_different_lives() -> None:
    """3.16 (PF, read): the short one wins a year although its net present value is lower. The unrounded perpetuity."""
    interest = Decimal("0.10")
    worths = [net_present_value(50_000, 40_000, 3), net_present_value(50_000, 30_000, 6)]
    yearly = [
        economy.equivalent_a_year(worth, interest, Decimal(years)) for worth, years in zip(worths, (3, 6), strict=True)
    ]
    assert [abs(worth - printed) <= 1 for worth, printed in zip(worths, (49_474, 80_658), strict=True)] == [True, True]
    assert [abs(a - printed) <= 1 for a, printed in zip(yearly, (19_894, 18_520), strict=True)] == [True, True]
    again = economy.present_value([(Decimal(0), worths[0]), (Decimal(3), worths[0])], interest)
    assert abs(again - Fraction("86644.69")) <= Fraction("0.01")
    for a, unrounded in zip(yearly, ("198942.60", "185196.31"), strict=True):
        assert abs(a / Fraction(interest) - Fraction(unrounded)) <= Fraction("0.01")
    assert worths[0] < worths[1] and yearly[0] > yearly[1]


@pytest.mark.parametrize(("years", "expected"), [(3, "20105.74"), (6, "11480.37")])
def test_3_17_equivalent_annual_cost(years: int, expected: str) -> None:
    """3.17 (PF inputs, worked out): within 0.01."""
    cost = economy.equivalent_a_year(50_000, Decimal("0.10"), Decimal(years))
    assert abs(cost - Fraction(expected)) <= Fraction("0.01")


@pytest.mark.parametrize(("years", "expected"), [(3, "20105.74"), (6, "11480.37")])
def test_3_17_through_a_quote(years: int, expected: str) -> None:
    """3.17 again, as the cost a year of an option of 50,000.00 that lasts as long as it is compared, at 10 %."""
    book = build.a_book(
        settings=build.settings(interest_a_year="0.10", years_to_compare=years),
        operations=[build.an_operation("FIT", 500)],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("MACHINE", ["WORN"], ["FIT"], life_years=years)],
        tiers=[build.a_tier("good")],
    )
    (tier,) = build_quote(book, build.a_job(build.a_finding_on("WORN"))).tiers
    assert tier.years is not None and tier.years.cost == Decimal(50_000)
    assert tier.years.equivalent_a_year is not None
    assert abs(tier.years.equivalent_a_year - Decimal(expected)) <= Decimal("0.01")


def test_3_20_capital_recovery_with_salvage_in_two_forms() -> None:
    """3.20 (E390, formula read, numbers worked out): asked within 1E-9 of each other; here they are equal."""
    interest, years = Decimal("0.08"), Decimal(5)
    first = economy.capital_recovery_with_salvage(8000, 500, interest, years)
    second = 7500 * economy.capital_recovery(interest, years) + Fraction(interest) * 500
    assert first == second
    assert abs(first - Fraction("1918.4234")) <= Fraction("0.00005")
