"""Random sums as trees, for what must hold of any of them: inputs are 0 or 1, and quotients have a divisor above 0."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from quotekit.model.expression import (
    Expression,
    Step,
    Term,
    all_of,
    any_of,
    floor,
    if_at_least,
    if_more,
    least,
    minus,
    most,
    none_of,
    rest,
    rounded,
    rounded_signed,
    rounded_up,
    times,
    total,
)

INPUTS = 4


def random_steps(random: Random, count: int = 12) -> tuple[Step, ...]:
    """Inputs, then steps each worked out from earlier ones."""
    steps = [Step(f"input {n}") for n in range(INPUTS)]
    for n in range(count):
        formula = random_tree(random, steps, 3)
        steps.append(Step(f"step {n}", formula))
    return tuple(steps)


def random_tree(random: Random, steps: list[Step], depth: int) -> Expression:
    """A number, a step, or a tree of any kind over smaller ones."""
    if depth == 0:
        leaves: list[Expression] = [random.randint(-50, 50), random.choice(steps), random.choice(steps)]
        return random.choice(leaves)

    def part() -> Expression:
        return random_tree(random, steps, random.randrange(depth))

    def size() -> Expression:
        """A part that is not negative."""
        return most(0, part())

    def by() -> Expression:
        """A part above zero."""
        return most(1, part())

    def few() -> list[Expression]:
        return [part() for _ in range(random.randint(1, 4))]

    def flags() -> list[Expression]:
        return [if_more(part(), part(), 1, 0), random.choice(steps[:INPUTS]), random.choice([0, 1])]

    made: tuple[Callable[[], Expression], ...] = (
        lambda: total(*few()),
        lambda: most(*few()),
        lambda: least(*few()),
        lambda: minus(part(), part()),
        lambda: times(part(), random.randint(-9, 9)),
        lambda: times(random.choice(steps[:INPUTS]), part()),
        lambda: floor(part(), by()),
        lambda: rest(size(), by()),
        lambda: if_more(part(), part(), part(), part()),
        lambda: if_at_least(part(), part(), part(), part()),
        lambda: rounded(size(), random.choice([1, 10, 100])),
        lambda: rounded_signed(part(), random.choice([1, 10, 100])),
        lambda: rounded_up(size(), by()),
        lambda: any_of(flags()),
        lambda: all_of(*flags()),
        lambda: none_of(random.choice(steps[:INPUTS])),
        lambda: Term("sign", (part(),)),
        lambda: Term("abs", (part(),)),
    )
    return random.choice(made)()
