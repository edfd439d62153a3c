"""However a year is typed, its rate is the same, or something is said: nothing gives another number in silence."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.money import round_to
from quotekit.pricing.rate import work_out_rate
from quotekit.problems import Problem, has_errors
from tests.rate_rows import COSTS, HOURS, PROFIT, TRADE, Typed, book_with, without

TODAY = date(2026, 11, 28)
PERSONS = ("Owner", "Employee", "Shop helper", "Ms Reyes", "Employee 2", "Son", "Bench technician")
PATTERNS = (
    "{}",
    "{} {kind}",
    "{kind}, {}",
    "{}: {kind}",
    "{}'s {kind}",
    "{kind} of {}",
    "  {}  ",
    "{} - {kind} a year",
)
FEW = ("pay", "burden", "clock hours", "share at the bench", "efficiency")

Figures = tuple[Decimal, Decimal | None, Decimal]


def figures(rows: Sequence[Typed]) -> tuple[Figures | None, list[Problem]]:
    """Break-even, with profit, cost to cover; and what was said."""
    rate, problems = work_out_rate(book_with(*rows), TODAY)
    return None if rate is None else (rate.rates.break_even, rate.rates.for_profit, rate.cost_to_cover), problems


def upper(text: str, *, loud: bool) -> str:
    return text.upper() if loud else text


@st.composite
def typed_years(draw: st.DrawFn) -> tuple[list[Typed], Figures]:
    """The costs and hours of some people, typed in any order and wording, and the rates that a plain sum gives."""
    people = draw(st.lists(st.sampled_from(PERSONS), min_size=1, max_size=4, unique=True))
    rows: list[Typed] = [
        ("Rent", 14400, "overhead"),
        ("Power and heat", 4800, "overhead"),
        ("Profit", "10%", "profit share"),
    ]
    cost, sold = Fraction(19200), Fraction(0)
    for person in people:
        pay, clock = draw(st.integers(15, 70)) * 1000, draw(st.integers(4, 22)) * 100
        burden, share, pace = (draw(st.integers(10, 90)) for _ in range(3))
        in_money = draw(st.booleans())
        cost += pay + Fraction(pay * burden, 100)
        sold += Fraction(clock * share * pace, 10_000)
        amounts = (pay, pay * burden // 100 if in_money else f"{burden}%", clock, f"{share}%", f"{pace}%")
        for kind, amount in zip(FEW, amounts, strict=True):
            pattern = draw(st.sampled_from(PATTERNS))
            line = upper(pattern.format(person, kind=kind), loud=draw(st.booleans()))
            rows.append((line, amount, kind))
    parts_left, parts_sold = draw(_parts(rows))
    least = (cost - parts_left) / sold
    wanted = (cost - parts_left + Fraction(1, 10) * parts_sold) / Fraction(9, 10) / sold
    expected = round_to(max(least, Fraction(0)), 2), round_to(max(wanted, Fraction(0)), 2), round_to(cost, 2)
    return draw(st.permutations(rows)), expected


@st.composite
def _parts(draw: st.DrawFn, rows: list[Typed]) -> tuple[Fraction, Fraction]:
    """Adds rows of parts in one of the ways to type them; what they leave and sell for."""
    sales, margin = draw(st.integers(2, 90)) * 1000, draw(st.integers(10, 60))
    left = Fraction(sales * margin, 100)
    way = draw(st.sampled_from(("none", "same line", "sales and margin", "both in money", "two sorts")))
    kind = "parts contribution"
    if way == "none":
        return Fraction(0), Fraction(0)
    if way == "two sorts":
        rows += [("Engine parts", sales, kind), ("Engine parts margin", f"{margin}%", kind)]
        rows += [("Trailer parts", 5000, kind), ("Trailer parts", "20%", kind)]
        return left + 1000, Fraction(sales + 5000)
    if way == "both in money" and left.denominator == 1:
        rows += [("Parts sales", sales, kind), ("Parts contribution", int(left), kind)]
    elif way == "same line":
        rows += [("Parts", sales, kind), ("Parts", f"{margin}%", kind)]
    else:
        rows += [("Parts sold", sales, kind), ("Margin on parts", f"{margin}%", kind)]
    return left, Fraction(sales)


@given(typed=typed_years())
def test_the_rate_is_the_plain_sum_however_the_year_is_typed(typed: tuple[list[Typed], Figures]) -> None:
    rows, expected = typed
    found, problems = figures(rows)
    assert not has_errors(problems), (rows, [problem.message for problem in problems])
    assert found == expected


@given(typed=typed_years(), which=st.integers(0, 99), at=st.integers(0, 99), letter=st.sampled_from("xqz "))
def test_a_slip_in_a_name_changes_no_figure_in_silence(
    typed: tuple[list[Typed], Figures], which: int, at: int, letter: str
) -> None:
    """One letter too many anywhere: the same rate, or a problem that names the row or who is left without one."""
    rows, expected = typed
    line, amount, kind = rows[which % len(rows)]
    cut = at % (len(line) + 1)
    rows[which % len(rows)] = (line[:cut] + letter + line[cut:], amount, kind)
    found, problems = figures(rows)
    assert found == expected or problems


@given(typed=typed_years(), which=st.integers(0, 99))
def test_a_row_left_out_changes_no_hours_in_silence(typed: tuple[list[Typed], Figures], which: int) -> None:
    """A percentage of somebody's hours, or hours without their percentages, can't go missing unseen."""
    rows, _ = typed
    needed = [row for row in rows if row[2] in ("clock hours", "share at the bench", "efficiency", "pay")]
    row = needed[which % len(needed)]
    if row[2] == "pay" and not any(str(amount).endswith("%") for line, amount, kind in rows if kind == "burden"):
        return
    left = [each for each in rows if each is not row]
    found, problems = figures(left)
    assert problems or row[2] == "pay" or (found is not None and found != figures(rows)[0])


@pytest.mark.parametrize("row", range(len(HOURS)))
def test_every_row_of_the_hours_is_needed(row: int) -> None:
    left = (*COSTS, *HOURS[:row], *HOURS[row + 1 :], *PROFIT)
    found, problems = figures(left)
    assert found is None and has_errors(problems)


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        (("Owner", "60%", "efficiency"), {"share-twice"}),
        (("Owner", "5%", "burden"), set()),
        (("Owner", 500, "burden"), set()),
        (("Burden", "5%", "burden"), {"line-unclear"}),
        (("Parts", "10%", "parts contribution"), {"parts-unclear"}),
        (("Parts", 5000, "parts contribution"), set()),
        (("Son", 800, "clock hours"), {"share-missing"}),
        (("Son", 8000, "pay"), {"no-burden"}),
        (("Storage", 1200, "overhead"), set()),
        (("Profit", "5%", "profit share"), {"share-twice"}),
    ],
)
def test_one_row_more(change: Typed, codes: set[str]) -> None:
    """What adds up is added; what could be a second reading is asked about."""
    found, problems = figures((*TRADE, change))
    assert {problem.code for problem in problems} == codes
    if not codes:
        assert found is not None and found != figures(TRADE)[0]


@pytest.mark.parametrize(
    ("kinds", "break_even", "wanted"),
    [
        (("parts contribution",), "79.58", "88.43"),
        (("profit share",), "57.35", None),
        (("parts contribution", "profit share"), "79.58", None),
    ],
)
def test_kinds_that_may_be_left_out(kinds: tuple[str, ...], break_even: str, wanted: str | None) -> None:
    found, problems = figures(without(TRADE, *kinds))
    assert problems == []
    assert found == (Decimal(break_even), None if wanted is None else Decimal(wanted), Decimal("136020.00"))
