"""What a measurement says, compared exactly before anything is rounded (DESIGN.md 5.1)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import FailsWhen
from quotekit.units import CannotConvert, UnknownUnit
from quotekit.workbook.measurement import far_off, in_unit, judge, kept

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("measured", "limit", "fails_when", "passes"),
    [
        ("19.5", "19.5", "above", True),
        ("19.500001", "19.5", "above", False),
        ("19.5", "19.5", "below", True),
        ("19.499999", "19.5", "below", False),
        ("-1", "0", "below", False),
    ],
)
def test_on_the_limit_passes(measured: str, limit: str, fails_when: FailsWhen, passes: bool) -> None:
    assert judge(Fraction(measured), Fraction(limit), fails_when) is passes


@pytest.mark.parametrize(
    ("measured", "limit", "fails_when"),
    [(None, Fraction(1), "above"), (Fraction(1), None, "above"), (Fraction(1), Fraction(1), None)],
)
def test_without_limit_measurement_or_direction_nothing_decides(
    measured: Fraction | None, limit: Fraction | None, fails_when: FailsWhen | None
) -> None:
    assert judge(measured, limit, fails_when) is None


def test_a_third_of_an_inch_is_compared_unrounded() -> None:
    """0.75 in is 19.05 mm exactly; a measurement of 19.05 mm lies on that limit, not beside it."""
    measured = in_unit(Decimal("19.05"), "mm", "in")
    assert measured == Fraction(3, 4)
    assert judge(measured, Fraction("0.75"), "above") is True


def test_the_books_own_unit_text_needs_no_conversion() -> None:
    """Flats, notches or clicks are no units of measure, but a shop counts them."""
    assert in_unit(Decimal(3), "Flats", "flats ") == 3
    assert in_unit(Decimal(3), "", "") == 3


@pytest.mark.parametrize(("unit", "fault"), [("lb", CannotConvert), ("cubit", UnknownUnit)])
def test_other_units_must_convert(unit: str, fault: type[ValueError]) -> None:
    with pytest.raises(fault):
        in_unit(Decimal(3), unit, "mm")


@pytest.mark.parametrize(
    ("measured", "limit", "far"),
    [
        (201, 20, True),
        (200, 20, False),
        (2, 20, False),
        (Fraction(199, 100), 20, True),
        (-201, 20, True),
        (5, 0, False),
    ],
)
def test_ten_times_off(measured: Fraction, limit: Fraction, far: bool) -> None:
    assert far_off(Fraction(measured), Fraction(limit)) is far


@given(
    st.decimals(min_value=-1000, max_value=1000, places=4), st.sampled_from([("in", "mm"), ("psi", "bar"), ("F", "C")])
)
def test_kept_values_lie_within_half_a_unit_of_the_twelfth_decimal(value: Decimal, units: tuple[str, str]) -> None:
    exact = in_unit(value, *units)
    assert exact is not None
    rounded = kept(exact)
    assert rounded is not None and abs(Fraction(rounded) - exact) <= Fraction(1, 2 * 10**12)


@given(st.decimals(min_value=-1000, max_value=1000, places=6))
def test_a_value_in_its_own_unit_is_kept_as_typed(value: Decimal) -> None:
    assert kept(in_unit(value, "mm", "mm")) == value
