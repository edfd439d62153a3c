"""A ceiling split over labour rates, counted in units: what each rate's part comes to for every choice of work."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.pricing.exact import split
from quotekit.pricing.exact.flags import FALSE, TRUE, add_flag
from quotekit.pricing.exact.lines import Line, common_unit, total
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.exact.split import counted_parts, numbers_of

F = Fraction
UNIT = F(1, 10)


@pytest.mark.parametrize(
    ("numbers", "unit"),
    [
        (["1.5", "0.1", "2"], "0.1"),
        (["0.25", "0.1"], "0.05"),
        (["0.5", "0", "-0.5"], "0.5"),
        (["0.333", "0.1"], "0.001"),
        (["7"], "7"),
        ([], "0"),
    ],
)
def test_the_unit_that_measures_all_hours(numbers: list[str], unit: str) -> None:
    """Steps of 0.1 h and an operation of 0.25 h: only in twentieths are both whole."""
    assert common_unit(map(F, numbers)) == F(unit)


def test_numbers_of_sums() -> None:
    assert numbers_of([Line(2, {0: 3, 4: F(1, 2)}), Line()]) == [2, 3, F(1, 2), 0]


def engine_units(full: dict[str, Fraction], cap: Fraction) -> dict[str, int]:
    """Each rate's part of the allowance in units, rounded up: the rule of 5.3 by hand."""
    together = sum(full.values())
    if together < cap:
        return {rate: (hours / UNIT).__ceil__() for rate, hours in full.items()}
    return {rate: (cap * hours / together / UNIT).__ceil__() for rate, hours in full.items()}


def counted(full: dict[str, Fraction], cap: Fraction, *, could_be: Fraction) -> dict[str, set[int]]:
    """The least and the most units that the program can give each rate, with all work taken that gives `full`.

    `could_be`: hours of more work that could be taken and is not, so that the program must know it from the flags.
    """
    program = Program()
    work = {rate: program.flag() for rate in full}
    lines = {rate: add_flag(Line(), work[rate], hours) for rate, hours in full.items()}
    more = program.flag()
    add_flag(next(iter(lines.values())), more, could_be)
    reached = program.at_least(total(lines.values()), cap)
    parts = counted_parts(program, lines, cap, reached, UNIT)
    assert parts is not None
    for rate, flag in work.items():
        program.row(program.line_of(flag), low=int(full[rate] > 0), high=int(full[rate] > 0))
    program.row(program.line_of(more), high=0)
    found: dict[str, set[int]] = {}
    for rate, part in parts.items():
        for sign in (1, -1):
            answer = Solver(program, 20).least(part.times(sign / UNIT))
            assert answer.ending == "proven" and answer.values is not None
            found.setdefault(rate, set()).add(int(part.times(1 / UNIT).value(answer.values)))
    return found


@pytest.mark.parametrize(
    ("full", "cap", "units"),
    [
        ({"MAIN": "2", "WELD": "4"}, "3", {"MAIN": 10, "WELD": 20}),
        ({"MAIN": "2.1", "WELD": "4"}, "3", {"MAIN": 11, "WELD": 20}),
        ({"MAIN": "1", "WELD": "1"}, "3", {"MAIN": 10, "WELD": 10}),
        ({"MAIN": "0.97", "WELD": "1"}, "3", {"MAIN": 10, "WELD": 10}),
        ({"MAIN": "1.5", "WELD": "1.5"}, "3", {"MAIN": 15, "WELD": 15}),
        ({"MAIN": "0", "WELD": "9"}, "3", {"MAIN": 0, "WELD": 30}),
        ({"MAIN": "5", "SMALL": "0.01", "WELD": "5"}, "3", {"MAIN": 15, "SMALL": 1, "WELD": 15}),
        ({"MAIN": "2", "WELD": "2"}, "0.25", {"MAIN": 2, "WELD": 2}),
    ],
    ids=["even", "odd", "below it", "below it, odd", "reached exactly", "one rate", "three rates", "half units"],
)
def test_parts_by_hand(full: dict[str, str], cap: str, units: dict[str, int]) -> None:
    """The least and the most the program allows are one number, the rule's."""
    hours = {rate: F(number) for rate, number in full.items()}
    assert engine_units(hours, F(cap)) == units
    for could_be in (F(0), F(20)):
        assert counted(hours, F(cap), could_be=could_be) == {rate: {number} for rate, number in units.items()}


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.integers(0, 160), min_size=2, max_size=3).filter(any),
    st.integers(1, 60),
    st.integers(0, 400),
)
def test_any_hours(quarters: list[int], cap: int, could_be: int) -> None:
    """Allowance in fortieths of an hour (a quarter of tenths), a ceiling in twentieths, more work that is not taken."""
    hours = {f"R{number}": F(each, 40) for number, each in enumerate(quarters)}
    found = counted(hours, F(cap, 20), could_be=F(could_be, 40))
    assert found == {rate: {number} for rate, number in engine_units(hours, F(cap, 20)).items()}


def test_too_many_units_are_not_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hours in thousandths under a ceiling of three hours would be three thousand alternatives a rate."""
    lines = {"MAIN": Line(2), "WELD": Line(4)}
    assert counted_parts(Program(), lines, F(3), TRUE, F(1, 1000)) is None
    monkeypatch.setattr(split, "MOST_UNITS", 30)
    assert counted_parts(Program(), lines, F(3), TRUE, F(1, 10)) is not None
    assert counted_parts(Program(), lines, F(31, 10), TRUE, F(1, 10)) is None


@pytest.mark.parametrize("reached", [TRUE, FALSE])
def test_hours_that_never_change_give_parts_that_never_change(reached: int) -> None:
    """Always work alone: nothing is open, and the parts are those of the rule."""
    program = Program()
    lines = {"MAIN": Line(2), "WELD": Line(4)} if reached == TRUE else {"MAIN": Line(F(1, 2)), "WELD": Line(1)}
    parts = counted_parts(program, lines, F(3), reached, UNIT)
    assert parts is not None
    expected = engine_units({rate: F(line.constant) for rate, line in lines.items()}, F(3))
    for rate, sign in product(parts, (1, -1)):
        answer = Solver(program, 20).least(parts[rate].times(sign / UNIT))
        assert answer.values is not None
        assert parts[rate].times(1 / UNIT).value(answer.values) == expected[rate]
