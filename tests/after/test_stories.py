"""A few short life stories in the suite; `python -m tests.after.many` lives as many as there is time for."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import Any

import pytest

from tests.after.story import STEPS, THE_USUAL, draw_steps, lived, shorter

A_WHOLE_LIFE = (
    "issue", "issue", "issue", "accept", "accept", "pay", "order", "receive", "work order", "revise", "accept", "order",
    "work order", "close", "bill", "bill", "comeback", "review",
)  # fmt: skip


@pytest.mark.parametrize("seed", [3])
def test_a_whole_life_in_order(seed: int) -> None:
    """From the quote to the review, as far as the drawn answers go."""
    random = Random(seed)
    told = lived(seed, [(name, random.randrange(10**9)) for name in A_WHOLE_LIFE])
    assert told.wrong == [], "\n".join([*told.commands, *told.wrong])


@pytest.mark.parametrize("seed", [11])
def test_a_life_in_no_order(seed: int) -> None:
    """Sensible and senseless commands as they come."""
    told = lived(seed, draw_steps(seed, 10))
    assert told.wrong == [], "\n".join([*told.commands, *told.wrong])


def test_every_step_is_known() -> None:
    """What a story usually does is what may happen."""
    assert {name for names in THE_USUAL for name in names} <= set(STEPS)
    assert set(A_WHOLE_LIFE) <= set(STEPS)


def test_a_wrong_rule_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a threshold that is a cent too wide in the program, the first yes shows it; days that pass are left out."""
    from quotekit.pricing.consent import authorised

    right = authorised.threshold_of

    def too_wide(*given: Any) -> Decimal:
        return right(*given) + Decimal("0.01")

    monkeypatch.setattr(authorised, "threshold_of", too_wide)
    kept, told = shorter(2, [("wait", 1), ("issue", 2), ("wait", 2), ("accept", 2)], tries=5)
    assert any(words.startswith("most: program") for words in told.wrong), told
    assert kept == [("issue", 2), ("accept", 2)]
