"""Measured values from one unit to another, exactly.

Lengths, pressures, forces, torques, masses, volumes and temperatures. Factors are exact by definition:
international inch 25.4 mm and pound 0.45359237 kg (1959), standard gravity 9.80665 m/s2 (ISO 80000-3),
US gallon 231 cubic inches (NIST Handbook 44, appendix C), 0 degrees C = 273.15 K, F = 9/5 C + 32.
"""

from __future__ import annotations

from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from typing import NamedTuple

INCH_MM = Fraction(254, 10)
POUND_KG = Fraction(45359237, 100000000)
GRAVITY = Fraction(980665, 100000)
POUND_FORCE_N = POUND_KG * GRAVITY
INCH_M = INCH_MM / 1000
GALLON_ML = 231 * (INCH_MM / 10) ** 3
ABSOLUTE_ZERO_C = Fraction(27315, 100)


class UnknownUnit(ValueError):
    """A unit text that is none of those known."""


class CannotConvert(ValueError):
    """Two units that do not measure the same thing."""


class Unit(NamedTuple):
    """A unit as `value x factor + offset` in the unit its kind is measured by."""

    kind: str
    factor: Fraction
    offset: Fraction = Fraction(0)


def _units() -> dict[str, Unit]:
    table: list[tuple[str, Fraction | int, str]] = [
        ("length", 1, "mm millimetre millimeter millimetres millimeters"),
        ("length", 10, "cm centimetre centimeter"),
        ("length", 1000, "m metre meter metres meters"),
        ("length", Fraction(1, 1000), "µm um micron microns micrometre micrometer"),
        ("length", INCH_MM, 'in in. inch inches " ″'),
        ("length", INCH_MM * 12, "ft ft. foot feet ' ′"),
        ("length", INCH_MM / 1000, "thou mil mils"),
        ("pressure", 1, "pa"),
        ("pressure", 1000, "kpa"),
        ("pressure", 1000000, "mpa"),
        ("pressure", 100000, "bar"),
        ("pressure", POUND_FORCE_N / INCH_M**2, "psi lb/in2 lb/in²"),
        ("force", 1, "n newton newtons"),
        ("force", 1000, "kn"),
        ("force", POUND_FORCE_N, "lbf"),
        ("force", GRAVITY, "kgf"),
        ("torque", 1, "nm n·m n.m n*m n-m"),
        ("torque", POUND_FORCE_N * INCH_M * 12, "ft-lb ft-lbs ftlb ft·lb lb-ft lbf-ft lbf·ft lb·ft ft.lb ftlbs lbft"),
        ("torque", POUND_FORCE_N * INCH_M, "in-lb in-lbs inlb in·lb lb-in lbf-in lbf·in lb·in in.lb inlbs lbin"),
        ("torque", GRAVITY, "kgf·m kgf-m kgfm kg-m kgm"),
        ("mass", 1, "g gram grams"),
        ("mass", 1000, "kg kilogram kilograms"),
        ("mass", POUND_KG * 1000, "lb lbs pound pounds"),
        ("mass", POUND_KG * 1000 / 16, "oz ounce ounces"),
        ("volume", 1, "ml millilitre milliliter cc cm3 cm³"),
        ("volume", 1000, "l litre liter litres liters"),
        ("volume", GALLON_ML, "gal gallon gallons"),
        ("volume", GALLON_ML / 4, "qt quart quarts"),
        ("volume", GALLON_ML / 8, "pt pint pints"),
        ("volume", GALLON_ML / 128, "floz fl.oz fl.oz. fluidounce"),
        ("temperature", 1, "k kelvin"),
    ]
    units = {name: Unit(kind, Fraction(factor)) for kind, factor, names in table for name in names.split()}
    celsius = Unit("temperature", Fraction(1), ABSOLUTE_ZERO_C)
    fahrenheit = Unit("temperature", Fraction(5, 9), ABSOLUTE_ZERO_C - Fraction(5, 9) * 32)
    units.update(dict.fromkeys(("c", "°c", "degc", "celsius"), celsius))
    units.update(dict.fromkeys(("f", "°f", "degf", "fahrenheit"), fahrenheit))
    return units


_UNITS = _units()
_CASED = {"mPa": Unit("pressure", Fraction(1, 1000))}


def find_unit(text: str) -> Unit:
    """A unit by its text, whatever its case and spaces.

    Raises UnknownUnit with the nearest known one.
    """
    typed = "".join(text.split())
    found = _CASED.get(typed) or _UNITS.get(typed.casefold().replace("μ", "µ"))
    if found is None:
        near = get_close_matches(typed.casefold(), _UNITS, n=1)
        hint = f"; did you mean {near[0]}?" if near else ""
        raise UnknownUnit(f"{text} is not a known unit{hint}")
    return found


def same_unit(first: str, second: str) -> bool:
    """The same unit text, or two spellings of one unit.

    >>> same_unit("IN", "in"), same_unit("flats", "Flats "), same_unit("inch", "in"), same_unit("mm", "in")
    (True, True, True, False)
    """
    if "".join(first.split()).casefold() == "".join(second.split()).casefold():
        return True
    try:
        return find_unit(first) == find_unit(second)
    except UnknownUnit:
        return False


def convert(value: Decimal, unit_from: str, unit_to: str) -> Decimal | Fraction:
    """A value in another unit of the same kind, exactly; a Fraction where no finite decimal is exact.

    Raises UnknownUnit or CannotConvert.

    >>> convert(Decimal("0.75"), "in", "mm"), convert(Decimal("212"), "F", "C")
    (Decimal('19.05'), Decimal('100'))
    """
    start, end = find_unit(unit_from), find_unit(unit_to)
    if start.kind != end.kind:
        raise CannotConvert(f"{unit_from} ({start.kind}) does not convert to {unit_to} ({end.kind})")
    exact = (Fraction(value) * start.factor + start.offset - end.offset) / end.factor
    return _decimal(exact)


def _decimal(exact: Fraction) -> Decimal | Fraction:
    """The finite decimal equal to a fraction, where there is one."""
    rest, places = exact.denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest, times = rest // prime, times + 1
        places = max(places, times)
    if rest != 1:
        return exact
    return Decimal((exact * 10**places).numerator).scaleb(-places).normalize() + 0
