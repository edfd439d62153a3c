"""Outside checks 4.01 to 4.17: fits and bearings as limits of measured findings, inch and mm.

Sources
-------
ISO 286 tables
    mechguru.com and engineersvault.blogspot.com page copies, read, identical to the package pressfit 0.1.0 (4.01).
    The derivation of the tolerance unit is from memory (4.02).
PFIT
    pressfit 0.1.0, README example and tables.py, ISO 286-1 and -2 values (4.03 to 4.08); also the oracle here.
Machinery's Handbook, 31st edition
    Tables 8a and 8b, ANSI/ASME B4.1-1967 (2009) running and sliding fits (4.10).
BRG, INCH
    Bearing size chart, copies of one chart (4.11, 4.13); a bearing seller's catalogue page, inch 1600 series (4.14,
    4.15).
Others
    geratools.com and superglobalcalculator.com, bore code paragraphs (4.12); three published radial clearance charts,
    ISO 5753 groups (4.16); a rolling-bearing handbook, table 5.1, ISO 492 class 0 (4.17).

A published limit becomes a row of Fits only if, and `build_quote` decides: both ends fit, one micrometre outside does
not. Misprints of the charts (4.10, 4.16) are not asserted. Group C2 for bores of 10 to 18 is left out, as the charts
disagree.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from itertools import pairwise

import pressfit
import pytest

from quotekit.money import round_to
from quotekit.units import convert
from tests.outside_checks.small_shop import fitting, within_exactly

MICROMETRE = Decimal("0.001")
BANDS = [0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500]
GRADES = {
    5: [4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27],
    6: [6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40],
    7: [10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63],
    8: [14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97],
    9: [25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155],
    10: [40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250],
    11: [60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400],
}


@pytest.mark.parametrize("grade", GRADES)
def test_4_01_tolerance_grades(grade: int) -> None:
    """4.01: the printed table, the package's table, and a bore of each band held to nominal .. nominal + tolerance."""
    assert [pressfit.it_value(upper, grade) for upper in BANDS[1:]] == GRADES[grade]
    for upper, micrometres in zip(BANDS[1:], GRADES[grade], strict=True):
        within_exactly(Decimal(upper), upper + micrometres * MICROMETRE, MICROMETRE)


@pytest.mark.parametrize(
    ("band", "unit", "seven", "eight"),
    [((10, 18), "1.083", "17.3", "27.1"), ((18, 30), "1.307", "20.9", "32.7"), ((30, 50), "1.561", "25.0", "39.0")],
)
def test_4_02_tolerance_unit(band: tuple[int, int], unit: str, seven: str, eight: str) -> None:
    """4.02 (from memory; printed digits): i = 0.45 x cube root of D + 0.001 x D, IT7 is 16 i and IT8 is 25 i.

    The printed table is the authority: the standard rounds its own way.
    """
    mean = Decimal(band[0] * band[1]).sqrt()
    i = Decimal("0.45") * mean ** (Decimal(1) / 3) + MICROMETRE * mean
    assert round_to(i, 3) == Decimal(unit)
    assert (round_to(16 * i, 1), round_to(25 * i, 1)) == (Decimal(seven), Decimal(eight))


FITS = [
    ("25 H7/g6", "clearance", (7, 41), ("25.000", "25.021"), ("24.980", "24.993")),
    ("17 H7/g6", "clearance", (6, 35), ("17.000", "17.018"), ("16.983", "16.994")),
    ("25 H7/h6", "clearance", (0, 34), ("25.000", "25.021"), ("24.987", "25.000")),
    ("25 H7/k6", "transition", (-15, 19), ("25.000", "25.021"), ("25.002", "25.015")),
    ("25 H7/p6", "interference", (-35, -1), ("25.000", "25.021"), ("25.022", "25.035")),
]


@pytest.mark.parametrize(
    ("spec", "kind", "clearance", "hole", "shaft"), FITS, ids=["4.03", "4.04", "4.06", "4.07", "4.08"]
)
def test_iso_fits(
    spec: str, kind: str, clearance: tuple[int, int], hole: tuple[str, str], shaft: tuple[str, str]
) -> None:
    """4.03, 4.04, 4.06, 4.07, 4.08 (PFIT): the package agrees, and hole and shaft are limits of measured findings."""
    result = pressfit.fit(spec)
    assert (result.kind, result.clearance_um) == (kind, clearance)
    size = Decimal(spec.split()[0])
    limits_um = (result.hole_ei_um, result.hole_es_um, result.shaft_ei_um, result.shaft_es_um)
    assert [size + um * MICROMETRE for um in limits_um] == [Decimal(text) for text in (*hole, *shaft)]
    low, high = (Decimal(hole[0]) - Decimal(shaft[1]), Decimal(hole[1]) - Decimal(shaft[0]))
    assert (low, high) == (clearance[0] * MICROMETRE, clearance[1] * MICROMETRE)
    for limits in (hole, shaft):
        within_exactly(Decimal(limits[0]), Decimal(limits[1]), MICROMETRE)


