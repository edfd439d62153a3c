"""Who prices what next: every task once, however workers die."""

from __future__ import annotations

from collections import deque

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.outcome import Task
from quotekit.batch.turns import MOST_AT_ONCE, MOST_DEATHS, Turns


def turns(count: int, workers: int = 2) -> Turns:
    return Turns((Task(number, f"{number}.xlsx", b"") for number in range(count)), total=count, workers=workers)


def numbers(tasks: list[Task]) -> list[int]:
    return [task.number for task in tasks]


def test_many_at_first_and_few_at_the_end() -> None:
    """A worker that takes eight of the last ten would leave the others with nothing to do."""
    handed = turns(200)
    sizes = []
    while tasks := handed.next_tasks():
        sizes.append(len(tasks))
    assert sizes[0] == MOST_AT_ONCE
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[-1] == 1
    assert sum(sizes) == 200


def test_the_worked_example() -> None:
    """As in the docstring: 1 is handed out again alone, and given up when its next worker dies."""
    handed = turns(16, workers=2)
    assert numbers(handed.next_tasks()) == [0, 1]
    left = [Task(1, "1.xlsx", b"")]
    assert handed.died(left) is None
    assert numbers(handed.next_tasks()) == [1]
    given_up = handed.died(left)
    assert given_up is not None and given_up.number == 1
    assert 1 not in numbers(handed.next_tasks())


def test_those_that_were_not_begun_are_not_blamed() -> None:
    handed = turns(64, workers=2)
    first = handed.next_tasks()
    assert len(first) == 8
    handed.died(first)
    assert numbers(handed.next_tasks()) == [0]
    again = numbers(handed.next_tasks())
    assert again == [1, 2, 3, 4, 5, 6, 7, 8][: len(again)]


def test_a_worker_that_was_dead_before_blames_nobody() -> None:
    handed = turns(8, workers=1)
    tasks = handed.next_tasks()
    for _ in range(MOST_DEATHS + 1):
        assert handed.died(tasks, begun=False) is None
        tasks = handed.next_tasks()
    assert numbers(tasks)[0] == 0


def test_a_worker_without_tasks_may_die() -> None:
    handed = turns(3)
    assert handed.died([]) is None
    assert numbers(handed.next_tasks()) == [0]


@given(
    count=st.integers(0, 60),
    workers=st.integers(1, 5),
    killers=st.sets(st.integers(0, 59), max_size=5),
    chance=st.randoms(use_true_random=False),
)
def test_every_task_is_answered_or_given_up_once(count: int, workers: int, killers: set[int], chance: object) -> None:
    """Whatever dies: killers die on their own job each time, others now and then on any."""
    handed, answered, given_up = turns(count, workers), list[int](), list[int]()
    draw = chance.random  # type: ignore[attr-defined]
    while tasks := handed.next_tasks():
        left = deque(tasks)
        while left:
            killed = left[0].number in killers
            if killed or draw() < 0.02:
                lost = handed.died(list(left))
                given_up += [lost.number] if lost is not None else []
                break
            answered.append(left.popleft().number)
    assert sorted(answered + given_up) == list(range(count))
    assert killers & set(range(count)) <= set(given_up)


def test_tasks_are_read_as_they_are_wanted() -> None:
    """Ten thousand workbooks are not all in memory."""
    read: list[int] = []

    def tasks() -> object:
        for number in range(100):
            read.append(number)
            yield Task(number, "", b"")

    handed = Turns(tasks(), total=100, workers=2)  # type: ignore[arg-type]
    handed.next_tasks()
    assert len(read) == pytest.approx(MOST_AT_ONCE, abs=1)
