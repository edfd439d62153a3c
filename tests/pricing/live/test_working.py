"""The sheet that sums are built on: lines, what the option chosen picks, and whole numbers."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.expression import Step, Term, evaluate, times, total
from quotekit.pricing.basis import Basis
from quotekit.pricing.live.working import Working, decimals, whole
from tests import build

GOOD, BETTER, BEST = (Step(f"{name} chosen") for name in ("good", "better", "best"))


def a_working(currency: str = "USD") -> Working:
    """No lines yet, three options."""
    book = build.a_book(settings=build.settings(currency=currency))
    return Working(basis=Basis(book=book, job=build.a_job()), chosen=(GOOD, BETTER, BEST))


def test_a_sum_gets_a_line_and_what_is_a_line_or_a_number_gets_none() -> None:
    working = a_working()
    line = working.step("sum", total(GOOD, BETTER))
    assert isinstance(line, Step) and (line.name, line.formula) == ("sum", Term("sum", (GOOD, BETTER)))
    assert working.step("again", line) is line
    assert working.step("seven", 7) == 7
    assert working.steps == [line]


def test_a_line_in_any_case() -> None:
    working = a_working()
    line = working.line("seven", 7, 9)
    assert (line.name, line.formula, line.most, working.steps) == ("seven", 7, 9, [line])


@pytest.mark.parametrize(("chosen", "amount"), [(GOOD, 250), (BETTER, 0), (BEST, 400), (None, 0)])
def test_the_value_of_the_option_chosen(chosen: Step | None, amount: int) -> None:
    """2.50, nothing and 4.00: as no option is chosen there is nothing."""
    picked = Step("picked", a_working().pick([250, 0, 400]))
    inputs = {} if chosen is None else {chosen: 1}
    assert evaluate((GOOD, BETTER, BEST, picked), inputs)[picked] == amount


def test_what_is_the_same_for_every_option_needs_no_choice() -> None:
    assert a_working().pick([250, 250, 250]) == 250
    assert a_working().pick([0, 0, 0]) == 0


def test_options_of_one_amount_stand_together() -> None:
    """250 x (good + best), not 250 x good + 250 x best."""
    assert a_working().pick([250, 0, 250]) == times(total(GOOD, BEST), 250)


@pytest.mark.parametrize(
    ("currency", "amount", "expected"), [("USD", "12.34", 1234), ("JPY", "1234", 1234), ("KWD", "1.234", 1234)]
)
def test_minor_units_of_a_currency(currency: str, amount: str, expected: int) -> None:
    assert a_working(currency).minor(Decimal(amount)) == expected


@pytest.mark.parametrize(
    ("numbers", "most"),
    [([], 0), (["5"], 0), (["500"], 0), (["1.50"], 1), (["1.50", "0.125"], 3), (["1E+3"], 0), (["0.00"], 0)],
)
def test_the_most_decimals_among_numbers(numbers: list[str], most: int) -> None:
    """Zeros at the end do not count."""
    assert decimals(map(Decimal, numbers)) == most


@pytest.mark.parametrize(("number", "digits", "expected"), [("1.25", 2, 125), ("1.25", 4, 12500), ("-0.5", 1, -5)])
def test_a_number_as_a_whole_one(number: str, digits: int, expected: int) -> None:
    assert whole(Decimal(number), digits) == expected


def test_nothing_is_lost_in_silence() -> None:
    with pytest.raises(ValueError, match=r"1\.255 has more than 2 decimals"):
        whole(Decimal("1.255"), 2)