RUNNING_FITS = [
    ("RC1", "0.24-0.40", ("0.2", "0.6"), ("0", "0.25"), ("-0.35", "-0.2")),
    ("RC2", "0.24-0.40", ("0.2", "0.85"), ("0", "0.4"), ("-0.45", "-0.2")),
    ("RC3", "0.24-0.40", ("0.5", "1.5"), ("0", "0.6"), ("-0.9", "-0.5")),
    ("RC4", "0.24-0.40", ("0.5", "2.0"), ("0", "0.9"), ("-1.1", "-0.5")),
    ("RC3", "0.71-1.19", ("0.8", "2.1"), ("0", "0.8"), ("-1.3", "-0.8")),
    ("RC4", "0.71-1.19", ("0.8", "2.8"), ("0", "1.2"), ("-1.6", "-0.8")),
    ("RC5", "0.71-1.19", ("1.6", "3.6"), ("0", "1.2"), ("-2.4", "-1.6")),
    ("RC6", "0.71-1.19", ("1.6", "4.8"), ("0", "2.0"), ("-2.8", "-1.6")),
    ("RC4", "1.19-1.97", ("1.0", "3.6"), ("0", "1.6"), ("-2.0", "-1.0")),
]


@pytest.mark.parametrize(("name", "size", "clearance", "hole", "shaft"), RUNNING_FITS)
def test_4_10_inch_running_fits(
    name: str, size: str, clearance: tuple[str, str], hole: tuple[str, str], shaft: tuple[str, str]
) -> None:
    """4.10 (Machinery's Handbook): thousandths of an inch; the clearance, in mm, is a limit of a measured finding."""
    low, high = map(Decimal, clearance)
    assert (low, high) == (Decimal(hole[0]) - Decimal(shaft[1]), Decimal(hole[1]) - Decimal(shaft[0])), (name, size)
    lowest, highest = (millimetres(value / 1000) for value in (low, high))
    within_exactly(lowest, highest, MICROMETRE / 1000)


def millimetres(inches: Decimal) -> Decimal:
    """Inches as mm, exact, by the engine's own conversion."""
    converted = convert(inches, "in", "mm")
    assert isinstance(converted, Decimal)
    return converted


BEARINGS = {
    "6000": (10, 26, 8),
    "6001": (12, 28, 8),
    "6003": (17, 35, 10),
    "6004": (20, 42, 12),
    "6005": (25, 47, 12),
    "6200": (10, 30, 9),
    "6201": (12, 32, 10),
    "6202": (15, 35, 11),
    "6203": (17, 40, 12),
    "6204": (20, 47, 14),
    "6205": (25, 52, 15),
    "6206": (30, 62, 16),
    "6207": (35, 72, 17),
    "6208": (40, 80, 18),
}
MEASURES = ("BORE", "OUTSIDE", "WIDTH")


@pytest.mark.parametrize("bearing", BEARINGS)
def test_4_11_a_bearing_is_known_by_its_three_dimensions(bearing: str) -> None:
    """4.11 (BRG, ISO 15): bore, outside and width measured, one bearing of the fourteen fits."""
    catalogue = {
        code: {finding: (str(size), str(size)) for finding, size in zip(MEASURES, sizes, strict=True)}
        for code, sizes in BEARINGS.items()
    }
    measured = {finding: str(size) for finding, size in zip(MEASURES, BEARINGS[bearing], strict=True)}
    assert fitting(catalogue, measured) == {bearing}


def test_4_12_bore_codes() -> None:
    """4.12: codes 00 to 03 are 10, 12, 15 and 17 mm, from 04 on five times the code; the bearings of 4.11 agree."""
    published = {"00": 10, "01": 12, "02": 15, "03": 17, "04": 20, "05": 25, "10": 50}
    special = {"00": 10, "01": 12, "02": 15, "03": 17}
    assert {code: special.get(code, 5 * int(code)) for code in published} == published
    assert {code[2:]: sizes[0] for code, sizes in BEARINGS.items() if code[2:] in published} == {
        code: bore for code, bore in published.items() if code != "10"
    }


@pytest.mark.parametrize(
    ("bearing", "inches"),
    [
        ("6203", ("0.669", "1.575", "0.472")),
        ("6205", ("0.984", "2.047", "0.591")),
        ("6004", ("0.787", "1.654", "0.472")),
    ],
)
def test_4_13_inches_from_millimetres(bearing: str, inches: tuple[str, str, str]) -> None:
    """4.13 (BRG): to 0.001 in; 25.4 mm in an inch exactly (international inch, from memory)."""
    exact = [convert(Decimal(size), "mm", "in") for size in BEARINGS[bearing]]
    assert [round_to(value, 3) for value in exact] == [Decimal(text) for text in inches]


