"""What rust adds, against the same work without it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing.review.accuracy import estimates, norms_in_force
from quotekit.pricing.review.measured import Measured
from quotekit.pricing.review.rust import RustRatio, allowance_of, known_allowances, reach_of, rust_ratios
from tests.pricing.review.observations import measured, repeated

D = Decimal


def ratios(found: list[Measured]) -> tuple[RustRatio, ...]:
    """With the estimates of the same hours."""
    return rust_ratios(found, estimates(found, norms_in_force(found, {})))


def test_a_ratio_of_sums_over_jobs() -> None:
    """2.8 h clocked on work that takes 2.0 h: 1.4."""
    found = ratios(measured("FIT 1.0: 1.3 1.5", "rust", "RUSTY"))
    assert [(one.condition, one.jobs, one.ratio) for one in found] == [("RUSTY", 2, Fraction("1.4"))]


def test_the_standard_error_by_hand() -> None:
    """Deviations of -0.1 and 0.1 over 2.0 h: 2 / 1 x 0.02 / 4 = 0.01, a root of 0.1."""
    (found,) = ratios(measured("FIT 1.0: 1.3 1.5", "rust", "RUSTY"))
    assert found.error is not None and round(found.error, 6) == D("0.1")
    assert reach_of(found, 1) is None, "two jobs leave one degree of freedom, which tells nothing"


def test_the_interval_by_hand() -> None:
    """Three jobs: 3 / 2 x 0.02 / 9, a root of 0.05774; two degrees reach 4.3027 of it, two intervals 6.2054."""
    (found,) = ratios(measured("FIT 1.0: 1.3 1.4 1.5", "rust", "RUSTY"))
    assert found.error is not None and round(found.error, 5) == D("0.05774")
    assert reach_of(found, 1) == (D("1.1516"), D("1.6484"))
    assert reach_of(found, 2) == (D("1.0417"), D("1.7583"))


def test_what_is_expected_may_be_off_too() -> None:
    """The less is known of the work without rust, the less of what rust adds: few usual jobs widen the error."""
    rusty = measured(f"FIT 1.0: {repeated(['1.5', '1.6'], 6)}", "rust", "RUSTY")
    turn = f"TURN 1.0: {repeated(['0.7', '1.3'], 4)}"
    few, many = (
        ratios([*rusty, *measured(f"FIT 1.0: {repeated(['0.8', '1.2'], times)}; {turn}")])[0] for times in (2, 30)
    )
    assert few.error is not None and many.error is not None
    assert few.error > many.error


def test_a_standard_that_is_wrong_is_not_rust() -> None:
    """The operation takes half as long again without rust: rust is what comes on top of that."""
    usual = measured(f"FIT 1.0: {repeated(['1.5'], 20)}; TURN 1.0: {repeated(['1.0'], 20)}")
    (found,) = ratios([*usual, *measured("FIT 1.0: 1.8 1.8", "rust", "RUSTY")])
    assert found.ratio == Fraction("1.2")


def test_work_never_measured_without_rust() -> None:
    """The shop's mean stands for it."""
    usual = measured(f"TURN 1.0: {repeated(['1.2'], 9)}")
    (found,) = ratios([*usual, *measured("FIT 1.0: 1.8", "rust", "RUSTY")])
    assert (found.ratio, found.error, reach_of(found, 1)) == (Fraction("1.5"), None, None)


def test_each_condition_has_its_own() -> None:
    """In text order."""
    found = ratios([*measured("FIT 1.0: 1.5", "rust", "SALT"), *measured("FIT 1.0: 1.2", "rust", "OIL")])
    assert [(one.condition, one.ratio) for one in found] == [("OIL", Fraction("1.2")), ("SALT", Fraction("1.5"))]


@pytest.mark.parametrize(
    ("ratio", "allowance"), [("1.4", "0.40"), ("1.234", "0.23"), ("1.235", "0.24"), ("0.8", "0.00"), ("1", "0.00")]
)
def test_the_allowance_of_a_ratio(ratio: str, allowance: str) -> None:
    """In whole percent, half up, never below zero."""
    assert allowance_of(Fraction(ratio)) == D(allowance)


def test_allowances_in_force() -> None:
    """Of the conditions that occur; unknown where the book does not hold them."""
    found = [*measured("FIT 1.0: 1.5", "rust", "SALT"), *measured("FIT 1.0: 1.2", "rust", "OIL"), *measured("X 1: 1")]
    assert known_allowances(found, {"SALT": D("0.3"), "DUST": D("0.1")}) == {"SALT": D("0.3"), "OIL": None}
