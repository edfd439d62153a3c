"""Measured values between units: exact by definition, against published values and the other way round."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.units import CannotConvert, UnknownUnit, convert, find_unit, same_unit

KINDS: dict[str, list[str]] = {
    "length": ["mm", "cm", "m", "µm", "in", "ft", "thou"],
    "pressure": ["Pa", "kPa", "MPa", "bar", "psi"],
    "force": ["N", "kN", "lbf", "kgf"],
    "torque": ["Nm", "ft-lb", "in-lb", "kgf·m"],
    "mass": ["g", "kg", "lb", "oz"],
    "volume": ["ml", "l", "gal", "qt", "pt", "fl oz"],
    "temperature": ["K", "°C", "°F"],
}

BY_DEFINITION: list[tuple[str, str, str, str]] = [
    ("1", "in", "mm", "25.4"),
    ("1", "ft", "in", "12"),
    ("1", "thou", "mm", "0.0254"),
    ("1", "mil", "µm", "25.4"),
    ("19.05", "mm", "in", "0.75"),
    ("1", "m", "cm", "100"),
    ("1", "lb", "g", "453.59237"),
    ("1", "lb", "oz", "16"),
    ("1", "kgf", "N", "9.80665"),
    ("1", "lbf", "N", "4.4482216152605"),
    ("12", "in-lb", "ft-lb", "1"),
    ("1", "ft-lb", "Nm", "1.3558179483314004"),
    ("1", "kgf·m", "Nm", "9.80665"),
    ("1", "bar", "kPa", "100"),
    ("1", "MPa", "bar", "10"),
    ("1", "mPa", "Pa", "0.001"),
    ("1", "gal", "ml", "3785.411784"),
    ("1", "gal", "qt", "4"),
    ("1", "qt", "pt", "2"),
    ("1", "pt", "fl oz", "16"),
    ("1", "l", "cc", "1000"),
    ("100", "°C", "°F", "212"),
    ("-40", "F", "C", "-40"),
    ("0", "K", "°C", "-273.15"),
    ("32", "degF", "degC", "0"),
    ("0", "K", "°F", "-459.67"),
]


@pytest.mark.parametrize(("value", "unit_from", "unit_to", "expected"), BY_DEFINITION)
def test_factors_are_those_of_the_definitions(value: str, unit_from: str, unit_to: str, expected: str) -> None:
    """International inch and pound (1959), standard gravity (ISO 80000-3), US gallon (NIST Handbook 44, C)."""
    assert convert(Decimal(value), unit_from, unit_to) == Decimal(expected)


def test_psi_agrees_with_the_published_value() -> None:
    """NIST SP 811, appendix B.8 gives 6.894757 E+03 Pa to seven digits."""
    found = convert(Decimal(1), "psi", "Pa")
    assert isinstance(found, Fraction) and round(found, 3) == Fraction("6894.757")


def test_what_is_not_finite_stays_exact() -> None:
    """1 cm is 50/127 inch; a rounded decimal would make a limit wrong by its last digit."""
    assert convert(Decimal(1), "cm", "in") == Fraction(50, 127)
    assert convert(Decimal(1), "°F", "°C") == Fraction(-155, 9)


SPELLINGS: list[tuple[str, str]] = [
    ("IN", "in"),
    ("inches", '"'),
    ("in.", "″"),
    ("foot", "'"),
    ("Millimeters", "mm"),
    ("millimetres", "mm"),
    ("μm", "µm"),
    ("um", "micron"),
    ("N·m", "nm"),
    ("N m", "Nm"),
    ("n-m", "N.m"),
    ("ft lb", "ft-lb"),
    ("lbf·ft", "FT-LBS"),
    ("lb-in", "in lb"),
    ("PSI", "lb/in²"),
    ("fl. oz.", "fl oz"),
    ("CC", "ml"),
    ("Litre", "liter"),
    ("° C", "celsius"),
    ("DegF", "°f"),
    (" mm ", "mm"),
]


@pytest.mark.parametrize(("first", "second"), SPELLINGS)
def test_spellings_of_one_unit(first: str, second: str) -> None:
    """Cases, spaces, dots and both Greek letters mu: a shop types them all."""
    assert same_unit(first, second) and find_unit(first) == find_unit(second)


@pytest.mark.parametrize(
    ("first", "second"),
    [("mm", "in"), ("mPa", "MPa"), ("ft-lb", "in-lb"), ("lb", "lbf"), ("kg", "kgf"), ("flats", "mm")],
)
def test_units_that_are_not_the_same(first: str, second: str) -> None:
    """A thousand millions lie between mPa and MPa; a pound of mass is no pound of force."""
    assert not same_unit(first, second)


def test_unknown_units_are_the_same_only_by_their_text() -> None:
    """A finding may be measured in flats or grooves: known or not, the limit is in the same unit."""
    assert same_unit("Flats ", "flats") and not same_unit("flats", "grooves") and same_unit("", " ")


@pytest.mark.parametrize("text", ["", "   ", "furlong", "mmm", "%", "1", "in-mm", "x" * 10_000])
def test_an_unknown_unit_is_said_to_be_unknown(text: str) -> None:
    with pytest.raises(UnknownUnit) as caught:
        find_unit(text)
    assert len(str(caught.value)) < 200


def test_the_nearest_unit_is_proposed() -> None:
    with pytest.raises(UnknownUnit, match="did you mean millimet"):
        find_unit("milimeter")


def test_different_kinds_do_not_convert() -> None:
    """Torque and energy look alike, mass and force too; nothing is guessed between kinds."""
    pairs = [(first[0], second[0]) for first in KINDS.values() for second in KINDS.values() if first is not second]
    assert len(pairs) == 42
    for unit_from, unit_to in pairs:
        with pytest.raises(CannotConvert, match="does not convert"):
            convert(Decimal(1), unit_from, unit_to)


@pytest.mark.parametrize("kind", KINDS)
@given(value=st.decimals(min_value=-(10**6), max_value=10**6, places=4, allow_nan=False))
def test_there_and_back_is_the_same_value(kind: str, value: Decimal) -> None:
    """Exact both ways: nothing may be lost between the unit measured in and the unit of the limit."""
    first = KINDS[kind][0]
    for other in KINDS[kind]:
        there = convert(value, first, other)
        if isinstance(there, Decimal):
            assert convert(there, other, first) == value
        else:
            factor = find_unit(other).factor / find_unit(first).factor
            offset = find_unit(other).offset - find_unit(first).offset
            assert there * factor + offset == Fraction(value)


@pytest.mark.parametrize("kind", KINDS)
def test_order_is_kept(kind: str) -> None:
    """A greater measurement stays the greater one in every unit, so that a limit decides alike."""
    for unit_from in KINDS[kind]:
        for unit_to in KINDS[kind]:
            low, high = (convert(Decimal(text), unit_from, unit_to) for text in ("19.1", "19.1001"))
            assert Fraction(low) < Fraction(high)


def test_a_converted_value_is_plain() -> None:
    """No lost digits beyond the usual 28 of a decimal, and no power of ten that prints strangely."""
    assert f"{convert(Decimal('1000'), 'mm', 'm'):f}" == "1"
    long = Decimal("123456789.123456789123456789")
    assert convert(long, "in", "mm") == Decimal("3135802443.7358024437358024406")
