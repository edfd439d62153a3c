"""Told in the order of names, in whatever order results come."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.in_order import InOrder


@given(st.permutations(range(12)))
def test_any_order_comes_out_in_order(numbers: list[int]) -> None:
    order: InOrder[int] = InOrder()
    told: list[int] = []
    for place, number in enumerate(numbers, start=1):
        order.put(number, number * 10)
        told += order.ready()
        assert order.waiting == place - len(told)
    assert told == [number * 10 for number in range(12)]


def test_what_is_ready_does_not_wait_for_the_end() -> None:
    """A reader of the lines sees the first as soon as it is there."""
    order: InOrder[str] = InOrder()
    order.put(0, "a")
    assert list(order.ready()) == ["a"]
    order.put(2, "c")
    assert list(order.ready()) == []
    order.put(1, "b")
    assert list(order.ready()) == ["b", "c"]


@pytest.mark.parametrize("told_before", [True, False])
def test_a_number_comes_once(told_before: bool) -> None:
    order: InOrder[str] = InOrder()
    order.put(0, "a")
    if told_before:
        list(order.ready())
    with pytest.raises(ValueError, match="0 came twice"):
        order.put(0, "again")
