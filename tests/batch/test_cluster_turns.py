"""Which job kills workers, where a scheduler tells only who held it: every other job is priced."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.cluster_turns import AHEAD, ClusterTurns, Sent
from quotekit.batch.outcome import Task


def turns(count: int, threads: int = 2, most: int | None = None) -> ClusterTurns:
    tasks = (Task(number, f"{number}.xlsx", b"") for number in range(count))
    return ClusterTurns(tasks, total=count, threads=threads, most=most)


def sent_now(handed: ClusterTurns, running: int = 0) -> list[Sent]:
    """Everything that is sent before an answer comes."""
    found: list[Sent] = []
    while (sent := handed.next_tasks(running + len(found))) is not None:
        found.append(sent)
    return found


def numbers(sent: list[Sent]) -> list[int]:
    return [task.number for each in sent for task in each.tasks]


def test_some_sets_a_thread_and_no_more() -> None:
    """What is sent is in the memory of the cluster: not all of ten thousand jobs."""
    assert len(sent_now(turns(1000, threads=4))) == AHEAD * 4


@pytest.mark.parametrize(("most", "at_once"), [(1, 1), (3, 3), (4, 4), (5, 5), (1024, AHEAD * 4)])
def test_no_more_sets_at_once_than_may_be_asked(most: int, at_once: int) -> None:
    """Each set is in one thread, so no more threads work than were named, whoever joins the cluster meanwhile."""
    handed = turns(1000, threads=4, most=most)
    first = sent_now(handed)
    assert len(first) == at_once and numbers(first) == list(range(len(numbers(first))))
    for each in first:
        assert handed.died(each) == []
    assert len(sent_now(handed)) == min(most, 4), "job by job, after deaths"


def test_the_worked_example() -> None:
    handed = turns(16, threads=2)
    first = sent_now(handed)
    assert numbers(first) == list(range(len(numbers(first))))
    assert handed.died(first[0]) == [] and handed.next_tasks(1) is None, "what runs ends first"
    assert handed.died(first[1]) == []
    apart = sent_now(handed)
    assert [len(each.tasks) for each in apart] == [1, 1] and {each.stage for each in apart} == {"apart"}
    assert handed.died(apart[0]) == []
    rest = []
    while (sent := handed.next_tasks(0)) is not None and sent.stage == "apart":
        rest.append(sent)
    assert sent is not None and sent.stage == "alone" and sent.tasks == apart[0].tasks
    assert handed.next_tasks(1) is None
    assert handed.died(sent) == apart[0].tasks


@given(
    count=st.integers(0, 80),
    threads=st.integers(1, 4),
    killers=st.sets(st.integers(0, 79), max_size=4),
    seed=st.integers(0, 1000),
)
def test_killers_alone_are_given_up(count: int, threads: int, killers: set[int], seed: int) -> None:
    """A scheduler as unkind as can be: with a killer in flight, anything in flight may be called dead."""
    handed, draw = turns(count, threads), Random(seed)
    answered, given_up, running = list[int](), list[int](), list[Sent]()
    while True:
        running += sent_now(handed, len(running))
        if not running:
            break
        deadly = bool(killers & set(numbers(running)))
        sent = running.pop(draw.randrange(len(running)))
        own = bool(killers & set(numbers([sent])))
        if own or (deadly and draw.random() < 0.7):
            given_up += [task.number for task in handed.died(sent)]
        else:
            answered += numbers([sent])
    assert sorted(answered + given_up) == list(range(count))
    assert set(given_up) == killers & set(range(count))


@pytest.mark.parametrize("stage", ["sets", "apart"])
def test_nobody_is_given_up_who_was_not_alone(stage: str) -> None:
    handed = turns(8)
    sent = sent_now(handed)[0]
    if stage == "apart":
        handed.died(sent)
        sent = sent_now(handed)[0]
    assert sent.stage == stage and handed.died(sent) == []
