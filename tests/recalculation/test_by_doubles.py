"""The sums of random choices worked out in doubles, with seven kinds of INT: every step the same whole number."""

from __future__ import annotations

from itertools import islice
from random import Random

import pytest

from quotekit.model.expression import Step, evaluate
from quotekit.model.live import LivePricing
from tests.documents.int_routines import INTS, Routine, in_doubles
from tests.recalculation.combinations import choices, inputs_of, live_cases

CASES = 40


@pytest.mark.parametrize("name", INTS)
def test_every_step_of_a_choice_in_doubles(name: str) -> None:
    differing, compared = [], 0
    for seed, _, quote in islice(live_cases(1000), CASES):
        live = quote.live
        assert live is not None
        for choice in choices(quote, Random(seed), 8):
            exact = evaluate(live.steps, inputs_of(live, choice))
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
