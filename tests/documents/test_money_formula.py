"""The money formulas give the same cents whatever a program's INT does; the short formula does not."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from random import Random

import pytest

from quotekit.model.expression import Step, rounded, rounded_signed, rounded_up, times
from tests.documents.int_routines import INTS, ROUNDS, Routine, in_doubles

AMOUNTS = 100_000
BOUND = 10**14
"""No numerator of a live quote is above this."""
RATES = ["0.04", "0.05", "0.055", "0.06", "0.0625", "0.07", "0.0725", "0.0825", "0.0881", "0.09975", "0.2", "0.333"]

Case = tuple[int, int, int, int]
"""Minor units, a rate as a whole number, what that whole number stands over, and the product rounded half up."""


def _cases(count: int, seed: int = 20260302) -> Iterator[Case]:
    """Amounts up to the bound, of both signs; a third are exact ties, a third a unit from one."""
    dice = Random(seed)
    rates = [(int(Decimal(rate).scaleb(digits)), 10**digits) for rate, digits in _scaled()]
    for _ in range(count):
        rate, scale = dice.choice(rates)
        most = BOUND // rate - scale
        cents = min(int(10 ** dice.uniform(0, 15)), most)
        near = dice.randrange(3)
        if near:
            cents = _tied(cents, rate, scale) + (near - 1) * dice.choice([-1, 1])
        cents = dice.choice([-1, 1]) * max(0, min(cents, most))
        yield cents, rate, scale, _half_up(cents, rate, scale)


def _scaled() -> list[tuple[str, int]]:
    return [(rate, max(2, len(rate) - 2)) for rate in RATES]


def _tied(cents: int, rate: int, scale: int) -> int:
    """The next amount whose product ends on exactly half, where this rate has one; else the amount."""
    return next((c for c in range(cents, cents + 200) if c * rate % scale == scale // 2), cents)


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    return list(_cases(AMOUNTS))


def _half_up(cents: int, rate: int, scale: int) -> int:
    return int((Decimal(cents) * rate / scale).quantize(Decimal(1), ROUND_HALF_UP))


def test_the_cases_hold_ties_negatives_and_the_bound(cases: list[Case]) -> None:
    ties = sum(1 for cents, rate, scale, _ in cases if cents * rate % scale == scale // 2)
    assert len(cases) == AMOUNTS
    assert ties > AMOUNTS // 10
    assert sum(1 for cents, *_ in cases if cents < 0) > AMOUNTS // 3
    assert BOUND // 2 < max(abs(cents * rate) for cents, rate, *_ in cases) < BOUND


@pytest.mark.parametrize("name", INTS)
def test_a_percentage_of_money_of_either_sign(cases: list[Case], name: str) -> None:
    """`SIGN(a*r)*INT((ABS(a*r)+half)/scale)` against half up, away from zero."""
    assert _differing(cases, INTS[name], signed=True) == 0


@pytest.mark.parametrize("name", INTS)
def test_a_percentage_of_money_that_is_not_negative(cases: list[Case], name: str) -> None:
    """`INT((a*r+half)/scale)`, the shorter form."""
    positive = [(abs(cents), rate, scale, abs(tax)) for cents, rate, scale, tax in cases[::4]]
    assert _differing(positive, INTS[name], signed=False) == 0


def _differing(cases: list[Case], whole: Routine, *, signed: bool) -> int:
    amount, rate = Step("amount"), Step("rate")
    form = rounded_signed if signed else rounded
    scales = {scale for _, _, scale, _ in cases}
    formulas = {scale: in_doubles(form(times(amount, rate), scale), whole) for scale in scales}
    return sum(
        formulas[scale]({amount: float(cents), rate: float(by)}) != expected for cents, by, scale, expected in cases
    )


@pytest.mark.parametrize("name", INTS)
def test_whole_steps_rounded_up(name: str) -> None:
    """`INT((n+d-1)/d)` with any divisor: on a whole step, one above and one below."""
    dice = Random(7)
    number, by = Step("number"), Step("by")
    formula = in_doubles(rounded_up(number, by), INTS[name])
    for _ in range(AMOUNTS // 4):
        divisor = int(10 ** dice.uniform(0, 8))
        quotient = int(10 ** dice.uniform(0, 13)) % (BOUND // divisor - 2)
        n = max(0, quotient * divisor + dice.choice([-1, 0, 1, dice.randrange(divisor)]))
        assert formula({number: float(n), by: float(divisor)}) == -(-n // divisor), (n, divisor)


def test_rounding_up_agrees_with_decimal() -> None:
    """The reference above, against Decimal."""
    for n, divisor in [(0, 7), (1, 7), (7, 7), (8, 7), (10**13 + 1, 3)]:
        assert -(-n // divisor) == (Decimal(n) / divisor).to_integral_value(ROUND_CEILING)


@pytest.mark.parametrize("name", ROUNDS)
def test_the_short_formula_would_differ(name: str) -> None:
    """`ROUND(A*r,2)` in dollars is wrong by a cent in every one of these programs: why it is not used."""
    wrong = 0
    for cents, rate, scale, expected in _cases(AMOUNTS // 10):
        if abs(cents) < 10**9:
            shown = ROUNDS[name]((cents / 100) * (rate / scale))
            wrong += Decimal(repr(shown)) != Decimal(expected).scaleb(-2)
    assert wrong > 20


def test_a_half_added_before_the_sign_would_differ() -> None:
    """`INT(a*r/scale+1/2)` fails on negative ties: the sign must be off before anything is added."""
    amount, rate = Step("amount"), Step("rate")
    wrong = 0
    for cents, by, scale, expected in _cases(3000):
        formula = in_doubles(rounded(times(amount, rate), scale), INTS["plain floor"])
        wrong += formula({amount: float(cents), rate: float(by)}) != expected
    assert wrong > 100


def test_above_the_bound_a_program_that_snaps_differs() -> None:
    """The reason for the bound: ten times above it, 15 digits are too few."""
    dice = Random(3)
    number = Step("number")
    by = 9973
    formula = in_doubles(rounded_up(number, by), INTS["fifteen digits first"])
    wrong = 0
    for _ in range(2000):
        n = dice.randrange(BOUND * 50 // by, BOUND * 90 // by) * by
        wrong += formula({number: float(n)}) != -(-n // by)
    assert wrong > 100
