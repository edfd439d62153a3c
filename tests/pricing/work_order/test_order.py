"""The order of work: opened once, done while open, closed once in reverse; hand-made cases and random machines."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.work_order.order import Move, ToDo, ToOpen, order_of_work


def steps(**needs: str) -> list[ToOpen]:
    """Steps in the order given; what each needs first, and what that needs."""
    known: dict[str, frozenset[str]] = {}
    found = []
    for place, (key, text) in enumerate(needs.items()):
        direct = frozenset(text.split())
        known[key] = direct.union(*(known[one] for one in direct))
        found.append(ToOpen(key, known[key], (place,)))
    return found


def work(found: list[ToOpen], **needs: str) -> list[ToDo]:
    """Work in the order given; what must be open, and after `>` what must be done before."""
    by_key = {step.key: step for step in found}
    listed = []
    for place, (key, text) in enumerate(needs.items()):
        opened, _, before = text.partition(">")
        named = frozenset(opened.split())
        closure = named.union(*(by_key[one].needs for one in named))
        listed.append(ToDo(key, closure, frozenset(before.split()), (place,)))
    return listed


def told(moves: list[Move]) -> str:
    """`+` opens, `-` closes."""
    return " ".join({"open": "+", "close": "-", "do": ""}[what] + key for what, key in moves)


SPLIT = steps(cover="", frame="cover", flange="frame")
TREE = steps(raise_="", left="raise_", right="raise_")


@pytest.mark.parametrize(
    ("found", "done", "expected"),
    [
        ([], {"a": "", "b": ""}, "a b"),
        ([], {"a": ">b", "b": ""}, "b a"),
        (SPLIT, {"belt": "cover", "bushing": "flange"}, "+cover belt +frame +flange bushing -flange -frame -cover"),
        (SPLIT, {"bushing": "flange", "belt": "cover"}, "+cover belt +frame +flange bushing -flange -frame -cover"),
        (SPLIT, {"a": "flange", "b": "frame>a"}, "+cover +frame +flange a -flange b -frame -cover"),
        (TREE, {"l": "left", "r": "right"}, "+raise_ +left l -left +right r -right -raise_"),
        (TREE, {"l": "left>r", "r": "right"}, "+raise_ +right r -right +left l -left -raise_"),
        (TREE, {"l": "left>r", "r": "right", "l2": "left"}, "+raise_ +right r -right +left l l2 -left -raise_"),
        (TREE, {"both": "left right", "l": "left", "n": ""}, "n +raise_ +left l +right both -right -left -raise_"),
        (
            TREE,
            {"cap": "left", "fit": "left>shaft", "shaft": "right"},
            "+raise_ +right shaft -right +left cap fit -left -raise_",
        ),
        (
            TREE,
            {"cap": "left", "fit": "left>cap", "shaft": "right"},
            "+raise_ +left cap fit -left +right shaft -right -raise_",
        ),
        (steps(a="", b=""), {"x": "a b", "y": "a"}, "+a y +b x -b -a"),
    ],
)
def test_by_hand(found: list[ToOpen], done: dict[str, str], expected: str) -> None:
    """What needs fewest things opened comes first; a forerunner is waited for with what it needs left open."""
    assert told(order_of_work(work(found, **done), found)) == expected


def test_what_nobody_needs_is_still_opened_and_closed() -> None:
    """It was agreed and paid for: it is not forgotten."""
    assert told(order_of_work([], SPLIT)) == "+cover +frame +flange -flange -frame -cover"


def test_a_circle_of_requirements_still_gets_done() -> None:
    """A shop book with one is refused before; the order ends all the same."""
    assert told(order_of_work(work([], a=">b", b=">a", c=""), [])) == "c a b"


@st.composite
def machines(draw: st.DrawFn) -> tuple[list[ToOpen], list[ToDo]]:
    """Steps that need earlier ones, work that needs some steps and some earlier work, ranks shuffled."""
    count, jobs = draw(st.integers(0, 7)), draw(st.integers(0, 8))
    needs = {f"s{n}": " ".join(f"s{m}" for m in range(n) if draw(st.integers(0, 3)) == 0) for n in range(count)}
    found = steps(**needs)
    done = {}
    for n in range(jobs):
        opened = " ".join(key for key in needs if draw(st.integers(0, 3)) == 0)
        before = " ".join(f"w{m}" for m in range(n) if draw(st.integers(0, 5)) == 0)
        done[f"w{n}"] = f"{opened}>{before}"
    listed = work(found, **done)
    return draw(st.permutations(found)), draw(st.permutations(listed))


@given(machines())
def test_every_order_holds(machine: tuple[list[ToOpen], list[ToDo]]) -> None:
    """Each step opened once and closed once, as brackets close; work once, with all it needs open and done before."""
    found, listed = machine
    by_step, by_work = {one.key: one for one in found}, {one.key: one for one in listed}
    moves = order_of_work(listed, found)
    assert sorted(moves) == sorted(
        [*((what, key) for key in by_step for what in ("open", "close")), *(("do", key) for key in by_work)]  # type: ignore[misc]
    )
    stack: list[str] = []
    done: set[str] = set()
    for what, key in moves:
        if what == "open":
            assert by_step[key].needs <= set(stack)
            stack.append(key)
        elif what == "close":
            assert stack.pop() == key
        else:
            assert by_work[key].open <= set(stack) and by_work[key].after <= done
            done.add(key)
    assert not stack


@given(machines())
def test_nothing_is_opened_before_it_is_needed(machine: tuple[list[ToOpen], list[ToDo]]) -> None:
    """Between the opening of something and the next work stand only openings that the same work needs."""
    found, listed = machine
    by_work = {one.key: one for one in listed}
    needed = frozenset().union(*(one.open for one in listed)) if listed else frozenset()
    pending: set[str] = set()
    for what, key in order_of_work(listed, [step for step in found if step.key in needed]):
        if what == "open":
            pending.add(key)
        elif what == "do":
            assert pending <= by_work[key].open
            pending.clear()


@given(machines(), st.randoms(use_true_random=False))
def test_the_order_of_the_lists_does_not_matter(machine: tuple[list[ToOpen], list[ToDo]], random: object) -> None:
    found, listed = machine
    assert order_of_work(listed, found) == order_of_work(listed[::-1], found[::-1])
