"""Whether another option becomes the least to own somewhere in a range: only the first place counts."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.years import OrderChange, OrderRange

Order = tuple[str, ...]


def a_range(*changes: tuple[Order, Order]) -> OrderRange:
    made = [OrderChange(below=D(0), above=D(1), exactly=None, before=before, after=after) for before, after in changes]
    return OrderRange(setting="interest", current=D(0), low=D(0), high=D(1), precision=D("0.01"), changes=tuple(made))


@pytest.mark.parametrize(
    ("changes", "changed"),
    [
        ([], False),
        ([(("a", "b"), ("b", "a"))], True),
        ([(("a", "b", "c"), ("a", "c", "b"))], False),
        ([(("a", "b", "c"), ("a", "c", "b")), (("a", "c", "b"), ("c", "a", "b"))], True),
        ([((), ())], False),
    ],
)
def test_the_least_to_own_changes_where_the_first_place_does(
    changes: list[tuple[Order, Order]], *, changed: bool
) -> None:
    assert a_range(*changes).least_changes is changed


@given(st.permutations(["a", "b", "c", "d"]), st.permutations(["a", "b", "c", "d"]))
def test_any_two_orders(before: list[str], after: list[str]) -> None:
    assert a_range((tuple(before), tuple(after))).least_changes == (before[0] != after[0])
