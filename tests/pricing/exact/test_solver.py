"""What goes to HiGHS and what comes back: whole values, a bound that is never too high, and nothing on the screen."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing import build_quote
from quotekit.pricing.exact.flags import add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.solver import Solver
from tests.solver.big_jobs import a_big_case


def knapsack() -> tuple[Program, Line, Line]:
    """Three flags that weigh 3, 4 and 5 and cost 30, 50 and 60; weight must reach 7."""
    program = Program()
    flags = [program.flag() for _ in range(3)]
    weight, cost = Line(), Line()
    for flag, heavy, dear in zip(flags, (3, 4, 5), (30, 50, 60), strict=True):
        add_flag(weight, flag, heavy)
        add_flag(cost, flag, dear)
    program.row(weight, low=7)
    return program, weight, cost


def test_the_least_is_found_and_proven() -> None:
    """3 + 4 at 80 is the least that reaches 7."""
    program, _, cost = knapsack()
    answer = Solver(program, 20).least(cost)
    assert (answer.ending, answer.bound) == ("proven", 80)
    assert answer.values is not None
    assert list(answer.values) == [1, 1, 0]


def test_rows_added_later_count() -> None:
    program, weight, cost = knapsack()
    solver = Solver(program, 20)
    assert solver.least(cost).bound == 80
    program.row(weight, low=9)
    assert solver.least(cost).bound == 110
    program.row(weight, low=13)
    assert solver.least(cost).ending == "none"


def test_another_sum_is_made_least() -> None:
    program, weight, cost = knapsack()
    solver = Solver(program, 20)
    solver.least(cost)
    answer = solver.least(weight)
    assert answer.bound == 7


@pytest.mark.parametrize(("at_most", "ending"), [(80, "proven"), (79, "none")])
def test_larger_values_are_of_no_interest(at_most: int, ending: str) -> None:
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    assert solver.least(cost, at_most=at_most).ending == ending
    assert solver.least(cost).bound == 80


def test_the_relaxed_least_is_below_and_says_what_a_change_costs() -> None:
    """The lightest cost per weight first: 3 and half... 30 for 3, then 60 for 5 (12 each): 30 + 4/5 x 60 = 78."""
    program, _, cost = knapsack()
    relaxed = Solver(program, 20).relaxed(cost, range(3))
    assert relaxed is not None
    assert round(relaxed.bound) == 78
    assert relaxed.values == {0: 1, 1: 0}
    assert round(relaxed.excess[1]) == 2


def test_unknowns_are_held_and_freed() -> None:
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    solver.hold({0: 0})
    assert solver.least(cost).bound == 110
    solver.free([0])
    assert solver.least(cost).bound == 80


def test_without_time_nothing_is_said() -> None:
    program, _, cost = knapsack()
    answer = Solver(program, 0).least(cost)
    assert (answer.ending, answer.values, answer.bound) == ("stopped", None, None)


@pytest.mark.parametrize(("low", "ending"), [(0, "proven"), (1, "none")])
def test_a_program_without_unknowns(low: int, ending: str) -> None:
    program = Program()
    program.row(Line(), low=low)
    answer = Solver(program, 20).least(Line(412))
    assert answer.ending == ending
    assert answer.bound == (412 if ending == "proven" else None)


def test_broken_factors_are_made_whole() -> None:
    """0.25 a + 1/3 b >= 0.5 needs both."""
    program = Program()
    a, b = program.flag(), program.flag()
    program.row(add_flag(add_flag(Line(), a, Decimal("0.25")), b, Fraction(1, 3)), low=Decimal("0.5"))
    answer = Solver(program, 20).least(add_flag(add_flag(Line(), a), b))
    assert answer.bound == 2


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    """The output of a command is one JSON object: a solver must not write into it."""
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    solver.least(cost)
    solver.relaxed(cost, range(3))
    assert capfd.readouterr() == ("", "")


def test_what_does_not_end_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Seen once: a presolve that never looked at its limit. The program has another HiGHS, and no more seconds."""
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    lost = solver.highs
    monkeypatch.setattr("quotekit.pricing.exact.solver.ends_in_time", lambda work, seconds: False)
    answer = solver.least(cost)
    assert (answer.ending, answer.values, answer.bound) == ("stopped", None, None)
    assert solver.highs is not lost
    monkeypatch.undo()
    solver.hold({0: 1})
    solver.free([0])
    assert solver.least(cost).ending == "stopped"
    assert solver.relaxed(cost, ()) is None
    assert solver.extent(cost) is None


def test_a_search_that_is_given_up_says_its_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first choice stands, with a bound of nothing and its ties open."""
    monkeypatch.setattr("quotekit.pricing.exact.solver.ends_in_time", lambda work, seconds: False)
    monkeypatch.setattr("quotekit.pricing.choose.MOST_COMPARED", 0)
    quote = build_quote(*a_big_case(3, "nested", 1))
    for tier in quote.tiers:
        assert tier.proof is not None
        assert (tier.proof.settled, tier.proof.priced) == (False, 1)
        assert tier.proof.gap > 0
    assert "choice-not-proven" in {problem.code for problem in quote.problems}


@pytest.mark.parametrize("doubtful", ["Solve error", "Infeasible"])
def test_what_presolve_says_can_not_be_is_solved_whole(monkeypatch: pytest.MonkeyPatch, doubtful: str) -> None:
    """Versions from 1.14 on called programs infeasible that are not, or gave answers that do not hold."""
    monkeypatch.setattr("quotekit.pricing.exact.solver.SMALL", 0)
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    presolved: list[str] = []
    status, get = solver._status, solver.highs.getOptionValue

    def seen() -> str:
        presolved.append(get("presolve")[1])
        return doubtful if len(presolved) == 1 else status()

    monkeypatch.setattr(solver, "_status", seen)
    assert solver.least(cost).bound == 80
    assert presolved == ["choose", "off"]


def test_a_small_program_is_solved_as_it_is() -> None:
    program, _, cost = knapsack()
    solver = Solver(program, 20)
    assert solver.least(cost).bound == 80
    assert solver.highs.getOptionValue("presolve")[1] == "off"
