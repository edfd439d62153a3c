"""Outside checks 8.01 to 8.04: rounding with negatives, the IBM decimal cases, floats as a trap, minor units.

Sources: Oracle, Java SE 8 API, java.math.RoundingMode, summary table (8.01); IBM General Decimal Arithmetic test
cases, quantize.decTest 2.59, which ships inside CPython (8.02); IEEE 754 binary64 as in the Python tutorial, from
memory (8.03); ISO 4217 list one as carried by the packages iso4217 and Babel (8.04).
"""

from __future__ import annotations

import decimal
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from babel.numbers import get_currency_precision
from iso4217 import Currency

from quotekit.money import minor_digits, round_to, round_up
from tests.build import a_book, a_job, a_one_off, a_tier
from tests.build import settings as shop_settings
from tests.outside_checks.small_shop import only_tier

VALUES = ["5.5", "2.5", "1.6", "1.1", "1.0", "-1.0", "-1.1", "-1.6", "-2.5", "-5.5"]
MODES = {
    "UP": [6, 3, 2, 2, 1, -1, -2, -2, -3, -6],
    "DOWN": [5, 2, 1, 1, 1, -1, -1, -1, -2, -5],
    "CEILING": [6, 3, 2, 2, 1, -1, -1, -1, -2, -5],
    "FLOOR": [5, 2, 1, 1, 1, -1, -2, -2, -3, -6],
    "HALF_UP": [6, 3, 2, 1, 1, -1, -1, -2, -3, -6],
    "HALF_DOWN": [5, 2, 2, 1, 1, -1, -1, -2, -2, -5],
    "HALF_EVEN": [6, 2, 2, 1, 1, -1, -1, -2, -2, -6],
}


@pytest.mark.parametrize("mode", MODES)
def test_8_01_seven_modes(mode: str) -> None:
    """8.01: the table the engine's own modes are taken from."""
    rounding = getattr(decimal, f"ROUND_{mode}")
    assert [Decimal(value).quantize(Decimal(1), rounding) for value in VALUES] == MODES[mode]


def test_8_01_money_is_half_up_and_at_most_is_ceiling() -> None:
    """8.01: `round_to` is HALF_UP, credits and refunds too; `round_up` is CEILING for amounts above zero."""
    assert [round_to(Decimal(value), 0) for value in VALUES] == MODES["HALF_UP"]
    assert [round_up(Decimal(value), 0) for value in VALUES[:5]] == MODES["CEILING"][:5]


@pytest.mark.parametrize(
    ("value", "quantum", "result"),
    [
        ("2.17", "0.001", "2.170"),
        ("2.17", "0.01", "2.17"),
        ("2.17", "0.1", "2.2"),
        ("-0.5", "1", "-1"),
        ("1.2345", "0.01", "1.23"),
        ("1.2355", "0.01", "1.24"),
    ],
    ids=["quax060", "quax061", "quax062", "quax038", "quax093", "quax094"],
)
def test_8_02_ibm_decimal_cases(value: str, quantum: str, result: str) -> None:
    """8.02 (quantize.decTest, half up): the text must be the same, trailing zero and all."""
    digits = -int(Decimal(quantum).as_tuple().exponent)
    assert str(round_to(Decimal(value), digits)) == result


def half_up_cases(path: Path) -> Iterator[tuple[str, str, str, str]]:
    """Id, value, quantum and result of finite half-up cases whose quantum is a power of ten with no digit above one."""
    rounding = ""
    for line in path.read_text(encoding="latin-1").splitlines():
        words = line.split("--")[0].replace("'", "").split()
        if line.lower().startswith("rounding:"):
            rounding = words[1].lower()
        if len(words) >= 6 and words[1] == "quantize" and rounding == "half_up" and words[4] == "->":
            name, _, value, quantum, _, result = words[:6]
            if is_quantum(quantum) and is_finite(value) and is_finite(result):
                yield name, value, quantum, result


def is_finite(text: str) -> bool:
    """A number that Decimal reads and that is no infinity, no NaN and not minus zero."""
    try:
        number = Decimal(text)
    except decimal.InvalidOperation:
        return False
    return number.is_finite() and not (number.is_zero() and number.is_signed()) and abs(number.adjusted()) < 60


def is_quantum(text: str) -> bool:
    """One, or a decimal fraction of one: the only quanta that a minor unit can be."""
    return (
        is_finite(text)
        and Decimal(text).as_tuple().digits == (1,)
        and -60 < int(Decimal(text).as_tuple().exponent) <= 0
    )


def test_8_02_every_half_up_case_that_money_can_meet() -> None:
    """8.02: the whole file of quantize.decTest, cut to quanta that are minor units and to exact results."""
    folder = pytest.importorskip("test.test_decimal", reason="this Python has no test package").__file__
    path = Path(folder).parent / "decimaltestdata/quantize.decTest"
    if not path.exists():
        pytest.skip("this Python ships no decimaltestdata")
    cases = list(half_up_cases(path))
    assert len(cases) > 100
    for name, value, quantum, result in cases:
        digits = -int(Decimal(quantum).as_tuple().exponent)
        assert (name, str(round_to(Decimal(value), digits))) == (name, str(Decimal(result)))


def test_8_03_binary_floats_lose_money() -> None:
    """8.03 (from memory): why no float enters the core."""
    assert 0.1 + 0.2 != 0.3
    assert round(2.675, 2) == 2.67
    assert [round(0.5), round(1.5), round(2.5)] == [0, 2, 2]
    assert Decimal("0.1") + Decimal("0.2") == Decimal("0.3")
    assert round_to(Decimal("2.675"), 2) == Decimal("2.68")


@pytest.mark.parametrize(
    ("currency", "digits"),
    list(zip("JPY KRW USD EUR GBP CAD KWD BHD TND CLF".split(), [0, 0, 2, 2, 2, 2, 3, 3, 3, 4], strict=True)),
)
def test_8_04_minor_units(currency: str, digits: int) -> None:
    """8.04: read in both packages, which agree on these ten."""
    assert minor_digits(currency) == Currency(currency).exponent == get_currency_precision(currency) == digits


LANGUAGE_DATA_DISAGREES = set("AFN ALL IRR IQD KPW LAK LBP MGA MMK RSD SOS SYP YER".split())


def test_8_04_the_standard_wins_for_every_currency() -> None:
    """8.04: every ISO currency with a minor unit; Babel's data says 0 for 13 of them and the standard is followed."""
    listed = [currency for currency in Currency if currency.exponent is not None]
    assert len(listed) > 150
    assert {c.code for c in listed if minor_digits(c.code) != c.exponent} == set()
    assert {c.code for c in listed if get_currency_precision(c.code) != c.exponent} == LANGUAGE_DATA_DISAGREES


@pytest.mark.parametrize(("currency", "amount"), [("JPY", "1235"), ("USD", "1234.57"), ("KWD", "1234.568")])
def test_8_04_a_quote_is_rounded_to_the_minor_unit(currency: str, amount: str) -> None:
    """8.04 through the engine: 1,234.5675 of a charge in three currencies."""
    book = a_book(settings=shop_settings(currency=currency), tiers=[a_tier("good")])
    tier = only_tier(book, a_job(one_off=(a_one_off(1, "charge", unit_price="1234.5675"),)))
    assert str(tier.total) == amount
