"""The sums of random choices worked out in doubles, with seven kinds of INT: every step the same whole number."""

from __future__ import annotations

from functools import cache
from itertools import islice
from random import Random

import pytest

from quotekit.model.expression import Step, evaluate
from quotekit.model.live import LivePricing
from tests.documents.int_routines import INTS, Routine, in_doubles
from tests.recalculation.combinations import choices, inputs_of, live_cases

CASES = 40


@cache
def cases() -> list[tuple[int, LivePricing, list[dict[Step, int]]]]:
    """Seeds, the sums of their quotes, and every step of a few choices as it is."""
    found = []
    for seed, _, quote in islice(live_cases(1000), CASES):
        live = quote.live
        assert live is not None
        drawn = choices(quote, Random(seed), 8)
        found.append((seed, live, [evaluate(live.steps, inputs_of(live, choice)) for choice in drawn]))
    return found


@pytest.mark.parametrize("name", INTS)
def test_every_step_of_a_choice_in_doubles(name: str) -> None:
    differing, compared = [], 0
    for seed, live, known in cases():
        for exact in known:
            doubles = worked_out(live, exact, INTS[name])
            compared += len(exact)
            differing += [(seed, step, exact[step], doubles[step]) for step in exact if exact[step] != doubles[step]]
    assert differing == []
    assert compared > 10_000


def worked_out(live: LivePricing, exact: dict[Step, int], whole: Routine) -> dict[Step, float]:
    """Every step from the inputs on."""
    values: dict[Step, float] = {}
    for step in live.steps:
        values[step] = float(exact[step]) if step.formula is None else in_doubles(step.formula, whole)(values)
    return values
