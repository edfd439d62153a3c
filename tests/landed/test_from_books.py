"""Orders made from random shop books, beside every order tried by a second reading of the contract."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from tests.landed.from_books import Drawn, differences, draw


@pytest.mark.parametrize("seeds", [range(25), range(25, 50)], ids=str)
def test_no_order_is_cheaper_and_every_job_gets_its_parts(seeds: range) -> None:
    """Old numbers, stock on its way, days, thresholds, the customer's own parts: from books and jobs to the order."""
    seen: Counter[str] = Counter()
    found = {seed: differences(draw(Random(seed)), seen) for seed in seeds}
    assert {seed: told for seed, told in found.items() if told} == {}
    assert all(seen[what] >= 3 for what in ("late", "usual", "bought", "shelf", "by the program")), seen


def test_a_fault_would_be_seen() -> None:
    """Orders held to a shop whose freight is a cent dearer differ: else nothing above says anything."""

    def dearer(drawn: Drawn) -> Drawn:
        terms = {name: (one[0] + 1, *one[1:]) for name, one in drawn.asked.terms.items()}
        return replace(drawn, asked=replace(drawn.asked, terms=terms))

    assert sum(bool(differences(dearer(draw(Random(seed))), Counter())) for seed in range(20)) >= 5
