"""One flag and not others: what work that includes other work leaves, at whole values and at broken ones."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.exact.flags import FALSE, TRUE, Flag, add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import is_true
from quotekit.pricing.exact.solver import Solver
from tests.pricing.exact.test_program import holding

Make = Callable[[Program, list[Flag], list[Flag]], tuple[Flag, list[Flag]]]

CASES: dict[str, tuple[Make, Callable[[int, int], bool]]] = {
    "nothing includes it": (lambda p, a, b: (a[0], [FALSE]), lambda a, b: a == 0),
    "it is always included": (lambda p, a, b: (a[0], [TRUE]), lambda a, b: False),
    "none to be included by": (lambda p, a, b: (a[0], []), lambda a, b: False),
    "it is always called for": (lambda p, a, b: (TRUE, [b[1]]), lambda a, b: b != 1),
    "never called for": (lambda p, a, b: (FALSE, [b[1]]), lambda a, b: False),
    "included by itself": (lambda p, a, b: (a[0], [a[0]]), lambda a, b: False),
    "by another alternative": (lambda p, a, b: (a[0], [a[1]]), lambda a, b: a == 0),
    "by another finding's": (lambda p, a, b: (a[0], [b[1]]), lambda a, b: a == 0 and b != 1),
    "called for by two alternatives, included by one": (
        lambda p, a, b: (p.either(a[:2]), [p.either(a[1:])]),
        lambda a, b: a == 0,
    ),
    "called for by two findings": (
        lambda p, a, b: (p.either([a[0], b[0]]), [b[1]]),
        lambda a, b: (a == 0 or b == 0) and b != 1,
    ),
    "included by alternatives of both": (
        lambda p, a, b: (p.either([a[0], a[1], b[0]]), [p.either([a[1], b[2]])]),
        lambda a, b: (a in (0, 1) or b == 0) and not (a == 1 or b == 2),
    ),
    "one of two operations is left": (
        lambda p, a, b: (a[0], [b[0], b[1]]),
        lambda a, b: a == 0,
    ),
    "both operations are included by one": (
        lambda p, a, b: (a[0], [b[0], p.either(b[:2])]),
        lambda a, b: a == 0 and b != 0,
    ),
    "not one of the others": (lambda p, a, b: (a[0], [-b[2]]), lambda a, b: a == 0 and b == 2),
}


@pytest.mark.parametrize("name", CASES)
def test_a_flag_without_others(name: str) -> None:
    """It is true exactly where the words are, for each choice of two findings with three remedies each."""
    make, words = CASES[name]
    program = Program()
    first, second = program.one_of(3), program.one_of(3)
    called, including = make(program, first, second)
    left = program.without(called, including)
    seen = set()
    for _, values in holding(program, 6):
        chosen = values[:3].index(1), values[3:6].index(1)
        seen.add(chosen)
        assert is_true(left, values) == words(*chosen), chosen
    assert seen == set(product(range(3), repeat=2))


@given(st.data())
def test_any_sets_of_alternatives(data: st.DataObject) -> None:
    """Called for and included by any alternatives: a flag that lied here would lose work, or bill it twice."""
    some = st.sets(st.tuples(st.integers(0, 1), st.integers(0, 2)), min_size=1, max_size=4)
    called, including = data.draw(some), data.draw(st.lists(some, min_size=1, max_size=2))
    program = Program()
    groups = program.one_of(3), program.one_of(3)
    either = [program.either(groups[group][at] for group, at in those) for those in (called, *including)]
    left = program.without(either[0], either[1:])
    chosen = data.draw(st.tuples(st.integers(0, 2), st.integers(0, 2)))
    taken = set(enumerate(chosen))
    expected = bool(called & taken) and not all(those & taken for those in including)
    fixed = {groups[group][at] - 1: int(chosen[group] == at) for group in (0, 1) for at in range(3)}
    assert values_left(program, left, fixed) == {expected}


def values_left(program: Program, flag: Flag, fixed: dict[int, int]) -> set[bool]:
    """What a flag can be where some unknowns are fixed."""
    overlay = program.copy()
    overlay.bounds = [(fixed[at], fixed[at]) if at in fixed else span for at, span in enumerate(program.bounds)]
    return {is_true(flag, values) for _, values in holding(overlay, 6)}


def test_the_same_question_makes_one_flag() -> None:
    """Many remedies share an operation: each flag more is a wider program."""
    program = Program()
    first, second = program.one_of(3), program.one_of(3)
    assert program.without(first[0], [second[1]]) == program.without(first[0], [second[1], TRUE])
    made = len(program.bounds)
    program.copy().without(first[0], [second[1]])
    assert len(program.bounds) == made == 7


def relaxed_least(remedies: int, state: Callable[[Program, Flag, Flag], Flag]) -> Fraction:
    """The relaxed least where the first half of some remedies calls for work of 100.

    Each of the others includes that work and costs 150 itself.
    """
    program = Program()
    flags, half = program.one_of(remedies), remedies // 2
    work = state(program, program.either(flags[:half]), program.either(flags[half:]))
    cost = add_flag(Line(), work, 100)
    for remedy in flags[half:]:
        add_flag(cost, remedy, 150)
    relaxed = Solver(program, 5).relaxed(cost, range(remedies))
    assert relaxed is not None
    return relaxed.bound


@pytest.mark.parametrize("remedies", [2, 4, 6])
def test_half_a_remedy_does_not_make_the_other_halfs_work_vanish(remedies: int) -> None:
    """A repair does the work for 100, a replacement includes it and costs 150: no mixture of them is below 100.

    Stated as `called for, and not included`, half of each would cost 75: half of the replacement takes away the work
    that half of the repair calls for. Then the bound proves nothing.
    """
    assert relaxed_least(remedies, lambda program, called, including: program.both(called, -including)) == 75
    assert relaxed_least(remedies, lambda program, called, including: program.without(called, [including])) == 100
