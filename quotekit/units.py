"""Measured values from one unit to another, exactly.

Lengths, pressures, forces, torques, masses, volumes and temperatures; every factor is exact by definition.
Sources: NIST SP 811 (2008), appendix B; NIST Handbook 44, appendix C; BIPM SI brochure (2019).
The gallon, quart, pint and fluid ounce are those of the United States.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

INCH_MM = Fraction(254, 10)
"""International inch, 25.4 mm (yard and pound agreement of 1959; NIST SP 811 B.6)."""

POUND_KG = Fraction(45359237, 100000000)
"""International pound, 0.45359237 kg (1959; NIST SP 811 B.6)."""

GRAVITY = Fraction(980665, 100000)
"""Standard acceleration of free fall, 9.80665 m/s2 (third CGPM, 1901; ISO 80000-3)."""

POUND_FORCE_N = POUND_KG * GRAVITY
INCH_M = INCH_MM / 1000
INCH_ML = (INCH_MM / 10) ** 3
GALLON_ML = 231 * INCH_ML
"""US gallon, 231 cubic inches (NIST Handbook 44, appendix C)."""

ABSOLUTE_ZERO_C = Fraction(27315, 100)
"""0 degrees Celsius is 273.15 K (SI brochure, 2.3.1); Fahrenheit is 9/5 Celsius + 32 (NIST SP 811 B.8)."""


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
        ("length", 10, "cm centimetre centimeter centimetres centimeters"),
        ("length", 1000, "m metre meter metres meters"),
        ("length", Fraction(1, 1000), "µm um micron microns micrometre micrometer"),
        ("length", INCH_MM, 'in in. inch inches "'),
        ("length", INCH_MM * 12, "ft ft. foot feet '"),
        ("length", INCH_MM / 1000, "thou mil mils"),
        ("pressure", 1, "pa pascal"),
        ("pressure", 1000, "kpa"),
        ("pressure", 1000000, "mpa n/mm2 n/mm²"),
        ("pressure", 100000, "bar bars"),
        ("pressure", 100, "mbar hpa"),
        ("pressure", GRAVITY * 10000, "kgf/cm2 kgf/cm² kg/cm2 kg/cm²"),
        ("pressure", POUND_FORCE_N / INCH_M**2, "psi lb/in2 lb/in² lbf/in2 lbf/in²"),
        ("force", 1, "n newton newtons"),
        ("force", 1000, "kn"),
        ("force", POUND_FORCE_N, "lbf lb-f"),
        ("force", GRAVITY, "kgf"),
        ("torque", 1, "nm n·m n.m n*m n-m"),
        ("torque", POUND_FORCE_N * INCH_M * 12, _both_ways("ft foot", "lb lbs lbf pound pounds")),
        ("torque", POUND_FORCE_N * INCH_M, _both_ways("in inch", "lb lbs lbf pound pounds")),
        ("torque", GRAVITY, _both_ways("m", "kgf kg")),
        ("mass", 1, "g gram grams"),
        ("mass", 1000, "kg kilogram kilograms"),
        ("mass", POUND_KG * 1000, "lb lbs pound pounds"),
        ("mass", POUND_KG * 1000 / 16, "oz ounce ounces"),
        ("volume", 1, "ml millilitre milliliter millilitres milliliters cc ccm cm3 cm³"),
        ("volume", 1000, "l litre liter litres liters"),
        ("volume", INCH_ML, "in3 in³ cuin"),
        ("volume", GALLON_ML, "gal gallon gallons usgal"),
        ("volume", GALLON_ML / 4, "qt quart quarts usqt"),
        ("volume", GALLON_ML / 8, "pt pint pints uspt"),
        ("volume", GALLON_ML / 128, "floz fl.oz fluidounce fluidounces usfloz"),
        ("temperature", 1, "k kelvin"),
    ]
    units = {name: Unit(kind, Fraction(factor)) for kind, factor, names in table for name in names.split()}
    celsius = Unit("temperature", Fraction(1), ABSOLUTE_ZERO_C)
    fahrenheit = Unit("temperature", Fraction(5, 9), ABSOLUTE_ZERO_C - Fraction(5, 9) * 32)
    units.update(dict.fromkeys(("c", "°c", "degc", "celsius"), celsius))
    units.update(dict.fromkeys(("f", "°f", "degf", "fahrenheit"), fahrenheit))
    return units


def _both_ways(arm: str, force: str) -> str:
    """Spellings of a torque: either word first, with a hyphen, a dot, a star or nothing between."""
    pairs = [(a, f) for a in arm.split() for f in force.split()]
    return " ".join(f"{a}{sign}{f} {f}{sign}{a}" for a, f in pairs for sign in ("-", "·", ".", "*", ""))


_UNITS = _units()
_SIGNS = str.maketrans({"⋅": "·", "•": "·", "×": "*", "”": '"', "“": '"', "″": '"', "′": "'", "’": "'"})
_CASED = {"mPa": Unit("pressure", Fraction(1, 1000))}


def find_unit(text: str) -> Unit:
    """A unit by its text, whatever its spaces and its case; only `mPa` is not `MPa`.

    Raises UnknownUnit with the nearest known one.
    """
    typed = "".join(text.split()).translate(_SIGNS)
    known = typed.casefold().replace("μ", "µ")
    found = _CASED.get(typed) or _UNITS.get(known) or _UNITS.get(known.removesuffix("."))
    if found is None:
        from difflib import get_close_matches

        near = get_close_matches(known[:30], _UNITS, n=1)
        hint = f"; did you mean {near[0]}?" if near else ""
        raise UnknownUnit(f"{text[:30]} is not a known unit{hint}")
    return found


def same_unit(first: str, second: str) -> bool:
    """The same unit text, or two spellings of one unit.

    >>> same_unit("IN", "in"), same_unit("flats", "Flats "), same_unit("inch", "in"), same_unit("mPa", "MPa")
    (True, True, True, False)
    """
    try:
        return find_unit(first) == find_unit(second)
    except UnknownUnit:
        return "".join(first.split()).casefold() == "".join(second.split()).casefold()


def convert(value: Decimal, unit_from: str, unit_to: str) -> Decimal | Fraction:
    """A value in another unit of the same kind, exactly; a Fraction where no finite decimal is exact.

    Raises UnknownUnit or CannotConvert.

    >>> convert(Decimal("0.75"), "in", "mm"), convert(Decimal("212"), "F", "C"), convert(Decimal("1"), "cm", "in")
    (Decimal('19.05'), Decimal('100'), Fraction(50, 127))
    >>> convert(Decimal("1"), "mm", "psi")
    Traceback (most recent call last):
    quotekit.units.CannotConvert: mm (length) does not convert to psi (pressure)
    """
    start, end = find_unit(unit_from), find_unit(unit_to)
    if start.kind != end.kind:
        raise CannotConvert(f"{unit_from} ({start.kind}) does not convert to {unit_to} ({end.kind})")
    return _decimal((Fraction(value) * start.factor + start.offset - end.offset) / end.factor)


def _decimal(exact: Fraction) -> Decimal | Fraction:
    """The finite decimal equal to a fraction, digit for digit, where there is one."""
    rest, places = exact.denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest, times = rest // prime, times + 1
        places = max(places, times)
    return exact if rest != 1 else Decimal(f"{int(exact * 10**places)}e-{places}")