INCH_BEARINGS = {
    "1603": ("5/16", "7/8", "9/32", "7.938", "22.225", "7.144"),
    "1616": ("1/2", "1-1/8", "3/8", "12.700", "28.575", "9.525"),
    "1623": ("5/8", "1-3/8", "7/16", "15.875", "34.925", "11.112"),
    "1628": ("5/8", "1-5/8", "1/2", "15.875", "41.275", "12.700"),
    "1630": ("3/4", "1-5/8", "1/2", "19.050", "41.275", "12.700"),
    "1635": ("3/4", "1-3/4", "1/2", "19.050", "44.450", "12.700"),
    "1641": ("1", "2", "9/16", "25.400", "50.800", "14.288"),
}


def inches(text: str) -> Decimal:
    """`1-1/8` as a Decimal; sixteenths and thirty-seconds are exact."""
    whole, _, fraction = text.rpartition("-")
    exact = Fraction(whole or 0) + Fraction(fraction)
    return Decimal(exact.numerator) / Decimal(exact.denominator)


def half_even(value: Decimal) -> str:
    """To 0.001, half to even, as this catalogue prints."""
    return str(value.quantize(MICROMETRE, ROUND_HALF_EVEN))


@pytest.mark.parametrize("bearing", INCH_BEARINGS)
def test_4_14_inch_bearings(bearing: str) -> None:
    """4.14 (INCH): the engine converts exactly; the catalogue rounds those values half to even."""
    *sizes, bore, outside, width = INCH_BEARINGS[bearing]
    assert [half_even(millimetres(inches(size))) for size in sizes] == [bore, outside, width]


@pytest.mark.parametrize(
    ("inch", "exact", "printed", "half_up"),
    [
        ("3/16", "4.7625", "4.762", "4.763"),
        ("5/16", "7.9375", "7.938", "7.938"),
        ("7/16", "11.1125", "11.112", "11.113"),
        ("9/16", "14.2875", "14.288", "14.288"),
        ("11/16", "17.4625", "17.462", "17.463"),
    ],
)
def test_4_15_a_table_that_rounds_half_to_even(inch: str, exact: str, printed: str, half_up: str) -> None:
    """4.15 (INCH): why measurements are compared exactly and never rounded first."""
    value = millimetres(inches(inch))
    assert value == Decimal(exact)
    assert (half_even(value), str(round_to(value, 3))) == (printed, half_up)


CLEARANCE_BORES = [(10, 18), (18, 24), (24, 30), (30, 40), (40, 50)]
CLEARANCES: dict[str, list[tuple[int, int] | None]] = {
    "C2": [None, (0, 10), (1, 11), (1, 11), (1, 11)],
    "CN": [(3, 18), (5, 20), (5, 20), (6, 20), (6, 23)],
    "C3": [(11, 25), (13, 28), (13, 28), (15, 33), (18, 36)],
    "C4": [(18, 33), (20, 36), (23, 41), (28, 46), (30, 51)],
    "C5": [(25, 45), (28, 48), (30, 53), (40, 64), (45, 73)],
}


@pytest.mark.parametrize("bore", range(len(CLEARANCE_BORES)), ids=[f"{a}-{b} mm" for a, b in CLEARANCE_BORES])
def test_4_16_radial_clearance_groups(bore: int) -> None:
    """4.16 (three charts): each group is a remedy that fits within its clearance; neighbours overlap, groups rise."""
    groups = {name: limits for name, row in CLEARANCES.items() if (limits := row[bore]) is not None}
    remedies = {name: {"CLEARANCE": (str(low), str(high))} for name, (low, high) in groups.items()}
    for low, high in groups.values():
        for value in (low - 1, low, high, high + 1):
            expected = {name for name, (least, most) in groups.items() if least <= value <= most}
            assert fitting(remedies, {"CLEARANCE": str(value)}) == expected
    assert all(a < b for one, other in pairwise(groups.values()) for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize(("bore", "lower"), [(10, 8), (18, 8), (30, 10), (50, 12), (80, 15), (120, 20)])
def test_4_17_bore_tolerance_of_normal_class(bore: int, lower: int) -> None:
    """4.17: bands 2.5-10-18-30-50-80-120 mm, upper 0, lower -8, -8, -10, -12, -15, -20 um, at the top of each band."""
    within_exactly(bore - lower * MICROMETRE, Decimal(bore), MICROMETRE)
