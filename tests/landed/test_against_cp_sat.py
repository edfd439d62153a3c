"""Larger random orders beside CP-SAT on a formulation of its own: units flow from packs to needs."""

from __future__ import annotations

import importlib.util
from random import Random

import pytest

from quotekit.model.landed import OrderTask
from tests.conftest import in_ci
from tests.landed.compared import compare_with_cp_sat
from tests.landed.every_order import first_of_all
from tests.landed.random_orders import a_random_order


@pytest.fixture(autouse=True, scope="module")
def ortools() -> None:
    """Skipped with a reason where OR-tools is missing, a failure with CI set."""
    if importlib.util.find_spec("ortools") is None:
        if in_ci():
            pytest.fail("ortools is not installed (the extra `test`); with CI set this test must run")
        pytest.skip("ortools is not installed (the extra `test`)")


def an_order(seed: int, parts: int, suppliers: int) -> OrderTask:
    return a_random_order(Random(seed), parts, suppliers)


@pytest.mark.parametrize("seed", range(12))
def test_both_find_the_same_least(seed: int) -> None:
    """Money, then the fewest suppliers, then the fewest packs."""
    assert compare_with_cp_sat(an_order(seed, 6 + seed, 3 + seed % 3)) == []


@pytest.mark.parametrize("seed", range(8))
def test_the_second_solver_is_held_to_every_order_tried(seed: int) -> None:
    """Two ways that are wrong alike would agree: on small orders the second one is counted through too."""
    from tests.landed.cp_sat_order import least_by_cp_sat

    task, first = an_order(seed, 2, 2), first_of_all(an_order(seed, 2, 2))
    least = least_by_cp_sat(task)
    assert least.money == first.money
