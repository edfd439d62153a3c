"""Choices that are equal by every amount: which remedies differ among them, and which choice comes first."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from quotekit.pricing.exact.flags import Flag, add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import is_true
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.exact.ties import AT_A_TIME, AsGood, first_in_text_order

Prices = list[list[int]]
"""For each finding, what each of its remedies costs."""


class Choices:
    """A program of one remedy a finding: codes in text order, what they cost together."""

    def __init__(self, prices: Prices) -> None:
        self.prices, self.program = prices, Program()
        groups = [self.program.one_of(len(each)) for each in prices]
        self.cost = Line()
        self.flags: dict[str, Flag] = {}
        for finding, (group, costs) in enumerate(zip(groups, prices, strict=True)):
            for remedy, (flag, cost) in enumerate(zip(group, costs, strict=True)):
                self.flags[f"{chr(65 + remedy)}{finding:02}"] = flag
                add_flag(self.cost, flag, cost)
        self.flags = dict(sorted(self.flags.items()))
        self.free = self.program.flag()

    def best(self) -> list[tuple[str, ...]]:
        """Every choice that costs least, in text order: by trying all."""
        cheapest = [[at for at, cost in enumerate(each) if cost == min(each)] for each in self.prices]
        return sorted(
            tuple(sorted(f"{chr(65 + remedy)}{finding:02}" for finding, remedy in enumerate(chosen)))
            for chosen in product(*cheapest)
        )

    def least(self) -> int:
        return sum(map(min, self.prices))

    def forbid(self, choice: tuple[str, ...]) -> None:
        differs = Line()
        for key in choice:
            add_flag(differs, -self.flags[key])
        self.program.row(differs, low=1)


def random_prices(seed: int) -> Prices:
    dice = Random(seed)
    return [[dice.choice([5, 5, 6]) for _ in range(dice.randint(1, 3))] for _ in range(dice.randint(2, 5))]


@pytest.mark.parametrize("seed", range(12))
def test_what_differs_among_the_best(seed: int) -> None:
    """Exactly the remedies that are in some of the best choices and not in all of them."""
    choices = Choices(random_prices(seed))
    best = choices.best()
    choices.forbid(best[0])
    as_good = AsGood(solver=Solver(choices.program, 20), sum=choices.cost, most=choices.least(), free=choices.free)
    differing = {key for choice in best[1:] for key in set(choice) ^ set(best[0])}
    assert as_good.may_differ(choices.flags, set(best[0])) == differing


@pytest.mark.parametrize("seed", range(12))
def test_the_first_of_those_left(seed: int) -> None:
    """A choice that was priced is left out; the next in text order is the answer, and `none` after the last."""
    choices = Choices(random_prices(seed))
    choices.program.row(choices.cost, high=choices.least())
    solver = Solver(choices.program, 60)
    for expected in choices.best():
        answer = first_in_text_order(solver, list(choices.flags.values()))
        assert answer.values is not None
        assert tuple(key for key, flag in choices.flags.items() if is_true(flag, answer.values)) == expected
        choices.forbid(expected)
    assert first_in_text_order(solver, list(choices.flags.values())).ending == "none"


def test_codes_are_settled_a_batch_after_the_other() -> None:
    """More codes than one solve weighs: forty findings with two equal remedies each take all the first ones."""
    choices = Choices([[5, 5] for _ in range(2 * AT_A_TIME)])
    answer = first_in_text_order(Solver(choices.program, 20), list(choices.flags.values()))
    assert answer.values is not None
    taken = [key for key, flag in choices.flags.items() if is_true(flag, answer.values)]
    assert taken == [f"A{finding:02}" for finding in range(2 * AT_A_TIME)]


def test_nothing_is_held_afterwards() -> None:
    """Codes are held only while the later ones are settled: the same solver answers the same question again."""
    choices = Choices([[5, 5], [5, 5, 5]])
    solver = Solver(choices.program, 20)
    first = first_in_text_order(solver, list(choices.flags.values()))
    dearest = solver.least(choices.cost.times(-1).plus(add_flag(Line(), choices.flags["B00"], -1)))
    assert first.values is not None and dearest.values is not None
    assert is_true(choices.flags["B00"], dearest.values)
    assert first_in_text_order(solver, list(choices.flags.values())).values == first.values


def test_no_time_is_no_answer() -> None:
    """Stopped by the clock, nothing is claimed."""
    choices = Choices([[5, 5], [5, 5]])
    assert first_in_text_order(Solver(choices.program, 0), list(choices.flags.values())).ending == "stopped"
    out_of_time = AsGood(solver=Solver(choices.program, 0), sum=choices.cost, most=10, free=choices.free)
    assert out_of_time.may_differ(choices.flags, {"A00", "A01"}) is None
