"""The functions over random shops against the oracle's reckoning in fractions, which shares no code with them."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest

from quotekit.cli.answers.functions import given_of
from quotekit.pricing.functions.asked import Asked, Reason, Refused
from quotekit.pricing.functions.known import BY_NAME, work_out
from tests.oracle.exact import fraction
from tests.random_arguments import DAY_ZERO, TODAY, Drawn, draw
from tests.random_jobs import a_random_case


@pytest.mark.parametrize("seed", range(40))
def test_figures_are_those_of_the_oracle(seed: int) -> None:
    """Thirty calls a shop; a slip has a reason, and every other call a figure, equal to the last digit."""
    random, book = Random(seed), a_random_case(seed)[0]
    for _ in range(30):
        drawn = draw(random, book)
        answer = _answer(drawn, book)
        if drawn.expected is None:
            assert isinstance(answer, Reason), drawn
        else:
            assert not isinstance(answer, Reason), (drawn, answer)
            assert fraction(answer) == drawn.expected, (drawn, answer)


def _answer(drawn: Drawn, book: object) -> Decimal | Reason:
    function = BY_NAME[drawn.name]
    try:
        given = {
            one.name: given_of(one, value, DAY_ZERO)
            for one, value in zip(function.arguments, drawn.arguments, strict=False)
        }
    except Refused as refused:
        return refused.reason
    return work_out(function, Asked(book=book, day=TODAY, given=given))
